"""Variance components by restricted likelihood: exact, for plain data and small fleets."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from analytics.baseline.fit import Fitted, run
from analytics.baseline.state import COEFFICIENTS, Array
from analytics.errors import NotConvergedError, NotEnoughDataError, UsageError
from analytics.settings import BaselineSettings, Held
from analytics.warehouse import Warehouse

COMPONENTS = ("make_offset", "camera", "visit")
"""Effects whose variance is learnt here; the others are held as given."""
MOST_TERMS = 3000
"""Terms above which the moments are the better way [1]; chosen: a dense system of 70 MB."""
_TIGHT = 1e-12
"""Largest relative change between sweeps [1]; chosen: near what doubles hold."""
_NIL = 1e-9
"""Share of its own error below which a component is 0 [1]; chosen: it shrinks by a constant factor
a sweep where the data speak against it."""
_MOST_SWEEPS = 20_000
_MOST_ROUNDS = 50
"""Sweeps and rounds before it counts as not converging [1]; chosen."""
_SETTLED = 1e-7
"""Relative change of a component between rounds that counts as none [1]; chosen."""

Term = tuple[str, int]


@dataclass(frozen=True)
class Products:
    """Weighted products of the terms: matrix (m, m), with the rise (m,), of the rise itself."""

    terms: tuple[Term, ...]
    matrix: Array
    right: Array
    square: float
    rows: int
    log_weight: float

    def where(self, part: str) -> NDArray[np.bool_]:
        """Return which terms belong to a part, (m,) bool."""
        return np.array([name == part for name, _ in self.terms])

    def without(self, part: str) -> Products:
        """Return the products with a part left out."""
        kept = np.array([name != part for name, _ in self.terms])
        terms = tuple(t for t, k in zip(self.terms, kept, strict=True) if k)
        return replace(
            self, terms=terms, matrix=self.matrix[np.ix_(kept, kept)], right=self.right[kept]
        )


@dataclass(frozen=True)
class Components:
    """Variance components at the maximum of the restricted likelihood.

    `held` carries them as settings; `solution` and `error` are the fixed terms' values and standard
    errors and the effects with their prediction errors, by term; `deviance` is minus twice the
    restricted log-likelihood.
    """

    held: Held
    solution: dict[Term, float]
    error: dict[Term, float]
    deviance: float
    sweeps: int


@dataclass
class _State:
    """Where the sweeps stand: one component a part [K^2], and the scale of the weights [1]."""

    components: dict[str, float]
    scale: float = 1.0
    solution: Array = field(default_factory=lambda: np.zeros(0))
    inverse: Array = field(default_factory=lambda: np.zeros((0, 0)))


def fit(
    warehouse: Warehouse, settings: BaselineSettings, *, is_scale_known: bool = False
) -> tuple[Fitted, Components]:
    """Fit the design with its variance components by restricted likelihood in place of moments.

    Takes a design in the store and settings whose `held` says where to start; a component held at 0
    stays out, and effects on the gain stay as held. Backfitting and components take turns until
    both stand still; in a linear model that is the second round. `is_scale_known` leaves the
    spreads as held, for readings that bring their own errors. Costs the square of the number of
    levels: for a fleet of thousands of visits take the moments of `run`.

    Raises UsageError without `held` or with too many levels, NotConvergedError with the history.
    Source: D. A. Harville, J. Am. Stat. Assoc. 72 (1977) 320.
    """
    if settings.held is None:
        raise UsageError("Restricted likelihood needs variance components to start from.")
    held, history = settings.held, []
    for _ in range(_MOST_ROUNDS):
        fitted = run(warehouse, replace(settings, held=held))
        found = maximise(warehouse, held, is_scale_known=is_scale_known)
        history.append(found.held)
        if _moved(held, found.held) < _SETTLED:
            return fitted, found
        held = found.held
    raise NotConvergedError(
        f"The variance components did not settle in {_MOST_ROUNDS} rounds: {history[-1]}.",
        "Take the moments instead.",
        tuple(history),
    )


def _moved(before: Held, after: Held) -> float:
    a, b = (np.array(list(asdict(one).values())) for one in (before, after))
    return float(np.max(np.abs(a - b) / np.maximum(np.maximum(np.abs(a), np.abs(b)), 1e-300)))


def maximise(warehouse: Warehouse, held: Held, *, is_scale_known: bool = False) -> Components:
    """Return the components at the maximum, for the design laid out in `fitting.predicted`.

    The fixed terms are flat, the exponent and effects on the gain stand where they are. A component
    that the data speak against comes out as exactly 0, and its effect with it.
    """
    products = _read(warehouse, held)
    state = _State({part: getattr(held, part) for part in COMPONENTS if getattr(held, part) > 0})
    for sweep in range(1, _MOST_SWEEPS + 1):
        moved = _sweep(products, state, is_scale_known)
        for part in [p for p in state.components if _is_nil(products, state, p)]:
            products = products.without(part)
            del state.components[part]
            moved = 1.0
        if moved < _TIGHT:
            return _finish(products, state, held, sweep)
    raise NotConvergedError(
        f"The restricted likelihood was not maximised in {_MOST_SWEEPS} sweeps.",
        "Take the moments instead.",
        (dict(state.components),),
    )


def _read(warehouse: Warehouse, held: Held) -> Products:
    rows = warehouse.rows("fitting.term_product")
    used = {*COEFFICIENTS, *(part for part in COMPONENTS if getattr(held, part) > 0)}
    terms = sorted({(part, level) for part, level, *_ in rows if part in used})
    if not 0 < len(terms) <= MOST_TERMS:
        trouble = NotEnoughDataError if not terms else UsageError
        raise trouble(f"{len(terms)} terms cannot be solved together; at most {MOST_TERMS} can.")
    at = {term: i for i, term in enumerate(terms)}
    matrix, right, square = np.zeros((len(terms), len(terms))), np.zeros(len(terms)), 0.0
    for part, level, other_part, other_level, product in rows:
        i, j = at.get((part, level)), at.get((other_part, other_level))
        if i is not None and j is not None:
            matrix[i, j] = product
        elif i is not None and other_part == "rise":
            right[i] = product
        elif part == other_part == "rise":
            square = product
    count, log_weight = warehouse.row("fitting.weight_sum")
    return Products(tuple(terms), matrix, right, square, int(count), float(log_weight))


def _sweep(products: Products, state: _State, is_scale_known: bool) -> float:
    """Solve the mixed-model equations, move every component; return the largest relative change.

    Each component becomes the squares of its effects over the levels they are worth:
    u'u / (q - tr(C^-1) / variance); its fixed point is the restricted likelihood's maximum.
    """
    system = products.matrix / state.scale
    for part, variance in state.components.items():
        system += np.diag(np.where(products.where(part), 1.0 / variance, 0.0))
    state.inverse = np.asarray(np.linalg.inv(system), dtype=np.float64)
    state.solution = state.inverse @ products.right / state.scale
    before, worth = [state.scale, *state.components.values()], float(len(products.terms))
    for part, variance in list(state.components.items()):
        mine = products.where(part)
        hidden = float(np.trace(state.inverse[np.ix_(mine, mine)])) / variance
        worth -= hidden
        square = float(state.solution[mine] @ state.solution[mine])
        state.components[part] = square / max(float(mine.sum()) - hidden, 1e-300)
    if not is_scale_known:
        left = products.square - 2.0 * state.solution @ products.right
        left += state.solution @ products.matrix @ state.solution
        state.scale = float(left) / (products.rows - worth)
    after = [state.scale, *state.components.values()]
    return float(max(abs(b / a - 1.0) for a, b in zip(before, after, strict=True)))


def _is_nil(products: Products, state: _State, part: str) -> bool:
    own = np.diag(products.matrix)[products.where(part)]
    return state.components[part] * float(np.median(own)) < _NIL * state.scale


def _finish(products: Products, state: _State, held: Held, sweeps: int) -> Components:
    random = [(products.where(p), v) for p, v in state.components.items()]
    fixed = len(products.terms) - sum(int(mine.sum()) for mine, _ in random)
    log_system = -float(np.linalg.slogdet(state.inverse)[1])
    log_effects = sum(float(mine.sum()) * float(np.log(v)) for mine, v in random)
    left = float(products.square - state.solution @ products.right) / state.scale
    deviance = (products.rows - fixed) * float(np.log(2.0 * np.pi)) - products.log_weight
    deviance += products.rows * float(np.log(state.scale)) + log_effects + log_system + left
    widened = float(np.sqrt(state.scale))
    values = {part: state.components.get(part, 0.0) for part in COMPONENTS}
    new = replace(
        held, noise_k=held.noise_k * widened, noise_share=held.noise_share * widened, **values
    )
    error = np.sqrt(np.diag(state.inverse))
    return Components(
        new,
        dict(zip(products.terms, map(float, state.solution), strict=True)),
        dict(zip(products.terms, map(float, error), strict=True)),
        deviance,
        sweeps,
    )
