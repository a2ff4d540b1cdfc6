"""`loadrise pocket`: the page that judges a reading on a phone without a signal."""

from __future__ import annotations

from pathlib import Path

import click

from analytics.cli.session import Session


@click.command(
    short_help="Write the page that judges a reading on a phone.",
    epilog="Example: loadrise --store fleet.duckdb pocket --out pocket.html",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    required=True,
    metavar="FILE",
    help="HTML file to write; an older one of that name is replaced.",
)
@click.pass_obj
def command(session: Session, out: Path) -> None:
    """Write one HTML file that judges a reading as loadrise opinion does, with no signal.

    Baseline and policy in force are inside; nothing typed there leaves the phone. Write it anew
    after each fit and screen.
    """
    from analytics.cli.output import print_lines
    from analytics.desk import open_desk
    from analytics.opinion import bundle
    from dashboards.pocket.gather import pocket_page
    from dashboards.pocket.page import render
    from dashboards.render import write

    with open_desk(session.existing_store()) as desk:
        page = pocket_page(bundle(desk))
    text = render(page)
    write(text, out)
    print_lines(
        [
            f"Baseline {page.version} of {page.fitted_on}, policy {page.policy_version}.",
            f"Page: {out} ({len(text.encode('utf-8')) / 1e6:.2f} MB)",
        ]
    )
