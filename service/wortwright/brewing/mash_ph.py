"""Mash pH from a balance of protons between malts, water and acids.

pH is that of a sample cooled to room temperature unless the name says otherwise. The figure
is a forecast with a wide error: malt of one name differs from lot to lot by 0.4 pH.
"""

from dataclasses import dataclass
from math import fsum

from scipy.optimize import brentq

from wortwright.brewing.acids import ACID_G_PER_MOL, Acid, protons_per_mole
from wortwright.brewing.alkalinity import (
    neutralised_share,
    residual_alkalinity_meq_l,
)
from wortwright.brewing.errors import OutOfRangeError, require_between, require_positive
from wortwright.brewing.ions import Water
from wortwright.brewing.tables.malt_acidity import MaltClass, malt_acidity

LOWEST_MASH_PH, HIGHEST_MASH_PH = 3.0, 10.0

ERROR_FROM_CLASSES, ERROR_FROM_LOTS = 0.2, 0.1
"""Half-width of the interval of a forecast [pH], about 95 % (design values, no source)."""

PH_FALL_PER_C = 0.0078
"""A hot mash reads lower than its cooled sample: 0.35 at 65 degC and 0.45 at 78 degC, both on
one line through room temperature. Briggs, Boulton, Brookes & Stevens, *Brewing: Science and
Practice*, 2004, p. 115 (quoted). The flat 0.3 in common use is the same within a meter's error."""

ROOM_TEMPERATURE_C = 20.0


@dataclass(frozen=True, slots=True)
class MashedMalt:
    """One malt in the mash.

    ``distilled_water_ph`` is its mash pH in distilled water [-]; ``buffering_meq_per_kg_ph``
    its buffering [mEq/(kg pH)]; ``lactic_share`` the lactic acid it carries [kg/kg];
    ``lot_data`` says that the figures are this lot's own.
    """

    mass_kg: float
    distilled_water_ph: float
    buffering_meq_per_kg_ph: float
    lactic_share: float = 0.0
    lot_data: bool = False


@dataclass(frozen=True, slots=True)
class Mash:
    """Malts, the water in the mash tun (never the sparge) and acids given.

    ``acid_mmol`` names each acid's amount [mmol]; ``offset_ph`` is what this brewer's meter
    has read above the balance so far [pH].
    """

    malts: tuple[MashedMalt, ...]
    water: Water
    water_l: float
    acid_mmol: tuple[tuple[Acid, float], ...] = ()
    offset_ph: float = 0.0


@dataclass(frozen=True, slots=True)
class MashPh:
    """A forecast: pH at room temperature and the half-width of its interval [pH]."""

    ph: float
    half_width: float


def malt_of_class(malt_class: MaltClass, mass_kg: float) -> MashedMalt:
    """Describe a malt of which nothing but its class is known.

    Parameters
    ----------
    malt_class : MaltClass
        The class.
    mass_kg : float
        Mass in the mash [kg], above 0.

    Returns
    -------
    MashedMalt
        With the table's acidity.

    Raises
    ------
    OutOfRangeError
        For no mass.
    """
    require_positive("malt", mass_kg, "kg")
    row = malt_acidity(malt_class)
    return MashedMalt(
        mass_kg, row.distilled_water_ph, row.buffering_meq_per_kg_ph, row.lactic_share
    )


def surplus_base_meq(mash: Mash, ph: float) -> float:
    """Acid that would bring a mash to a pH; less than nothing if it takes base.

    Parameters
    ----------
    mash : Mash
        Malts, water and acids.
    ph : float
        pH at room temperature as this brewer's meter reads it [-], 3 to 10.

    Returns
    -------
    float
        Protons wanting [mEq]; falls as pH rises, and is zero at the mash pH.

    Raises
    ------
    OutOfRangeError
        For a pH outside the range.

    Notes
    -----
    Malt: m B (pHDI - pH). Water: V (Alk (1 - f) - Ca/3.5 - Mg/7), f the share still
    bicarbonate, carbon dioxide staying dissolved. Acids: what they have given up at that pH.

    References
    ----------
    A. J. deLange, "Predicting and controlling mash pH using simple models for mash component
    acid/base characteristics," MBAA Tech. Quart. 52(1), 2015 (abstract).
    """
    require_between("mash pH", ph, LOWEST_MASH_PH, HIGHEST_MASH_PH)
    balance_ph = ph - mash.offset_ph
    malts = fsum(
        malt.mass_kg * malt.buffering_meq_per_kg_ph * (malt.distilled_water_ph - balance_ph)
        for malt in mash.malts
    )
    acids = fsum(amount * protons_per_mole(acid, balance_ph) for acid, amount in _acids_mmol(mash))
    return malts + mash.water_l * _water_meq_l(mash.water, balance_ph) - acids


def mash_ph(mash: Mash) -> MashPh:
    """Mash pH at which protons given equal protons taken.

    Parameters
    ----------
    mash : Mash
        At least one malt of positive mass and buffering; water above 0.

    Returns
    -------
    MashPh
        pH at room temperature and its error: 0.1 if every malt carries lot data, else 0.2.

    Raises
    ------
    OutOfRangeError
        Without malt or water, or if the balance lies outside pH 3 to 10.
    """
    _require_mash(mash)
    most, least = surplus_base_meq(mash, LOWEST_MASH_PH), surplus_base_meq(mash, HIGHEST_MASH_PH)
    if most < 0.0 or least > 0.0:
        excess = most if most < 0.0 else least
        raise OutOfRangeError("base in the mash", excess, "what leaves it at pH 3 to 10 [mEq]")
    ph = brentq(lambda trial: surplus_base_meq(mash, trial), LOWEST_MASH_PH, HIGHEST_MASH_PH)
    lots = all(malt.lot_data for malt in mash.malts)
    return MashPh(float(ph), ERROR_FROM_LOTS if lots else ERROR_FROM_CLASSES)


def mash_ph_linear(mash: Mash) -> float:
    """Mash pH by the straight-line form of the balance, all carbon dioxide lost.

    Parameters
    ----------
    mash : Mash
        At least one malt of positive mass and buffering; acids count as one proton a mole.

    Returns
    -------
    float
        pH at room temperature [-]; above `mash_ph` by up to 0.05 in alkaline water.

    Raises
    ------
    OutOfRangeError
        Without malt or water.

    Notes
    -----
    (sum m B pHDI + V RA - acid) / sum(m B). A sibling to check the balance against; with
    4 L/kg and 48 mEq/(kg pH) it gives Kolbach's 0.084 pH per meq/L.
    """
    _require_mash(mash)
    buffering = _buffering_meq_per_ph(mash)
    malts = fsum(
        malt.mass_kg * malt.buffering_meq_per_kg_ph * malt.distilled_water_ph for malt in mash.malts
    )
    acids = fsum(amount for _, amount in _acids_mmol(mash))
    water = mash.water_l * residual_alkalinity_meq_l(mash.water)
    return (malts + water - acids) / buffering + mash.offset_ph


def ph_in_hot_mash(ph: float, temperature_c: float) -> float:
    """Give what a mash reads hot, from what its cooled sample reads.

    Parameters
    ----------
    ph : float
        pH at 20 degC [-].
    temperature_c : float
        Temperature of the mash [degC], 0 to 100.

    Returns
    -------
    float
        pH at that temperature [-], 0.35 lower at 65 degC.

    Raises
    ------
    OutOfRangeError
        For a temperature outside the range.
    """
    return ph - _ph_fall(temperature_c)


def ph_at_room_temperature(ph: float, sample_temperature_c: float) -> float:
    """Give what a sample would read cooled, the inverse of `ph_in_hot_mash`.

    Parameters
    ----------
    ph : float
        pH as read [-]. A meter's own temperature compensation corrects its probe, not this.
    sample_temperature_c : float
        Temperature of the sample when read [degC], 0 to 100.

    Returns
    -------
    float
        pH at 20 degC [-].

    Raises
    ------
    OutOfRangeError
        For a temperature outside the range.
    """
    return ph + _ph_fall(sample_temperature_c)


def _ph_fall(temperature_c: float) -> float:
    require_between("temperature", temperature_c, 0.0, 100.0, "degC")
    return PH_FALL_PER_C * (temperature_c - ROOM_TEMPERATURE_C)


def _water_meq_l(water: Water, ph: float) -> float:
    # water that is acid itself has no bicarbonate to keep back
    kept_back = max(water.alkalinity_meq_l, 0.0) * (1.0 - neutralised_share(ph))
    return residual_alkalinity_meq_l(water) - kept_back


def _acids_mmol(mash: Mash) -> tuple[tuple[Acid, float], ...]:
    in_malt = fsum(malt.mass_kg * malt.lactic_share for malt in mash.malts)
    return (*mash.acid_mmol, (Acid.LACTIC, 1e6 * in_malt / ACID_G_PER_MOL[Acid.LACTIC]))


def _buffering_meq_per_ph(mash: Mash) -> float:
    return fsum(malt.mass_kg * malt.buffering_meq_per_kg_ph for malt in mash.malts)


def _require_mash(mash: Mash) -> None:
    require_positive("mash water", mash.water_l, "L")
    require_positive("buffering of the grist", _buffering_meq_per_ph(mash), "mEq/pH")
