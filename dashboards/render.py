"""Writes a page as one self-contained HTML file: no request goes out, no foreign script runs."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from analytics import __version__
from analytics.drafts import put_in_place
from analytics.plain import isolated, kept_together, printable
from dashboards import theme

if TYPE_CHECKING:
    from dashboards.pages.diagnostics import DiagnosticsPage
    from dashboards.pages.examine import ExaminePage
    from dashboards.pages.parts import Figure
    from dashboards.pages.quarter import QuarterPage
    from dashboards.pages.quarter_index import IndexPage
    from dashboards.pages.tuning import TuningPage

_JSON_ESCAPES = {"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028"}


STYLES = {
    "quarter": ("page.css",),
    "index": ("page.css", "index.css"),
    "diagnostics": ("page.css", "diagnostics.css"),
    "tuning": ("page.css", "diagnostics.css", "tuning.css"),
    "examine": ("page.css", "examine.css"),
}
"""Kind of page -> its style sheets; its template is `<kind>.html`, which fills `base.html`."""
SCRIPTS = {"tuning": ("page.js", "tuning.js"), "examine": ()}
"""Kind of page -> its own scripts; `page.js` where none is named. Figures need plotly besides."""


def render(
    page: QuarterPage | IndexPage | DiagnosticsPage | TuningPage | ExaminePage,
    kind: str = "quarter",
) -> str:
    """Return the page as HTML by the template of its kind; the same page gives the same bytes."""
    own = SCRIPTS.get(kind, ("page.js",))
    scripts = [_plotly(), *(_asset(name) for name in own)] if own else []
    parts = [variables(), *(_asset(name) for name in STYLES[kind]), foot(page.short_caution)]
    style = "\n".join(parts)
    return names_kept(
        environment("assets")
        .get_template(f"{kind}.html")
        .render(
            page=page,
            marks=theme.MARKS,
            apart=theme.APART,
            version=__version__,
            policy=_content_policy(scripts),
            style=Markup(style),
            scripts=[Markup(script) for script in scripts],
        )
    )


def pictures_page(figures: Sequence[Figure], form: str, width: int, scale: int) -> str:
    """Return the page on which a browser draws figures one by one as pictures, for no reader."""
    scripts = [_plotly(), _asset("pictures.js")]
    return (
        environment("assets")
        .get_template("pictures.html")
        .render(
            figures=figures,
            form=form,
            width=width,
            scale=scale,
            ink=theme.LIGHT["ink"],
            paper=theme.LIGHT["card"],
            policy=_content_policy(scripts),
            scripts=[Markup(script) for script in scripts],
        )
    )


def page_path(folder: Path, quarter: str) -> Path:
    """Return where the page of a quarter goes."""
    return folder / f"quarter-{quarter}.html"


def index_path(folder: Path) -> Path:
    """Return where the page over all quarters goes."""
    return folder / "index.html"


def write(text: str, path: Path) -> None:
    """Write a page beside its place and move it in, so that no half page is ever seen."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with put_in_place(path) as draft:
        draft.write_text(text, encoding="utf-8", newline="\n")


_NAME = re.compile(r"(?<![\w-])\w+(?:-\w+)+(?![\w-])")
"""A name with hyphens in it, such as that of a camera or a day."""
LONGEST_NAME = 24
"""Letters of a name up to which it stays on one line [1]; chosen: what fits a column on a phone."""
_NO_TEXT = "|".join(rf"<{tag}\b.*?</{tag}>" for tag in ("script", "style", "title"))
_BETWEEN_TAGS = re.compile(rf"({_NO_TEXT}|<[^>]*>)", re.DOTALL)


def names_kept(page: str) -> str:
    """Return a page on which no line ends within a name or between a number and its unit.

    Only what is read is touched, no tag and no script; a name keeps its letters.
    """
    parts = _BETWEEN_TAGS.split(page)
    for place in range(0, len(parts), 2):
        text = kept_together(parts[place])
        parts[place] = _NAME.sub(_kept, text) if "-" in text else text
    return "".join(parts)


def _kept(found: re.Match[str]) -> str:
    return f"<bdi>{found[0]}</bdi>" if len(found[0]) <= LONGEST_NAME else found[0]


def foot(caution: str) -> str:
    """Return the style that puts the short caution and the page's number under every sheet."""
    words = caution.replace("\\", "\\\\").replace('"', '\\"')
    return (
        f'@media print {{ @page {{ @bottom-left {{ content: "{words}"; }} '
        f'@bottom-right {{ content: "Loadrise {__version__}\\A " counter(page) " / " '
        "counter(pages); } } }"
    )


@cache
def environment(folder: str) -> Environment:
    """Return the templates of a folder of `dashboards`; what they are given is fit to be shown."""
    made = Environment(
        loader=PackageLoader("dashboards", folder),
        autoescape=True,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )
    made.filters["as_data"] = as_data
    return made


def _shown(value: object) -> object:
    """Make text that a template prints fit for a page; what it escapes later and markup stay."""
    return kept_together(isolated(printable(value))) if type(value) is str else value


def as_data(spec: str) -> Markup:
    """Make JSON fit for a data block: nothing in it can end the block, open a tag or be unseen."""
    spec = printable(spec)
    for sign, escape in _JSON_ESCAPES.items():
        spec = spec.replace(sign, escape)
    return Markup(spec)


def _content_policy(scripts: list[str]) -> str:
    """Allow these very scripts and the page's own style, and nothing from anywhere."""
    hashes = " ".join(f"'sha256-{digest(script)}'" for script in scripts) or "'none'"
    return (
        f"default-src 'none'; script-src {hashes}; style-src 'unsafe-inline'; "
        "base-uri 'none'; form-action 'none'"
    )


def digest(text: str) -> str:
    """Return the digest by which a content-security policy lets a script or style through."""
    return base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def variables(
    light_tones: Mapping[str, str] = theme.LIGHT, dark_tones: Mapping[str, str] = theme.DARK
) -> str:
    """Return the theme's tones as CSS variables, light, dark and on paper."""
    light, dark = (
        "".join(f"--{name}: {tone}; " for name, tone in tones.items())
        for tones in (light_tones, dark_tones)
    )
    return (
        f":root {{ {light}--font: {theme.FONT}; }}\n"
        f"@media screen and (prefers-color-scheme: dark) {{ :root {{ {dark}}} }}"
    )


def _asset(name: str) -> str:
    return files("dashboards").joinpath("assets", name).read_text(encoding="utf-8")


@cache
def _plotly() -> str:
    """Return plotly.js from the installed package."""
    return files("plotly").joinpath("package_data", "plotly.min.js").read_text(encoding="utf-8")
