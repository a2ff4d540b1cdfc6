"""Writing a policy to a file: never over another by accident, with its evidence in its head."""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

import click

from analytics.errors import UsageError

HEAD_WIDTH = 98
"""Width of a comment's text, in characters; chosen to fit a terminal with its sign."""
Command = TypeVar("Command", bound=Callable[..., object])


def out_options(words: str) -> Callable[[Command], Command]:
    """Return the options `--out FILE` and `--overwrite`."""

    def options(command: Command) -> Command:
        over = click.option(
            "--overwrite", is_flag=True, help="Let --out take the place of a file that is there."
        )
        out = click.option("--out", type=click.Path(path_type=Path), metavar="FILE", help=words)
        return out(over(command))

    return options


def refuse_taken(out: Path | None, *, is_overwritten: bool) -> None:
    """Raise UsageError where the file is there already: it may be the firm's own."""
    if out is not None and out.exists() and not is_overwritten:
        raise UsageError(f"{out} is there already.", "Choose another name, or add --overwrite.")


def write_policy(out: Path, text: str, version: str) -> str:
    """Write the text and say so."""
    from analytics.drafts import put_in_place

    with put_in_place(out) as draft:
        draft.write_text(text, encoding="utf-8")
    return f"Policy {version} written to {out}; loadrise adopt {out} puts it in force."


def headed(origin: str, evidence: Sequence[str], toml: str) -> str:
    """Return a policy's text with where it comes from and what it rests on as comments."""
    rows = [line for one in (origin, *evidence) for line in textwrap.wrap(one, HEAD_WIDTH)]
    return "\n".join(f"# {line}" for line in rows) + f"\n\n{toml}"


def today_words(day: dt.date, version: str, former: str, baseline: str) -> str:
    """Say when and from what a policy was proposed."""
    return (
        f"Proposed on {day:%Y-%m-%d} by loadrise tune, Loadrise {version}, in place of policy "
        f"{former}, baseline {baseline}."
    )
