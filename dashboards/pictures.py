"""Figures as SVG or PNG for slides, drawn by an installed Chromium: nothing else can draw them."""

from __future__ import annotations

import base64
import hashlib
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote_to_bytes

from analytics.drafts import put_in_place
from dashboards import theme
from dashboards.pages.parts import Figure
from dashboards.render import pictures_page

FORMS = ("svg", "png")
BROWSERS = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "chrome")
WIDTH_PX = 760
"""Width of a picture [px]; chosen: half a slide."""
PNG_SCALE = 2
"""Dots a pixel of a PNG [1]; chosen: sharp on a projector."""
LONGEST_S = 180
"""Time after which the browser is given up [s]; chosen: thirty times what it takes."""
OPTIONS = (
    "--headless", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-quic", "--hide-scrollbars",
    "--virtual-time-budget=120000", "--dump-dom",
)  # fmt: skip


@dataclass(frozen=True)
class Pictures:
    """How many pictures were written where, or why not, in one sentence."""

    folder: Path
    count: int
    trouble: str = ""


def write_pictures(figures: Sequence[Figure], folder: Path, form: str) -> Pictures:
    """Write each figure as `<id>.svg` or `.png` with `sentences.txt`, which says what each shows.

    Where no browser is installed or it fails, nothing is written and the result says so.
    """
    browser = next((path for name in BROWSERS if (path := shutil.which(name))), "")
    if not browser:
        return Pictures(
            folder, 0, "No Chromium or Chrome is installed here, so no pictures were written."
        )
    with tempfile.TemporaryDirectory(prefix="loadrise-") as scratch:
        drawn = _drawn(browser, figures, form, Path(scratch))
    if len(drawn) < len(figures):
        return Pictures(folder, 0, f"{browser} did not draw the figures; no pictures were written.")
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.glob(f"*.{form}"):
        if old.stem not in drawn:
            old.unlink()
    for name, picture in drawn.items():
        with put_in_place(folder / f"{name}.{form}") as draft:
            draft.write_bytes(picture)
    with put_in_place(folder / "sentences.txt") as draft:
        lines = (f"{one.id}.{form}: {theme.printable(one.sentence)}\n" for one in figures)
        draft.write_text("".join(lines), encoding="utf-8", newline="\n")
    return Pictures(folder, len(drawn))


def _drawn(browser: str, figures: Sequence[Figure], form: str, scratch: Path) -> dict[str, bytes]:
    """Let the browser draw the figures; return id -> picture, what was not drawn left out."""
    page = scratch / "figures.html"
    scale = PNG_SCALE if form == "png" else 1
    page.write_text(pictures_page(figures, form, WIDTH_PX, scale), encoding="utf-8")
    command = [browser, *OPTIONS, f"--user-data-dir={scratch / 'profile'}", page.as_uri()]
    if os.name == "posix" and os.geteuid() == 0:
        command.insert(1, "--no-sandbox")
    try:
        found = subprocess.run(command, capture_output=True, timeout=LONGEST_S, check=False)
    except (OSError, subprocess.TimeoutExpired):
        return {}
    text = found.stdout.decode("utf-8", "replace")
    parts = re.findall(r'<output data-drawn="([\w-]+)">(data:[^<]+)</output>', text)
    return {name: _bytes(name, url) for name, url in parts}


def _bytes(name: str, url: str) -> bytes:
    """Return what a data URL holds; what is drawn by chance in an SVG comes from its name."""
    head, _, body = url.partition(",")
    if head.endswith(";base64"):
        return base64.b64decode(body)
    drawn = unquote_to_bytes(body)
    mark = re.search(rb'id="defs-([0-9a-f]{6})"', drawn)
    if mark is None:
        return drawn
    return drawn.replace(mark[1], hashlib.sha256(name.encode()).hexdigest()[:6].encode())
