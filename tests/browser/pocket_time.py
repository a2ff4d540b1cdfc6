"""How long the pocket page takes for one judgement: `python -m tests.browser.pocket_time STORE`.

Prints the median and the slowest of a hundred, on this machine and at a quarter of its speed: with
all that a key stroke brings (reading the fields, judging, what to measure next, drawing), and the
judgement alone.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser.conftest import ARGUMENTS, _executable
from tests.browser.pocket import SUSPECT, make_page, make_store, opened, type_in, unfold

TIMES = """(call) => {
  const judgement = () => judge(DATA, readForm(DATA, formNow()).reading);
  const calls = { keystroke: refresh, judgement };
  const taken = Array.from({ length: 120 }, () => {
    const start = performance.now();
    calls[call]();
    return performance.now() - start;
  }).slice(20).sort((a, b) => a - b);
  return [taken[50], taken[99]];
}"""


def main(store: Path | None) -> None:
    """Measure on the page of a store, or of a small invented fleet where none is named."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        page = make_page(store or make_store(Path(folder)), Path(folder) / "pocket.html")
        started = driver.chromium.launch(executable_path=_executable(), args=ARGUMENTS)
        with opened(started, page) as seen:
            type_in(seen.page, SUSPECT)
            unfold(seen.page)
            session = seen.page.context.new_cdp_session(seen.page)
            for rate in (1, 4):
                session.send("Emulation.setCPUThrottlingRate", {"rate": rate})
                for call in ("keystroke", "judgement"):
                    median, slowest = seen.page.evaluate(TIMES, call)
                    print(f"1/{rate} speed, {call}: {median:.1f} ms, slowest {slowest:.1f} ms")
        started.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
