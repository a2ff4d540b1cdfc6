"""Policies: adopted by date, kept with their text; the one in force on a day."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from analytics import __version__
from analytics.errors import UsageError
from analytics.notices import Notice
from analytics.policy import (
    Policy,
    as_toml,
    default_policy,
    default_text,
    parse,
    read_text,
    restore,
    with_standards,
)
from analytics.warehouse import Warehouse

MOST_AHEAD = dt.timedelta(days=366)
"""How far ahead a policy may be put in force; chosen: a mistyped year would shut out all others."""
_INSERT = """
insert into records.policy values (
    $version, $is_adopted, current_timestamp, $since, $text, $remark, $program)
"""
_IN_FORCE = """
select policy_version, policy_text from records.policy
where is_adopted and in_force_from <= $today::date
order by in_force_from desc, taken_at desc limit 1
"""
_SINCE = """
select max(in_force_from) from records.policy
where is_adopted and in_force_from <= $today::date
having max(in_force_from) is not null
"""
Moved = tuple[str, float | None, float | None]
"""A line that moved, what it was and is; one of a class as `flag.afci.lift_k`, None for none."""


@dataclass(frozen=True)
class Adopted:
    """What was adopted from when, and which lines moved against the policy before it.

    `is_new` is False where it is in force already and nothing was recorded; `first_reading` is the
    day of the first one where that is later than the day asked for.
    """

    policy_version: str
    in_force_from: str
    former_version: str
    moved: tuple[Moved, ...]
    remark: str | None = None
    is_new: bool = True
    first_reading: str | None = None

    def lines(self) -> list[str]:
        """Return the act in plain words, one line a line that moved."""
        if not self.is_new:
            return [f"Policy {self.policy_version} is in force already; nothing was recorded."]
        return [*self._act(), *self._besides()]

    def _besides(self) -> list[str]:
        """Return the remark as kept, and what is odd about the day."""
        said = [f"Kept with it: {self.remark}"] if self.remark else []
        if self.first_reading:
            said.append(
                f"Note: the first reading is of {self.first_reading}, later than "
                f"{self.in_force_from}; check the year."
            )
        return said

    def _act(self) -> list[str]:
        head = f"Policy {self.policy_version} is in force from {self.in_force_from}"
        rows = [f"  {_told(*one)}" for one in self.moved]
        same = [] if rows else ["No line differs from the policy before it."]
        tail = "Verdicts change with the next loadrise screen; earlier ones stay in the history."
        return [f"{head}, in place of {self.former_version}.", *rows, *same, tail]


def policy_in_force(warehouse: Warehouse, today: dt.date) -> Policy:
    """Return the policy adopted last for that day; the one that comes along where none was.

    One adopted before `policy.STANDARDS` were known holds those of the default beside its own.
    """
    found = warehouse.fetch(_IN_FORCE, {"today": today})
    if not found:
        return default_policy()
    version, text = found[0]
    return with_standards(restore(str(text), str(version)))


def adopt(
    warehouse: Warehouse,
    path: Path,
    *,
    today: dt.date,
    in_force_from: dt.date | None = None,
    remark: str | None = None,
) -> Adopted:
    """Check a policy file, date it and keep its text; it is in force from that day on.

    Raises UsageError with every line that is wrong, for a day before one that a later policy
    already covers, since what was in force then is history, and for one beyond MOST_AHEAD.
    """
    text = read_text(path)
    policy, since = parse(text, path.stem, str(path)), in_force_from or today
    if since > today + MOST_AHEAD:
        raise UsageError(
            f"{since} is more than {MOST_AHEAD.days} days ahead, and no other policy could come "
            "into force before it.",
            "Check the year.",
        )
    last = warehouse.fetch("select max(in_force_from) from records.policy where is_adopted")[0][0]
    if last is not None and since < last:
        raise UsageError(
            f"A policy is in force from {last} already; one from {since} would change what was "
            "in force before.",
            f"Choose {last} or later.",
        )
    former = policy_in_force(warehouse, since)
    is_new = policy.version != former.version
    if is_new:
        with warehouse.transaction():
            _insert(warehouse, policy, text, since=since, remark=remark)
    first = warehouse.fetch("select min(inspected_at)::date from records.reading where is_current")
    early = str(first[0][0]) if first[0][0] is not None and since < first[0][0] else None
    return Adopted(
        policy.version,
        str(since),
        former.version,
        _moved(former, policy),
        remark,
        is_new=is_new,
        first_reading=early,
    )


@dataclass(frozen=True)
class PastPolicies:
    """Every policy that was adopted, the latest first."""

    policies: tuple[PastPolicy, ...]

    def lines(self) -> list[str]:
        """Return them a line each; one that came along with the program says so."""
        if not self.policies:
            return [f"None was adopted yet: {default_policy().version} of the program is in force."]
        return [
            f"from {one.in_force_from}  {one.policy_version}  adopted {one.adopted_on}"
            + (f"  {one.remark}" if one.remark else "")
            for one in self.policies
        ]


@dataclass(frozen=True)
class PastPolicy:
    """One adoption: the version, its first day in force, the day it was adopted, and why."""

    policy_version: str
    in_force_from: dt.date
    adopted_on: dt.date
    remark: str | None


def past_policies(warehouse: Warehouse) -> PastPolicies:
    """Return what was adopted, in the order in which it holds, the latest first."""
    rows = warehouse.fetch(
        "select policy_version, in_force_from, (taken_at at time zone 'UTC')::date, remark "
        "from records.policy where is_adopted order by in_force_from desc, taken_at desc"
    )
    return PastPolicies(tuple(PastPolicy(*row) for row in rows))


def unscreened(warehouse: Warehouse, today: dt.date) -> Notice | None:
    """Say where the policy in force has not been screened with yet; None where it has, or none was.

    Until then every answer about verdicts is of the policy of the last screening.
    """
    if not warehouse.has_table("screening.result"):
        return None
    used = warehouse.fetch("select min(policy_version) from screening.result")[0][0]
    policy = policy_in_force(warehouse, today)
    if used is None or used == policy.version:
        return None
    since = warehouse.fetch(_SINCE, {"today": today})
    from_when = f", in force from {since[0][0]}," if since else ""
    sentence = (
        f"The policy {policy.version}{from_when} has not been screened with yet: what is told here "
        f"is of {used}. Run loadrise screen, then ask again."
    )
    return Notice("unscreened_policy", sentence, {"in_force": policy.version, "screened": used})


def write_policy(warehouse: Warehouse, path: Path, today: dt.date) -> str:
    """Write the text of the policy in force to a new file; return its version.

    Raises UsageError where the file is there already: it may be the firm's own.
    """
    policy = policy_in_force(warehouse, today)
    is_default = policy.version == default_policy().version
    text = default_text() if is_default else _text_of(warehouse, policy)
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError as error:
        raise UsageError(f"{path} is there already.", "Choose another name.") from error
    except OSError as error:
        raise UsageError(f"{path} cannot be written: {error.strerror}.") from error
    return policy.version


def _text_of(warehouse: Warehouse, policy: Policy) -> str:
    """Return the text that it was kept with; one written anew where it is not kept."""
    is_kept = _is_kept(warehouse, policy)
    return kept_policy(warehouse, policy.version)[1] if is_kept else as_toml(policy)


def _is_kept(warehouse: Warehouse, policy: Policy) -> bool:
    sql = "select count(*) from records.policy where policy_version = $version"
    return int(warehouse.fetch(sql, {"version": policy.version})[0][0]) > 0


def keep_policy(warehouse: Warehouse, policy: Policy) -> None:
    """Keep the text of a policy that is used, unless it is kept already; inside a transaction."""
    if not _is_kept(warehouse, policy):
        is_default = policy.version == default_policy().version
        _insert(warehouse, policy, default_text() if is_default else as_toml(policy))


def kept_policy(warehouse: Warehouse, version: str) -> tuple[Policy, str]:
    """Return a policy kept under that version, with its text."""
    found = warehouse.fetch(
        "select policy_text from records.policy where policy_version = $version "
        "order by is_adopted desc, taken_at limit 1",
        {"version": version},
    )
    return restore(str(found[0][0]), version), str(found[0][0])


def _insert(
    warehouse: Warehouse,
    policy: Policy,
    text: str,
    *,
    since: dt.date | None = None,
    remark: str | None = None,
) -> None:
    values = {
        "version": policy.version,
        "is_adopted": since is not None,
        "since": since,
        "text": text,
        "remark": remark,
        "program": __version__,
    }
    warehouse.execute(_INSERT, values)


def _moved(former: Policy, policy: Policy) -> tuple[Moved, ...]:
    old, new = _lines(former), _lines(policy)
    keys = [*old, *(key for key in new if key not in old)]
    return tuple((k, old.get(k), new.get(k)) for k in keys if old.get(k) != new.get(k))


def _lines(policy: Policy) -> dict[str, float]:
    own = {f"flag.{device_class}.{key}": value for device_class, key, value in policy.own}
    return {**policy.numbers(), **own}


def _told(key: str, old: float | None, new: float | None) -> str:
    """Say how a line moved."""
    if old is None:
        return f"{key}: {new:g}, a line of its own that is new"
    if new is None:
        return f"{key}: {old:g} is gone; the line of all classes holds"
    shown = key if "." in key else key.replace("_", ".", 1)
    return f"{shown}: {old:g} becomes {new:g}"
