"""Small tables of control charts and of groups, typed in, with where they come from."""

from __future__ import annotations

import numpy as np

ORANGE_JUICE = np.array(
    [
        *(12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15),
        *(9, 12, 7, 13, 9, 6),
    ]
)
ORANGE_JUICE_LATER = np.array(
    [9, 6, 12, 5, 6, 4, 6, 3, 7, 6, 2, 4, 3, 6, 5, 4, 8, 5, 6, 7, 5, 6, 3, 5]
)
"""Leaking cans in samples of 50: Montgomery, ch. 7; counts as in the R package qcc."""

PURCHASE_SIZES = np.array(
    [
        *(100, 80, 80, 100, 110, 110, 100, 100, 90, 90, 110, 120, 120, 120, 110, 80, 80, 80, 90),
        *(100, 100, 100, 100, 90, 90),
    ]
)
PURCHASE_ERRORS = np.array(
    [12, 8, 6, 9, 10, 12, 11, 16, 10, 6, 20, 15, 9, 8, 6, 8, 10, 7, 5, 8, 5, 8, 10, 6, 9]
)
"""Purchase orders with an error: Montgomery, ch. 7 (from memory)."""

NIST_EWMA = np.array(
    [
        *(52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3),
        *(47.8, 51.2, 52.6, 52.4, 53.6, 52.1),
    ]
)
NIST_EWMA_ANSWERS = np.array(
    [
        *(50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36),
        *(49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99),
    ]
)
"""NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4."""

NIST_CUSUM = np.array(
    [
        *(324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600),
        *(324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350),
    ]
)
"""NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3."""

MONTGOMERY_CUSUM = np.array(
    [
        *(9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34, 9.03, 11.47, 10.51),
        *(9.40, 10.08, 9.37, 10.62, 10.31, 8.52, 10.84, 10.90, 9.33, 12.29, 11.50, 10.60, 11.08),
        *(10.38, 11.62, 11.31, 10.52),
    ]
)
"""Thirty readings, the last ten from a mean one standard deviation up: Montgomery, ch. 9."""

BATTING_HITS = np.array([18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7])
BATTING_LATER = np.array(
    [
        *(0.346, 0.298, 0.276, 0.222, 0.273, 0.270, 0.263, 0.210, 0.269, 0.230, 0.264, 0.256),
        *(0.303, 0.264, 0.226, 0.285, 0.316, 0.200),
    ]
)
"""Hits of 18 players in 45 turns, and their share over the rest of the season: Efron, Morris 1975,
as in the R package pscl."""

RAT_HITS = np.array(
    [
        *(14 * [0] + 8 * [1] + 9 * [2]),
        *(
            1,
            5,
            2,
            5,
            3,
            2,
            7,
            7,
            3,
            3,
            2,
            9,
            10,
            4,
            4,
            4,
            4,
            4,
            4,
            4,
            10,
            4,
            4,
            4,
            5,
            11,
            12,
            5,
            5,
        ),
        *(6, 5, 6, 6, 6, 6, 16, 15, 15, 9, 4),
    ]
)
RAT_TOTALS = np.array(
    [
        *(7 * [20] + 4 * [19] + [18, 18, 17] + 4 * [20] + [19, 19, 18, 18, 25, 24, 23] + 6 * [20]),
        *(10, 49, 19, 46, 27, 17, 49, 47, 20, 20, 13, 48, 50, 20, 20, 20, 20, 20, 20, 20, 48, 19),
        *(19, 19, 22, 46, 49, 20, 20, 23, 19, 22, 20, 20, 20, 52, 47, 46, 24, 14),
    ]
)
"""Tumours in 70 earlier groups of rats and, last, the current one: R. E. Tarone, Biometrics 38
(1982) 215, as in Gelman et al., Bayesian Data Analysis, table 5.1 (from memory)."""
