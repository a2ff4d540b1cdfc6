"""Writes the pocket page as one HTML file: its scripts, its style and its data inside."""

from __future__ import annotations

import json
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

from markupsafe import Markup

from analytics import __version__
from analytics.notices import CAUTIONS, SHORT_CAUTION
from analytics.opinion.remarks import COOL_AS_AIR, FLOOR_DECIDES, FLOOR_MAY_TURN
from dashboards import theme
from dashboards.pages.parts import count
from dashboards.pocket import form
from dashboards.render import as_data, digest, environment, variables

SCRIPTS = (
    "maths.js",
    "baseline.js",
    "evidence.js",
    "verdict.js",
    "borderline.js",
    "words.js",
    "next.js",
    "fields.js",
    "report.js",
    "picture.js",
    "channels.js",
    "answer.js",
)
"""The scripts without a page: what judges, reads fields, draws and words; in this order."""
PAGE_SCRIPTS = ("show.js", "page.js")
"""What ties them to the page."""
LIGHT = {**theme.LIGHT, "edge": "#7b8691", "warn": theme.OCHRE, "on-accent": "#ffffff"}
DARK = {**theme.DARK, "edge": "#75828d", "warn": "#e39a3c", "on-accent": theme.DARK["paper"]}
"""Tones by CSS variable; borders of fields keep 3 : 1 and words 4.5 : 1 on their ground."""
_ESCAPES = {
    "<": "\\u003c",
    ">": "\\u003e",
    "&": "\\u0026",
    "\u2028": "\\u2028",
    "\u2029": "\\u2029",
}


@dataclass(frozen=True)
class PocketPage:
    """The data that judge (`tables`, named as the scripts do) and what is told of them."""

    tables: dict[str, Any]
    makes: dict[str, list[str]]
    notices: dict[str, list[str]]
    neighbours_assumed: str
    rank_notice: str
    version: str
    policy_version: str
    fitted_at: str
    fitted_on: str
    reading_count: int

    @property
    def readings(self) -> str:
        """How many readings taught the baseline, in words."""
        return count(self.reading_count, "reading")


def render(page: PocketPage) -> str:
    """Return the page as HTML; the same page gives the same bytes."""
    script = engine() + "".join(_text(name) for name in PAGE_SCRIPTS)
    style = f"{variables(LIGHT, DARK)}\n{_text('pocket.css')}"
    told = json.dumps(data(page), ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return (
        environment("pocket")
        .get_template("pocket.html")
        .render(
            page=page,
            fields={field.name: field for field in form.FIELDS},
            classes=form.classes(),
            picks=sorted({*form.BRANCH_PICKS, *form.MAIN_PICKS}),
            short_caution=SHORT_CAUTION,
            cautions=CAUTIONS,
            program=__version__,
            policy=_content_policy(script, style),
            script=Markup(script),
            style=Markup(style),
            data=as_data(told),
        )
    )


def engine() -> str:
    """Return the scripts that need no page: `judge(data, reading)` and what it stands on."""
    return '"use strict";\n' + "".join(_text(name) for name in SCRIPTS)


def data(page: PocketPage) -> dict[str, Any]:
    """Return everything that the scripts read from the page."""
    return {
        **page.tables,
        "makes": page.makes,
        "unnoted": form.UNNOTED,
        "floorDecides": FLOOR_DECIDES,
        "floorMayTurn": FLOOR_MAY_TURN,
        "coolAsAir": COOL_AS_AIR,
        "fields": [field.as_data() for field in form.FIELDS],
        "names": form.NAMES,
        "missing": form.missing(),
        "classes": {
            one["name"]: {**one, "notices": page.notices[str(one["name"])]}
            for one in form.classes()
        },
        "marks": {
            name: {"path": mark.path, "colour": mark.colour, "word": mark.word}
            for name, mark in theme.MARKS.items()
        },
        "cautions": [SHORT_CAUTION, *CAUTIONS],
        "baseline": {
            "version": page.version,
            "fittedAt": page.fitted_at,
            "fittedOn": page.fitted_on,
            "policyVersion": page.policy_version,
            "rankNotice": page.rank_notice,
            "neighboursAssumed": page.neighbours_assumed,
        },
    }


def _content_policy(script: str, style: str) -> str:
    """Allow this very script and this very style, and nothing from anywhere."""
    return (
        f"default-src 'none'; script-src 'sha256-{digest(script)}'; "
        f"style-src 'sha256-{digest(style)}'; base-uri 'none'; form-action 'none'"
    )


def _text(name: str) -> str:
    return files("dashboards").joinpath("pocket", name).read_text(encoding="utf-8")
