"""A policy as a TOML file: read, checked line by line, written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from importlib.resources import files
from pathlib import Path

from analytics.columns import DEVICE_CLASSES
from analytics.errors import UsageError
from analytics.policy import text as text_of
from analytics.policy.limits import (
    LARGEST,
    LEAST,
    LONGEST_BITS,
    MOST,
    NEUTRAL,
    NEVER,
    STANDARDS,
    TUNED,
    UNCALIBRATED,
)
from analytics.policy.record import NAMES, OwnLine, Policy, version_of

_LAST_FLAG = [key for key in NAMES if key.startswith("flag_")][-1]


def default_policy() -> Policy:
    """Return the policy that comes with the program."""
    return parse(default_text(), "default")


def default_text() -> str:
    """Return the text of the policy that comes with the program, comments and all."""
    return files("analytics").joinpath("policies", "default.toml").read_text(encoding="utf-8")


def read_policy(path: Path) -> Policy:
    """Read a policy file. Raises UsageError with what is wrong in it."""
    return parse(read_text(path), path.stem, str(path))


def read_text(path: Path) -> str:
    """Return the text of a policy file. Raises UsageError where it cannot be read."""
    try:
        return path.read_text(encoding="utf-8")
    except OSError as error:
        raise UsageError(f"The policy {path} cannot be read: {error.strerror}.") from error
    except UnicodeDecodeError as error:
        raise UsageError(f"The policy {path} is no UTF-8 text.") from error


def parse(text: str, name: str, file: str = "") -> Policy:
    """Check a policy's text and return it; its version is the name and a digest of the numbers.

    Raises UsageError with everything that is wrong, a line each; `file` is what it is called there.
    """
    told = text_of.told(text, file or name)
    faults = sorted(_faults(told, text_of.lines(text)))
    if faults:
        words = "\n".join(
            f"  line {line}: {words}" if line else f"  {words}" for line, words in faults
        )
        raise UsageError(f"The policy {file or name} cannot be used:\n{words}")
    numbers, own = _given(told)
    all_numbers = {**_left_out(), **numbers}
    return Policy(version_of(name, all_numbers, own), **all_numbers, own=own)


def restore(text: str, version: str) -> Policy:
    """Return a policy kept in the store, under the version it was kept by.

    A line that its program did not know yet stands where it changes nothing.
    """
    given, own = _given(text_of.told(text, version))
    numbers = {**default_policy().numbers(), **dict.fromkeys(STANDARDS, NEVER), **given}
    return Policy(version, **numbers, own=own)


def with_standards(policy: Policy) -> Policy:
    """Return a policy that was kept before `STANDARDS` were, with those of the default.

    Its version says so; one that holds them is returned as it is.
    """
    if policy.knows_standards:
        return policy
    usual = default_policy().numbers()
    return policy.moved(**{key: usual[key] for key in STANDARDS})


def as_toml(policy: Policy) -> str:
    """Return the policy as a file that `parse` reads to the same version."""
    tables: dict[str, list[str]] = {}
    for name, value in policy.numbers().items():
        table, _, key = name.partition("_")
        tables.setdefault(table, []).append(f"{key} = {value!r}")
        if name == _LAST_FLAG:
            for device_class, line, own in policy.own:
                tables.setdefault(f"flag.{device_class}", []).append(f"{line} = {own!r}")
    return "\n\n".join("\n".join([f"[{table}]", *keys]) for table, keys in tables.items()) + "\n"


def _left_out() -> dict[str, float]:
    """Return what stands for lines that a policy may leave out."""
    usual, _ = _given(text_of.told(default_text(), "default"))
    return {**UNCALIBRATED, **{key: usual[key] for key in STANDARDS}}


def _given(
    told: Mapping[text_of.Path, object],
) -> tuple[dict[str, float], tuple[OwnLine, ...]]:
    """Return the numbers that are lines of a policy, and the own ones of classes."""
    numbers, own = {}, []
    for path, value in told.items():
        if not isinstance(value, int | float) or not (key := _name(path)):
            continue
        if len(path) == 2:
            numbers[key] = float(value)
        else:
            own.append((path[1], path[2], float(value)))
    return numbers, tuple(sorted(own))


def _name(path: text_of.Path) -> str:
    """Return the name of the line that a path stands for, of all classes; "" for none."""
    is_own = len(path) == 3 and path[0] == "flag" and path[1] in DEVICE_CLASSES
    key = f"{path[0]}_{path[-1]}"
    is_known = path[-1] in TUNED if is_own else len(path) == 2 and key in NAMES
    return key if is_known else ""


def _faults(
    told: Mapping[text_of.Path, object], lines: Mapping[text_of.Path, int]
) -> Iterator[tuple[int, str]]:
    """Yield (line, what is wrong); line 0 for what is missing."""
    for path, value in told.items():
        if not (isinstance(value, dict) and _is_table(path)) and (words := _fault(path, value)):
            yield text_of.line_of(path, lines), f"{'.'.join(path)} {words}"
    given = {_name(path) for path in told if len(path) == 2}
    for key in NAMES:
        if key not in given and key not in NEUTRAL:
            yield 0, f"{key.replace('_', '.', 1)} is missing"


def _is_table(path: text_of.Path) -> bool:
    """Tell whether a path stands for a table that a policy may have."""
    if len(path) == 2:
        return path[0] == "flag" and path[1] in DEVICE_CLASSES
    return len(path) == 1 and any(key.startswith(f"{path[0]}_") for key in NAMES)


def _fault(path: text_of.Path, value: object) -> str:
    """Say what is wrong with a value that the file gives; nothing where all is right."""
    key = _name(path)
    if not key:
        return f"is no line of a policy{_why_not(path) or _meant(path)}"
    if isinstance(value, bool) or not isinstance(value, int | float):
        return f"is {value!r}, which is no number"
    least, most = LEAST.get(key, 0), MOST.get(key, LARGEST)
    if not least <= value <= most:
        return f"is {_short(value)}, a number from {least:g} to {most:g} is wanted"
    return ""


def _meant(path: text_of.Path) -> str:
    """Say which line may have been meant; nothing where none is alike."""
    known = [key.replace("_", ".", 1) for key in NAMES]
    alike = get_close_matches(".".join(path), known, 1)
    return f"; {alike[0]} may be meant" if alike else ""


def _why_not(path: text_of.Path) -> str:
    """Say why a path below `[flag]` stands for no line; nothing elsewhere."""
    if len(path) < 3 or path[0] != "flag":
        return ""
    if path[1] not in DEVICE_CLASSES:
        return f", and {path[1]} no device class ({', '.join(DEVICE_CLASSES)})"
    return f" that a device class has of its own ({', '.join(TUNED)})"


def _short(value: float) -> str:
    """Return a number as it was given, or that it is too long to be shown."""
    is_long = isinstance(value, int) and value.bit_length() > LONGEST_BITS
    return "a number of too many digits" if is_long else str(value)
