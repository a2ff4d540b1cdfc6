"""How the fit settled, and which baselines and policies there were."""

from __future__ import annotations

from dashboards import theme
from dashboards.diagnostics_records import NORMAL_95, DiagnosticsRecord, Version
from dashboards.figures import settling
from dashboards.pages.diagnostics_words import Card, Section, decimal
from dashboards.pages.parts import Table, count, figure, table

ASKS = "How the fit came to rest, and on which baseline and policy the verdicts stand."


def section(record: DiagnosticsRecord) -> Section:
    """Return the section; where nothing was fitted it says so."""
    heading = "History and versions"
    if not record.versions:
        return Section("history", heading, ASKS, "No baseline has been fitted yet.")
    cards = (_rounds_card(record),) if record.passes else ()
    return Section("history", heading, ASKS, _answer(record), cards, tables=_tables(record))


def _answer(record: DiagnosticsRecord) -> str:
    one = record.in_force
    if one is None:
        return "No baseline is in force."
    words = f"Baseline {one.baseline_version} of {one.fitted_at:%Y-%m-%d} is in force"
    if record.passes:
        words += f"; it settled in {count(len(record.passes), 'round')}"
    stale = [used for used in record.used if used.baseline_version != one.baseline_version]
    if stale:
        rest = sum(used.reading_count for used in stale)
        return f"{words}. {count(rest, 'verdict')} still rest on another: run loadrise screen."
    return f"{words}, and every verdict rests on it." if record.used else f"{words}."


def _rounds_card(record: DiagnosticsRecord) -> Card:
    rows = record.passes
    last = rows[-1]
    sentence = (
        f"The largest change by round, in units of each parameter’s scale; under the dotted "
        f"{record.tolerance:g} the fit counts as settled. The last moved {last.largest:.2g}."
    )
    body = [
        (
            str(row.number),
            *(f"{v:.2g}" for v in (row.fixed, row.slopes, row.offsets, row.spread)),
            decimal(row.exponent, 3),
        )
        for row in rows
    ]
    headers = ("round", "fixed terms", "slopes", "offsets", "spread", "exponent")
    picture = settling.figure([row.largest for row in rows], record.tolerance)
    made = table("What each round still moved", headers, body)
    return Card("How the fit settled", figure("settling", sentence, picture, made))


def _tables(record: DiagnosticsRecord) -> tuple[Table, ...]:
    headers = ("baseline", "fitted (UTC)", "program", "data", "settings", "load exponent")
    made = table(
        "Baselines fitted, the latest first",
        headers,
        [_version(one) for one in record.versions],
        text_columns=5,
    )
    used = table(
        "What the verdicts in the store rest on",
        ("baseline", "policy", "from", "to", "readings"),
        [
            (
                one.baseline_version,
                one.policy_version,
                one.first_on.isoformat() if one.first_on else "–",
                one.last_on.isoformat() if one.last_on else "–",
                f"{one.reading_count:,}",
            )
            for one in record.used
        ],
        text_columns=4,
    )
    return (used, made) if record.used else (made,)


def _version(one: Version) -> tuple[str, ...]:
    exponent = decimal(one.exponent, 2)
    if one.exponent_sd is not None:
        exponent += f" ± {decimal(NORMAL_95 * one.exponent_sd, 2)}"
    return (
        one.baseline_version + (" (in force)" if one.is_in_force else ""),
        f"{one.fitted_at:%Y-%m-%d %H:%M}",
        one.program_version,
        one.data_hash,
        one.settings_hash,
        exponent.replace(" ", theme.GAP),
    )
