"""`python -m analytics.cli.reference --write FILE`: renew the generated parts of a document."""

from __future__ import annotations

from pathlib import Path

import click

from analytics.cli.main import loadrise
from analytics.reference import blocks, renew


@click.command()
@click.option("--write", "path", required=True, type=click.Path(path_type=Path, exists=True))
def write(path: Path) -> None:
    """Renew the generated parts of the document at PATH."""
    text = path.read_text(encoding="utf-8")
    path.write_text(renew(text, blocks(loadrise)), encoding="utf-8")


if __name__ == "__main__":
    write()
