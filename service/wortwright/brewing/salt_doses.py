"""Salt doses and the share of water to replace, by bounded linear least squares."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np
import numpy.typing as npt
from scipy.optimize import brentq, lsq_linear

from wortwright.brewing.errors import require_between
from wortwright.brewing.ions import CONTENTS, Water, combine
from wortwright.brewing.salts import UnknownSaltError, brought_by_g_per_l
from wortwright.brewing.tables.salts import GoesIn, Salt
from wortwright.brewing.water_targets import Side, Wish, misses

TOLERANCE = 0.05
"""Root mean square relative miss that counts as reached (common practice)."""

# so small that it settles only which of several equal solutions is the least salt
_LEAST_SALT = 1e-6

_Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Doses:
    """What to do to one litre of brewing water.

    ``kept_share`` is the share of the source water [fraction]; ``salts_g_per_l`` stands in the
    order of the salts asked about; ``miss`` is the root mean square relative miss [-].
    """

    kept_share: float
    salts_g_per_l: tuple[float, ...]
    water: Water
    miss: float
    reached: bool


def treat(
    source: Water, dilution: Water, kept_share: float, doses: Sequence[tuple[Salt, float]]
) -> Water:
    """Water after dilution and salts.

    Parameters
    ----------
    source, dilution : Water
        The source water and what replaces part of it.
    kept_share : float
        Share of source water [fraction], 0 to 1.
    doses : sequence of (Salt, float)
        Salts and their doses [g/L].

    Returns
    -------
    Water
        Contents of the mixture, everything dissolved.

    Raises
    ------
    OutOfRangeError
        For a share outside 0 to 1.
    """
    require_between("share of source water", kept_share, 0.0, 1.0)
    return combine(
        [
            (source, kept_share),
            (dilution, 1.0 - kept_share),
            *((brought_by_g_per_l(salt), dose) for salt, dose in doses),
        ]
    )


def doses_for(
    source: Water,
    wishes: tuple[Wish, ...],
    salts: tuple[Salt, ...],
    dilution: Water | None = None,
    tolerance: float = TOLERANCE,
) -> Doses:
    """Doses that come nearest to the wishes with the least dilution that meets the tolerance.

    Parameters
    ----------
    source : Water
        The brewer's water.
    wishes : tuple of Wish
        What is wanted; with none, nothing is done.
    salts : tuple of Salt
        The salts at hand, each a salt for water.
    dilution : Water or None
        Reverse-osmosis water at hand, or None.
    tolerance : float
        Root mean square relative miss that counts as reached [-], 0 to 1.

    Returns
    -------
    Doses
        Doses within each salt's cap, never negative. If no mixture meets the tolerance, the
        nearest one, with ``reached`` false.

    Raises
    ------
    UnknownSaltError
        For a salt that acts in the mash only.
    OutOfRangeError
        For a tolerance outside the range.

    Notes
    -----
    The least miss is a convex function of the share kept, so the largest share within the
    tolerance lies between the best share and one, and bracketing finds it. Where salts are
    interchangeable the least salt is taken.
    """
    require_between("tolerance", tolerance, 0.0, 1.0)
    _refuse_mash_salts(salts)
    if not wishes:
        return Doses(1.0, (0.0,) * len(salts), source, 0.0, reached=True)
    problem = _Problem(source, dilution or source, wishes, salts)
    whole = problem.best_at(1.0)
    if whole.miss <= tolerance or dilution is None:
        return _judged(whole, tolerance)
    best = problem.best()
    allowed = max(tolerance, best.miss)
    if best.kept_share >= 1.0 or best.miss >= tolerance:
        return _judged(best, tolerance)
    share = brentq(
        lambda kept: problem.best_at(kept).miss - allowed, best.kept_share, 1.0, xtol=1e-9
    )
    return _judged(problem.best_at(share), tolerance + 1e-6)


@dataclass(frozen=True, slots=True)
class _Problem:
    """Least squares over salts, slack of one-sided wishes and, when free, the share kept."""

    source: Water
    dilution: Water
    wishes: tuple[Wish, ...]
    salts: tuple[Salt, ...]

    def best_at(self, kept_share: float) -> Doses:
        """Nearest doses for a given share of source water."""
        base = treat(self.source, self.dilution, kept_share, ())
        solved = self._solve(self._columns(), base, self._upper())
        return self._doses(kept_share, solved)

    def best(self) -> Doses:
        """Nearest doses and share."""
        change = self._rows() @ (_vector(self.source) - _vector(self.dilution))
        columns = np.column_stack([change, self._columns()])
        solved = self._solve(columns, self.dilution, np.append(1.0, self._upper()))
        return self._doses(float(solved[0]), solved[1:])

    def _solve(self, columns: _Array, base: Water, upper: _Array) -> _Array:
        goals = np.array([wish.goal / wish.scale for wish in self.wishes])
        ridge = np.eye(columns.shape[1]) * _LEAST_SALT
        solution = lsq_linear(
            np.vstack([columns, ridge]),
            np.append(goals - self._rows() @ _vector(base), np.zeros(columns.shape[1])),
            bounds=(0.0, upper),
            method="bvls",
            tol=1e-14,
        )
        solved: _Array = np.clip(solution.x, 0.0, upper)
        return solved

    def _rows(self) -> _Array:
        return np.array([np.array(wish.coefficients) / wish.scale for wish in self.wishes])

    def _columns(self) -> _Array:
        salts = [self._rows() @ _vector(brought_by_g_per_l(salt)) for salt in self.salts]
        columns = [*salts, *self._slack()]
        return np.column_stack(columns) if columns else np.zeros((len(self.wishes), 0))

    def _upper(self) -> _Array:
        caps = [salt.most_g_per_l for salt in self.salts]
        return np.array([*caps, *(np.inf for _ in self._slack())])

    def _slack(self) -> list[_Array]:
        # what lies on the free side of a one-sided wish is an unknown of its own, at no cost
        signs = {Side.BELOW: -1.0, Side.ABOVE: 1.0}
        identity = np.eye(len(self.wishes))
        return [
            signs[wish.side] * row
            for wish, row in zip(self.wishes, identity, strict=True)
            if wish.side in signs
        ]

    def _doses(self, kept_share: float, solved: _Array) -> Doses:
        grams = tuple(float(dose) for dose in solved[: len(self.salts)])
        water = treat(
            self.source, self.dilution, kept_share, tuple(zip(self.salts, grams, strict=True))
        )
        missed = misses(water, self.wishes)
        miss = hypot(*missed) / sqrt(len(missed))
        return Doses(kept_share, grams, water, miss, reached=False)


def _vector(water: Water) -> _Array:
    return np.array([getattr(water, name) for name in CONTENTS])


def _judged(doses: Doses, tolerance: float) -> Doses:
    return Doses(
        doses.kept_share,
        doses.salts_g_per_l,
        doses.water,
        doses.miss,
        reached=doses.miss <= tolerance,
    )


def _refuse_mash_salts(salts: tuple[Salt, ...]) -> None:
    for each in salts:
        if each.goes_in is GoesIn.MASH:
            reason = "it hardly dissolves, or acts as softener, in water; it goes into the mash"
            raise UnknownSaltError(each.key, reason)
