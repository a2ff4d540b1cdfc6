"""Published ladders of temperature differences, as reference."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    from analytics.statistics.sourced import Numbers


@dataclass(frozen=True)
class Ladder:
    """Action bands of a published table, in kelvins of rise.

    The table is printed for whole degrees, so what 3.5 K is remains undefined. Our own choice:
    a band begins at `first_k` inclusive, and the next where the rise exceeds an edge.
    """

    title: str
    first_k: float
    edges_k: tuple[float, ...]
    words: tuple[str, ...]
    source: str

    def band(self, rise_k: Numbers) -> npt.NDArray[np.int64]:
        """Return the band's index of each rise [K], 0 below the table; NaN gives -1.

        >>> OVER_SIMILAR.band([0.5, 3.0, 3.5, 15.1]).tolist()
        [0, 1, 2, 3]
        """
        import numpy as np

        from analytics.statistics.sourced import numbers

        rise = numbers(rise_k)
        over = np.searchsorted(np.array(self.edges_k), rise, side="left")
        index = np.where(rise >= self.first_k, over + 1, 0)
        return np.where(np.isnan(rise), -1, index).astype(np.int64)

    def word(self, rise_k: float) -> str:
        """Return the band of one rise [K] in words.

        >>> OVER_AMBIENT.word(38.9)
        'likely fault: watch until repaired'
        """
        if rise_k < self.first_k:
            return self.words[0]
        return "no rise" if rise_k != rise_k else self.words[1 + bisect_left(self.edges_k, rise_k)]


_NETA = "ANSI/NETA ATS and MTS, Table 100.18; edges between whole degrees are our own choice"
_POSSIBLE, _LIKELY, _MAJOR = (
    "possible fault: look into it",
    "likely fault: plan a repair",
    "serious",
)
OVER_SIMILAR = Ladder(
    "over a similar component under similar load",
    1.0,
    (3.0, 15.0),
    ("below the table", _POSSIBLE, _LIKELY, _MAJOR),
    _NETA,
)
OVER_AMBIENT = Ladder(
    "over ambient air",
    1.0,
    (10.0, 20.0, 40.0),
    ("below the table", _POSSIBLE, _LIKELY, "likely fault: watch until repaired", _MAJOR),
    _NETA,
)
