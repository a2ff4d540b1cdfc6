"""Things worth telling that do not stop the work: code, sentence, data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Notice:
    """One remark that travels with a result and is printed where the result is shown.

    `code` is a short stable word, `sentence` is for the reader, `data` carries the numbers.
    """

    code: str
    sentence: str
    data: Mapping[str, object] = field(default_factory=dict)


SHORT_CAUTION = (
    "Live panels can shock and arc: qualified persons only. A scan sees surfaces at one moment "
    "and one load; every finding is suspected until a licensed electrician has examined the "
    "de-energised part. Local code and the authority having jurisdiction decide."
)

URGENT = "Smell, smoke, discolouration, buzzing or scorching outrank any number: urgent help."

CAUTIONS = (
    "Removing a dead front exposes live parts: qualified persons only, with shock and arc-flash "
    "protection (NFPA 70E; CSA Z462 in Canada). Service lugs stay live with the main off.",
    "Never overload a circuit on purpose, and never tighten or touch a live terminal to confirm "
    "heat.",
    "A scan sees surfaces at one moment and one load; “nothing found” is no certificate.",
    URGENT,
    "A finding is “suspected” until a licensed electrician has examined the de-energised part. "
    "Local code and the authority having jurisdiction decide.",
)
