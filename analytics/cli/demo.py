"""`loadrise demo`: an invented fleet taken through every step."""

from __future__ import annotations

import datetime as dt
import hashlib
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from analytics.cli.output import print_lines
from analytics.cli.session import Session
from analytics.cli.shown import unit_option
from analytics.errors import InputError, UsageError

if TYPE_CHECKING:
    from analytics.warehouse import Warehouse
    from dashboards.quarter_files import Written
    from dashboards.quarter_records import QuarterRecord
    from synthetic_data.write import FleetSummary

STEPS = 5
LATEST_FOUND = dt.timedelta(days=28)
"""How long after a scan the invented electricians come at the latest: their findings come then."""
Tell = Callable[[str], None]


@click.command(
    short_help="Make an invented fleet and take it through every step.",
    epilog="Example: loadrise demo --out demo --scenario small",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("demo"),
    show_default=True,
    metavar="DIR",
    help="Folder for the files, the pages and, unless --store names one, the store.",
)
@click.option(
    "--scenario",
    default="demo",
    show_default=True,
    help="Which fleet: a name such as demo or small, or a TOML file.",
)
@click.option("--seed", type=int, default=7, show_default=True, help="Same seed, same fleet.")
@click.option("--inspections", type=click.IntRange(min=1), help="In place of the scenario's.")
@unit_option("Unit of rises.")
@click.pass_obj
def command(
    session: Session, out: Path, scenario: str, seed: int, inspections: int | None, unit: str
) -> None:
    """Invent a fleet, read it in, fit, screen, and write its pages.

    The last quarter's page, the index of all quarters, and the page for a phone.

    Every house, inspector, make and reading is invented. The store must be new or hold this very
    fleet: nothing invented is ever mixed with a firm's own readings.
    """
    from analytics.warehouse import open_store

    store = session.store or out / "fleet.duckdb"
    with _step(1, "Invent the fleet") as tell:
        fleet = _generate(scenario, seed, out / "files", inspections)
        tell(
            f"{fleet.reading_count:,} readings of {fleet.panel_count:,} panels in "
            f"{len(fleet.reading_files)} files"
        )
    with open_store(store) as warehouse:
        _refuse_foreign(warehouse, fleet, store)
        _take_in(warehouse, fleet, scenario, inspections)
        _learn(warehouse)
    made, pocket = _write_pages(store, out, unit)
    print_lines(
        [
            "",
            *_summary(made.record, unit),
            "",
            f"Page of {made.record.quarter}: {made.page}",
            f"All quarters:   {made.index}",
            f"For a phone:    {pocket}",
            f"Store:          {store}",
        ]
    )


@contextmanager
def _step(number: int, name: str) -> Iterator[Tell]:
    """Show a step with what came of it and its seconds."""
    said: list[str] = []
    start = time.perf_counter()
    click.echo(f"{number} of {STEPS}  {name:<22}", nl=False)
    try:
        yield said.append
    except BaseException:
        click.echo()
        raise
    click.echo(f"{time.perf_counter() - start:6.1f} s  {' '.join(said)}")


def _generate(scenario: str, seed: int, folder: Path, inspections: int | None) -> FleetSummary:
    from synthetic_data.spec import ScenarioError
    from synthetic_data.write import generate

    try:
        return generate(scenario, seed, folder, inspections)
    except ScenarioError as error:
        raise UsageError(str(error), "Choose demo or small, or mend the file.") from error


def _refuse_foreign(warehouse: Warehouse, fleet: FleetSummary, store: Path) -> None:
    """Raise UsageError where the store holds a file that is not of this fleet."""
    own = {_digest(path) for path in (*fleet.reading_files, *fleet.findings_files)}
    held = warehouse.fetch("select content_sha256, file_name from records.source_file order by 2")
    foreign = [name for digest, name in held if digest not in own]
    if foreign:
        raise UsageError(
            f"The store {store} holds other readings than this invented fleet, {foreign[0]} "
            "for one; nothing was added to it.",
            "Choose another folder with --out, or name a new store with --store.",
        )


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _take_in(
    warehouse: Warehouse, fleet: FleetSummary, scenario: str, inspections: int | None
) -> None:
    from analytics.ingest.load import ingest

    today = _day_after(scenario, inspections)
    with _step(2, "Read the files in") as tell:
        reports = [
            ingest(warehouse, files, column_map=plan, now=today if plan else today + LATEST_FOUND)
            for plan, files in _by_office(fleet)
        ]
        files = [file for report in reports for file in report.files]
        for file in files:
            if file.is_trouble:
                raise InputError(f"{file.name}: {file.error}")
        counts = [sum(r.total(n) for r in reports) for n in ("kept", "repeated", "quarantined")]
        known = sum(file.status == "known" for file in files)
        tell("{:,} rows kept, {:,} repeated, {:,} rejected".format(*counts))
        tell(f"({known} of {len(files)} files brought nothing new)" if known else "")


def _by_office(fleet: FleetSummary) -> Iterator[tuple[Path | None, list[Path]]]:
    """Yield each office's column map with its files, then the findings, which need none."""
    for plan in fleet.map_files:
        office = plan.stem.removesuffix("_columns")
        yield plan, [path for path in fleet.reading_files if path.name.startswith(f"{office}_")]
    yield None, list(fleet.findings_files)


def _day_after(scenario: str, inspections: int | None) -> dt.datetime:
    """Return the first day after the scenario's last quarter: the demo's today."""
    from synthetic_data.spec import load

    year, quarter = load(scenario, inspections).quarters[-1].split("Q")
    month = 3 * int(quarter) + 1
    return dt.datetime(int(year) + month // 13, (month - 1) % 12 + 1, 1)


def _learn(warehouse: Warehouse) -> None:
    from analytics.baseline import fit
    from analytics.screening import screen

    with _step(3, "Learn what is usual") as tell:
        fitted = fit(warehouse)
        tell(f"{fitted.reading_count:,} temperatures, {fitted.passes} passes")
    with _step(4, "Judge every reading") as tell:
        judged = screen(warehouse).verdict_counts
        flagged = judged.get("suspect_connection", 0) + judged.get("overload_and_connection", 0)
        tell(f"{sum(judged.values()):,} readings, {flagged:,} flagged")


def _write_pages(store: Path, out: Path, unit: str) -> tuple[Written, Path]:
    """Write the pocket page, then the last quarter's page and the index, which links both."""
    from analytics.desk import open_desk
    from analytics.opinion import bundle
    from analytics.warehouse import open_store
    from dashboards.pocket.gather import pocket_page
    from dashboards.pocket.page import render
    from dashboards.quarter import last_quarter
    from dashboards.quarter_files import write_quarter
    from dashboards.render import write

    with _step(5, "Write the pages") as tell:
        pocket = out / "pocket.html"
        with open_desk(store) as desk:
            write(render(pocket_page(bundle(desk))), pocket)
        with open_store(store, read_only=True) as warehouse:
            made = write_quarter(warehouse, last_quarter(warehouse), out, unit)
        tell(f"{made.page.stat().st_size / 1e6:.1f} MB")
    return made, pocket


def _summary(record: QuarterRecord, unit: str) -> list[str]:
    from dashboards.pages.quarter import headline_lines, rise_scale
    from dashboards.pages.quarter_cases import case_lines

    head = headline_lines(record)
    if not record.cases:
        return [*head, "", "No reading of this quarter was flagged."]
    return [*head, "", "Most worth a second look:", *case_lines(record, rise_scale(unit))]
