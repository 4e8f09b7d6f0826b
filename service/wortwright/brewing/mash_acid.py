"""Acid or base that brings a mash to its pH: half of it first, then measure, then the rest.

Published buffering of malts spans a factor of two to three, so a whole dose by calculation may
overshoot; the mash itself tells the rest.
"""

from dataclasses import dataclass, replace

from wortwright.brewing.acids import Acid, acid_meq_per_ml
from wortwright.brewing.alkalinity import (
    CALCIUM_DIVISOR,
    MAGNESIUM_DIVISOR,
    neutralised_share,
)
from wortwright.brewing.errors import require_between
from wortwright.brewing.ions import equivalent_mass_mg_per_meq
from wortwright.brewing.mash_ph import Mash, surplus_base_meq
from wortwright.brewing.salts import UnknownSaltError, brought_by_g_per_l, molar_mass_g_per_mol
from wortwright.brewing.tables.salts import Salt

LOWEST_TARGET_PH, HIGHEST_TARGET_PH = 4.7, 6.5
FIRST_SHARE = 0.5

MOST_REST = 2.0
"""The rest is at most this many times the first part; then measure again."""

CHALK_SHARE = 0.5
"""Share of stirred-in chalk that acts in a mash (common practice)."""


@dataclass(frozen=True, slots=True)
class Dose:
    """A dose in total and what to give before measuring: millilitres of acid, grams of salt."""

    total: float
    first: float


class DoseWithoutEffectError(ValueError):
    """Readings that did not move towards the target after a dose."""

    def __init__(self, ph_before: float, ph_after: float) -> None:
        super().__init__(
            f"pH went from {ph_before:.2f} to {ph_after:.2f}: stir, cool the sample, measure again"
        )
        self.ph_before = ph_before
        self.ph_after = ph_after


def acid_dose_ml(mash: Mash, target_ph: float, acid: Acid, strength_percent: float) -> Dose:
    """Acid that brings a mash down to a pH.

    Parameters
    ----------
    mash : Mash
        Malts, water and acids already given.
    target_ph : float
        pH wanted at room temperature [-], 4.7 to 6.5. Common are 5.2 to 5.6.
    acid : Acid
        The acid at hand.
    strength_percent : float
        Percent by mass [%], 1 to 88 for lactic, 1 to 85 for phosphoric acid.

    Returns
    -------
    Dose
        Volume [mL], 0 if the mash is below the target already; uncertain by half of itself.

    Raises
    ------
    OutOfRangeError
        For a pH or strength outside the range.
    """
    wanting_meq = max(_surplus_meq(mash, target_ph), 0.0)
    per_ml = acid_meq_per_ml(acid, strength_percent, target_ph - mash.offset_ph)
    return _dose(wanting_meq / per_ml)


def base_dose_g(mash: Mash, target_ph: float, salt: Salt) -> Dose:
    """Alkaline salt that brings a mash up to a pH.

    Parameters
    ----------
    mash : Mash
        Malts, water and acids.
    target_ph : float
        pH wanted at room temperature [-], 4.7 to 6.5.
    salt : Salt
        Baking soda, slaked lime, chalk or another salt that brings alkalinity.

    Returns
    -------
    Dose
        Mass [g], 0 if the mash is above the target already; uncertain by half of itself.

    Raises
    ------
    UnknownSaltError
        For a salt that raises no pH.
    OutOfRangeError
        For a pH outside the range.
    """
    wanting_meq = max(-_surplus_meq(mash, target_ph), 0.0)
    return _dose(wanting_meq / base_meq_per_g(salt, target_ph - mash.offset_ph))


def base_meq_per_g(salt: Salt, ph: float) -> float:
    """Protons that one gram of a salt takes up in a mash at a pH.

    Parameters
    ----------
    salt : Salt
        A salt that brings alkalinity.
    ph : float
        pH reached [-], 2 to 12.5.

    Returns
    -------
    float
        Base [mEq/g]. What stays bicarbonate has taken up one proton less, and calcium gives
        some back; half of chalk acts.

    Raises
    ------
    UnknownSaltError
        For a salt that raises no pH.
    OutOfRangeError
        For a pH outside the range.
    """
    brought = brought_by_g_per_l(salt)
    carbon = sum(count for ion, count in salt.ions if ion in ("bicarbonate", "carbonate"))
    kept_back = 1000.0 * carbon / molar_mass_g_per_mol(salt) * (1.0 - neutralised_share(ph))
    given_back = brought.calcium_mg_l / equivalent_mass_mg_per_meq("calcium") / CALCIUM_DIVISOR
    given_back += (
        brought.magnesium_mg_l / equivalent_mass_mg_per_meq("magnesium") / MAGNESIUM_DIVISOR
    )
    base = brought.alkalinity_meq_l - kept_back - given_back
    if base <= 0.0:
        raise UnknownSaltError(salt.key, "it raises no pH")
    return base * (CHALK_SHARE if salt.key == "chalk" else 1.0)


def with_acid(mash: Mash, acid: Acid, amount_mmol: float) -> Mash:
    """Put acid into a mash.

    Parameters
    ----------
    mash : Mash
        The mash before.
    acid : Acid
        The acid.
    amount_mmol : float
        Its amount [mmol], 0 or more.

    Returns
    -------
    Mash
        The mash after.
    """
    return replace(mash, acid_mmol=(*mash.acid_mmol, (acid, amount_mmol)))


def rest_of_dose(first: float, ph_before: float, ph_after: float, target_ph: float) -> float:
    """Work out what is still to be given once the first part has shown what it does.

    Parameters
    ----------
    first : float
        The first part, as it was measured out [mL or g], above 0.
    ph_before, ph_after : float
        Meter readings of cooled samples before and after it [-], 3 to 10.
    target_ph : float
        pH wanted [-], 4.7 to 6.5.

    Returns
    -------
    float
        In the unit of ``first``; 0 once the target is reached or passed, and never more than
        twice the first part, after which to measure again.

    Raises
    ------
    OutOfRangeError
        For a target or first part outside the range.
    DoseWithoutEffectError
        For readings that did not move, or moved away from the target.

    Notes
    -----
    A straight line through both readings.
    """
    require_between("target pH", target_ph, LOWEST_TARGET_PH, HIGHEST_TARGET_PH)
    require_between("first part", first, 1e-6, 1e6)
    moved, wanted = ph_after - ph_before, target_ph - ph_before
    if moved * wanted <= 0.0:
        raise DoseWithoutEffectError(ph_before, ph_after)
    rest = first * (target_ph - ph_after) / moved
    return min(max(rest, 0.0), MOST_REST * first)


def _surplus_meq(mash: Mash, target_ph: float) -> float:
    require_between("target pH", target_ph, LOWEST_TARGET_PH, HIGHEST_TARGET_PH)
    return surplus_base_meq(mash, target_ph)


def _dose(total: float) -> Dose:
    return Dose(total, FIRST_SHARE * total)
