"""The command `loadrise`: names the store, lists the commands, imports only the one called."""

from __future__ import annotations

from pathlib import Path

import click

from analytics import __version__
from analytics.cli.lazy import LazyGroup
from analytics.cli.session import Session

COMMANDS: dict[str, str] = {
    "demo": "Make an invented fleet and take it through every step.",
    "form": "Write a blank field form for the inspectors.",
    "ingest": "Take spreadsheets of readings or findings into the store.",
    "fit": "Learn how warm each class of device usually runs.",
    "screen": "Judge every reading against the baseline and the policy.",
    "tune": "Weigh policies on what electricians found.",
    "recalibrate": "Mend the stated chances by what electricians found.",
    "agreement": "Tell how far inspectors, cameras and clamps agree.",
    "adopt": "Put a policy in force, dated and kept with its text.",
    "explain": "Tell a past verdict again, with all it rests on.",
    "opinion": "Give a second opinion on one reading.",
    "trends": "Tell what changed, and who or what stands apart.",
    "pocket": "Write the page that judges a reading on a phone.",
    "quarter": "Write the page of a quarter as one HTML file.",
    "diagnostics": "Write the page of what the verdicts rest on.",
    "export": "Write readings, verdicts or rejected rows to a file.",
    "backup": "Write a verified copy of the store.",
    "sql": "Ask the store a question of your own, read-only.",
}
"""Each command with its line for `loadrise --help`; a test holds them to the commands' own help."""

EPILOG = """\b
Exit codes:
  0    done
  1    trouble with the data, a file or the store; the message says what to do
  2    the command or an option is wrong; nothing was read or written
  130  stopped from the keyboard; what was not finished was not stored

\b
Example: loadrise --store fleet.duckdb sql "from records.source_file"
"""


@click.group(
    cls=LazyGroup,
    table=COMMANDS,
    epilog=EPILOG,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.option(
    "--store",
    type=click.Path(path_type=Path),
    envvar="LOADRISE_STORE",
    show_envvar=True,
    metavar="FILE",
    help="The store: one file that holds everything the firm has read in.",
)
@click.version_option(__version__, prog_name="loadrise", message="%(prog)s %(version)s")
@click.pass_context
def loadrise(ctx: click.Context, store: Path | None) -> None:
    """Learn how warm a device usually runs at its load, and point at those out of proportion.

    Loadrise keeps a firm's own infrared readings, learns the usual rise by class of device and
    load, and judges each reading against it. A finding is suspected until a licensed electrician
    has examined the de-energised part.
    """
    ctx.obj = Session(store)


def main() -> None:
    """Run the command line."""
    loadrise(prog_name="loadrise")


if __name__ == "__main__":
    main()
