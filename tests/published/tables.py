"""Small tables from published sources, typed in, with where they come from."""

from __future__ import annotations

from pathlib import Path

import numpy as np

DANWOOD_X = np.array([1.309, 1.471, 1.490, 1.565, 1.611, 1.680])
DANWOOD_Y = np.array([2.138, 3.421, 3.597, 4.340, 4.882, 5.660])
"""Energy radiated by a carbon filament against temperature: NIST StRD, DanWood."""

CARS_SPEED = np.repeat(
    [4, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 22, 23, 24, 25],
    [2, 2, 1, 1, 3, 2, 4, 4, 4, 3, 2, 3, 4, 3, 5, 1, 1, 4, 1],
).astype(float)
CARS_DISTANCE = np.array(
    [
        *(2, 10, 4, 22, 16, 10, 18, 26, 34, 17, 28, 14, 20, 24, 28, 26, 34, 34, 46, 26, 36, 60, 80),
        *(20, 26, 54, 32, 40, 32, 40, 50, 42, 56, 76, 84, 36, 46, 68, 32, 48, 52, 56, 64, 66, 54),
        *(70, 92, 93, 120, 85),
    ],
    dtype=float,
)
"""Stopping distance against speed: M. Ezekiel, Methods of Correlation Analysis (1930)."""

PONTIUS_X = np.tile(150_000.0 * np.arange(1, 21), 2)
PONTIUS_Y = np.array(
    [
        *(0.11019, 0.21956, 0.32949, 0.43899, 0.54803, 0.65694, 0.76562, 0.87487, 0.98292, 1.09146),
        *(1.20001, 1.30822, 1.41599, 1.52399, 1.63194, 1.73947, 1.84646, 1.95392, 2.06128, 2.16844),
        *(0.11052, 0.22018, 0.32939, 0.43886, 0.54798, 0.65739, 0.76596, 0.87474, 0.98300, 1.09150),
        *(1.20004, 1.30818, 1.41613, 1.52408, 1.63159, 1.73965, 1.84696, 1.95445, 2.06177, 2.16829),
    ]
)
"""Load-cell calibration: NIST StRD, Pontius."""

GUM_H2 = np.array(
    [
        [5.007, 19.663e-3, 1.0456],
        [4.994, 19.639e-3, 1.0438],
        [5.005, 19.640e-3, 1.0468],
        [4.990, 19.685e-3, 1.0428],
        [4.999, 19.678e-3, 1.0433],
    ]
)
"""Voltage [V], current [A], phase [rad], read together five times: JCGM 100:2008, H.2."""

GUM_H3_READING = np.array(
    [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
)
GUM_H3_CORRECTION = -np.array(
    [0.171, 0.169, 0.166, 0.159, 0.164, 0.165, 0.156, 0.157, 0.159, 0.161, 0.160]
)
"""A thermometer's readings and corrections [°C]: JCGM 100:2008, H.3."""

PEARSON_YORK = np.array(
    [
        *([0.0, 5.9, 1000, 1], [0.9, 5.4, 1000, 1.8], [1.8, 4.4, 500, 4], [2.6, 4.6, 800, 8]),
        *([3.3, 3.5, 200, 20], [4.4, 3.7, 80, 20], [5.2, 2.8, 60, 70], [6.1, 2.8, 20, 70]),
        *([6.5, 2.4, 1.8, 100], [7.4, 1.5, 1, 500]),
    ]
)
"""x, y and their weights: K. Pearson (1901), weights by D. York (1966)."""

FULLER_CORN = np.array([86.0, 115, 90, 86, 110, 91, 99, 96, 99, 104, 96])
FULLER_NITROGEN = np.array([70.0, 97, 53, 64, 95, 64, 50, 70, 94, 69, 51])
"""Corn yield against soil nitrogen: W. A. Fuller, Measurement Error Models (1987), table 1.2.1."""


def norris() -> tuple[np.ndarray, np.ndarray]:
    """Return x and y of NIST StRD's Norris, from the file that scipy carries."""
    import scipy.stats

    folder = Path(scipy.stats.__file__).parent / "tests" / "data" / "nist_linregress"
    lines = (folder / "Norris.dat").read_text(encoding="ascii").splitlines()[60:96]
    table = np.array([line.split() for line in lines], dtype=float)
    return table[:, 1], table[:, 0]


def numacc(order: int) -> np.ndarray:
    """Return the values of NIST StRD's univariate set NumAcc1 to NumAcc4."""
    if order == 1:
        return np.array([10_000_001.0, 10_000_003.0, 10_000_002.0])
    base = {2: 1.0, 3: 1_000_000.0, 4: 10_000_000.0}[order]
    return np.array([base + 0.2, *[base + 0.1, base + 0.3] * 500])
