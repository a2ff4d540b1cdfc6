"""The command line as a whole: help, examples, exit codes, a quick start."""

from __future__ import annotations

import importlib.util
import json
import os
import shlex
import signal
import subprocess
import sys
import time
from pathlib import Path

import click
import pytest

from analytics import __version__
from analytics.cli.main import COMMANDS, loadrise
from tests.cli.conftest import Run, plain_environment

SLOW_TO_IMPORT = ("duckdb", "pandas", "scipy", "pint", "numpy", "plotly", "statsmodels")


def _commands() -> list[tuple[str, click.Command]]:
    context = click.Context(loadrise, info_name="loadrise", **loadrise.context_settings)
    there = [name for name in COMMANDS if importlib.util.find_spec(f"analytics.cli.{name}")]
    found = [(name, loadrise.get_command(context, name)) for name in there]
    return [("", loadrise), *((name, command) for name, command in found if command)]


def _help(name: str, command: click.Command) -> str:
    parent = click.Context(loadrise, info_name="loadrise", **loadrise.context_settings)
    context = click.Context(command, parent=parent, info_name=name) if name else parent
    return command.get_help(context)


def _example(name: str, command: click.Command) -> str:
    text = " ".join(_help(name, command).split("Example:")[-1].split())
    return text.removeprefix("loadrise ")


@pytest.mark.parametrize("name", COMMANDS)
def test_every_listed_command_is_there(name: str) -> None:
    assert importlib.util.find_spec(f"analytics.cli.{name}"), f"no module for {name}"


@pytest.mark.parametrize(("name", "command"), _commands(), ids=lambda v: str(v)[:12])
def test_help_ends_with_an_example(name: str, command: click.Command) -> None:
    text = _help(name, command)
    assert text.count("Example:") == 1
    assert _example(name, command)
    assert "Options:" not in text.split("Example:")[1]


@pytest.mark.parametrize(("name", "command"), _commands()[1:], ids=lambda v: str(v)[:12])
def test_the_table_says_what_the_command_says(name: str, command: click.Command) -> None:
    assert command.get_short_help_str(limit=100) == COMMANDS[name]


@pytest.mark.parametrize(("name", "command"), _commands(), ids=lambda v: str(v)[:12])
def test_every_example_runs(name: str, command: click.Command, run: Run) -> None:
    done = run(*shlex.split(_example(name, command)), store=None)
    assert done.returncode == 0, done.stderr
    assert done.stdout
    assert "Traceback" not in done.stderr


def test_start_is_light() -> None:
    code = (
        "import sys, analytics.cli.main as m\n"
        "from click.testing import CliRunner\n"
        "assert CliRunner().invoke(m.loadrise, ['--help']).exit_code == 0\n"
        f"print([n for n in {SLOW_TO_IMPORT} if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_help_lists_commands_and_exit_codes(run: Run) -> None:
    done = run("--help", store=None)
    assert all(f"\n  {name} " in done.stdout for name in COMMANDS)
    assert all(word in done.stdout for word in ("Exit codes", "LOADRISE_STORE", "130"))


def test_version(run: Run) -> None:
    assert run("--version", store=None).stdout == f"loadrise {__version__}\n"


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (("nonsense",), 2, "No such command"),
        (("fit", "--nonsense"), 2, "No such option"),
        (("export", "screening", "--out", "a.txt"), 2, "neither .parquet nor .csv"),
        (("export", "screening", "--out", "none/a.csv"), 2, "folder is in the way or missing"),
        (("sql", "delete from records.reading"), 2, "Only one select"),
        (("sql", "select 1; select 2"), 2, "Only one select"),
        (("sql", "select * from nowhere"), 2, "does not run"),
        (("sql", "select * from 'readings.csv'"), 2, "does not run"),
        (("screen", "--policy", "readings.csv"), 2, "no TOML"),
    ],
)
def test_a_wrong_use_is_a_sentence(
    run: Run, words: tuple[str, ...], code: int, sentence: str
) -> None:
    done = run(*words)
    assert (done.returncode, done.stdout) == (code, "")
    assert sentence in done.stderr
    assert "Traceback" not in done.stderr


def test_no_store_named(run: Run) -> None:
    done = run("fit", store=None)
    assert done.returncode == 2
    assert "LOADRISE_STORE" in done.stderr


def test_no_store_there(run: Run, fleet: Path) -> None:
    done = run("fit", store="gone.duckdb")
    assert done.returncode == 1
    assert "There is no store at gone.duckdb" in done.stderr
    assert not (fleet / "gone.duckdb").exists()


def test_results_carry_the_caution(run: Run) -> None:
    assert "qualified persons only" in run("screen").stdout
    record = json.loads(run("fit", "--json").stdout)
    assert "qualified persons only" in record["caution"]
    assert 150 < record["reading_count"] <= 192


def test_sql_formats(run: Run) -> None:
    query = "select 'a,b' as word, 1.5 as number, null as gap, 'nan'::double as odd"
    assert run("sql", query, "--format", "csv").stdout == 'word,number,gap,odd\n"a,b",1.5,,nan\n'
    rows = json.loads(run("sql", query, "--format", "json").stdout)
    assert rows == [{"word": "a,b", "number": 1.5, "gap": None, "odd": None}]
    assert run("sql", query).stdout.endswith("(1 row)\n")


def test_a_closed_pipe_is_quiet(fleet: Path) -> None:
    words = [sys.executable, "-m", "analytics.cli.main", "--store", "fleet.duckdb", "sql"]
    with subprocess.Popen(
        [*words, "from range(300000)", "--format", "csv"],
        cwd=fleet,
        env=plain_environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait(timeout=60) in (0, 1)


def test_an_interrupt_is_a_sentence(fleet: Path) -> None:
    """Also where the tests run in the background, whose children are told to ignore interrupts."""
    endless = "select sum(hash(range)) from range(1000000000000)"
    with subprocess.Popen(
        [sys.executable, "-m", "analytics.cli.main", "--store", "fleet.duckdb", "sql", endless],
        cwd=fleet,
        env=plain_environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    ) as process:
        time.sleep(2 + 2 * os.getloadavg()[0] / (os.cpu_count() or 1))
        process.send_signal(signal.SIGINT)
        try:
            words = process.communicate(timeout=60)[1]
        finally:
            process.kill()
    assert process.returncode == 130
    assert words == "loadrise: Stopped. What was not finished was not stored.\n"
