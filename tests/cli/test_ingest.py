"""`loadrise ingest` and `loadrise form` as a person sees them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from analytics.cli.ingest import PROGRESS_AFTER_S
from tests.cli.conftest import Run, plain_environment

TRADE = (
    "Job,Date,Panel,Ckt,Type,Rating,Ambient (°F),Surface Temp (°F),Amps\n"
    "j1,2026-03-02,p1,1,Std,20,70,78,4.1\n"
    "j1,2026-03-02,p1,2,AFCI,15,70,95,\n"
    "j1,2026-03-02,p1,3,mystery,15,70,80,\n"
)


def test_a_first_look_costs_nothing(run: Run, fleet: Path) -> None:
    (fleet / "trade.csv").write_text(TRADE)
    done = run("ingest", "trade.csv", "--dry-run", store="new.duckdb")
    assert done.returncode == 1
    assert "only guessed" in done.stdout
    assert 'rated_a = "Rating"' in done.stdout
    assert not (fleet / "new.duckdb").exists()


def test_from_the_guess_to_the_store(run: Run, fleet: Path) -> None:
    (fleet / "trade.csv").write_text(TRADE)
    assert (
        run("ingest", "trade.csv", "--write-map", "firm.toml", store="new.duckdb").returncode == 1
    )
    dry = run("ingest", "trade.csv", "--map", "firm.toml", "--dry-run", store="new.duckdb")
    assert dry.returncode == 0
    assert "line 4, device_class: device_class reads “mystery”" in dry.stdout
    assert "device_temp from “Surface Temp (°F)” [degF] (map)" in dry.stdout
    done = run("ingest", "trade.csv", "--map", "firm.toml", store="new.duckdb")
    assert done.returncode == 0
    assert "3 rows read = 2 kept + 0 repeated + 1 not kept" in done.stdout
    again = run("ingest", "trade.csv", "--map", "firm.toml", store="new.duckdb")
    assert "nothing to do" in again.stdout
    assert again.returncode == 0
    kept = run("ingest", "trade.csv", "--write-map", "firm.toml", store="new.duckdb")
    assert kept.returncode == 2


def test_the_report_as_json(run: Run, fleet: Path) -> None:
    done = run("ingest", "readings.csv", "--json", store="new.duckdb")
    told = json.loads(done.stdout)
    file = told["files"][0]
    assert file["read"] == file["kept"] + file["repeated"] + file["quarantined"]
    assert "qualified persons only" in told["caution"]


def test_errors_are_sentences(run: Run, fleet: Path) -> None:
    gone = run("ingest", "gone.csv", store="new.duckdb")
    assert (gone.returncode, gone.stderr.count("Traceback")) == (2, 0)
    assert "gone.csv" in gone.stderr
    (fleet / "bad.toml").write_text('[columns]\ndevice_tmp = "x"\n')
    bad = run("ingest", "readings.csv", "--map", "bad.toml", store="new.duckdb")
    assert bad.returncode == 2
    assert "device_temp" in bad.stderr
    assert not (fleet / "bad.duckdb").exists()


def test_no_progress_bar_where_nobody_looks(run: Run) -> None:
    assert run("ingest", "readings.csv", store="new.duckdb").stderr == ""


def test_a_form_goes_round(run: Run, fleet: Path) -> None:
    assert run("form", "--out", "form.xlsx", "--unit", "degC", store=None).returncode == 0
    done = run("ingest", "form.xlsx", store="new.duckdb")
    assert done.returncode == 0
    assert "0 rows read" in done.stdout
    assert "blank form" in done.stdout


LOOK = """
import sys
import analytics.cli.ingest as ingest
from analytics.cli.main import main
ingest.PROGRESS_AFTER_S = float(sys.argv.pop(1))
main()
"""


def _on_a_terminal(folder: Path, after_s: float, *words: str) -> str:
    """Return what a person sees of a command whose standard error is a terminal."""
    theirs, ours = os.openpty()
    command = [sys.executable, "-c", LOOK, str(after_s), "--store", "new.duckdb", *words]
    environment = plain_environment() | {"TERM": "xterm", "COLUMNS": "100"}
    with subprocess.Popen(
        command, cwd=folder, env=environment, stdout=subprocess.PIPE, stderr=ours
    ) as process:
        os.close(ours)
        seen = b"".join(iter(lambda: _shown(theirs), b""))
        assert process.stdout is not None
        assert b"rows read" in process.stdout.read()
    os.close(theirs)
    assert process.returncode == 0
    return seen.decode()


def _shown(terminal: int) -> bytes:
    try:
        return os.read(terminal, 4096)
    except OSError:  # Linux says so when the other end is closed
        return b""


@pytest.mark.parametrize("sheet", ["readings.csv", "form.xlsx"])
def test_a_progress_bar_on_a_terminal_once_the_work_takes_long(
    run: Run, fleet: Path, sheet: str
) -> None:
    """The time it waits is set to nothing, and to an hour, in place of slow work."""
    run("form", "--out", "form.xlsx", store=None)
    assert PROGRESS_AFTER_S == 2.0
    at_once = _on_a_terminal(fleet, 0.0, "ingest", sheet)
    assert sheet in at_once
    assert "━" in at_once
    (fleet / "new.duckdb").unlink()
    assert _on_a_terminal(fleet, 3600.0, "ingest", sheet) == ""


def test_a_dry_run_makes_no_store_and_no_folder(run: Run, fleet: Path) -> None:
    before = sorted(fleet.rglob("*"))
    done = run("ingest", "readings.csv", "--dry-run", store="far/new.duckdb")
    assert done.returncode == 0
    assert "nothing was stored" in done.stdout
    assert sorted(fleet.rglob("*")) == before
    digest = (fleet / "fleet.duckdb").read_bytes()
    assert run("ingest", "readings.csv", "--dry-run").returncode == 0
    assert (fleet / "fleet.duckdb").read_bytes() == digest
