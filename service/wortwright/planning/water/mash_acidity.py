"""The pH of a mash: a forecast with its error, a dose to be given by halves, what it taught."""

from collections.abc import Iterable
from dataclasses import dataclass

from wortwright.brewing.alkalinity import residual_alkalinity_meq_l
from wortwright.brewing.ions import Water
from wortwright.brewing.mash_acid import MOST_REST, acid_dose_ml, base_dose_g, rest_of_dose
from wortwright.brewing.mash_ph import Mash, MashedMalt, mash_ph, ph_in_hot_mash
from wortwright.brewing.mash_ph_offset import PhInstrument, PhOffset, learn_ph_offset
from wortwright.brewing.salts import salt
from wortwright.brewing.tables.malt_acidity import MaltClass, malt_acidity
from wortwright.planning.cautions import Caution, caution
from wortwright.planning.plan import Finding
from wortwright.planning.water.mash_doubts import of_dose, of_malts, of_ph, of_readings
from wortwright.planning.water.mash_malts import CountedMalt, MaltInMash, PhDose, PhWanted

METER_ERROR_PH = 0.05
"""A pH this near its target cannot be told from it by a calibrated meter."""


@dataclass(frozen=True, slots=True)
class MashPhForecast:
    """pH of a cooled sample with the half-width of its interval, and what follows from it.

    ``ph_by_balance`` is the forecast without what the brewer's own readings taught: the one to
    set beside a reading of this mash.
    """

    ph: float
    half_width: float
    ph_in_hot_mash: float
    mash_temperature_c: float
    ph_by_balance: float
    residual_alkalinity_meq_l: float
    learnt: PhOffset
    malts: tuple[CountedMalt, ...]
    dose: PhDose | None
    warnings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class FirstPart:
    """The first part of a dose as it was given: acid [mL] or base [g], the other None."""

    acid_ml: float | None = None
    base_g: float | None = None


@dataclass(frozen=True, slots=True)
class PhCorrection:
    """What is still to be given, of what the first part was."""

    acid_ml: float | None
    base_g: float | None
    summary: str
    warnings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]


def forecast_mash_ph(
    malts: tuple[MaltInMash, ...],
    water: Water,
    water_l: float,
    mash_temperature_c: float,
    wanted: PhWanted,
) -> MashPhForecast:
    """Forecast the pH of a mash.

    Parameters
    ----------
    malts : tuple of MaltInMash
        The grist.
    water : Water
        The water in the mash tun; sparge water does not count.
    water_l : float
        Its volume. [L]
    mash_temperature_c : float
        Temperature of the mash, 0 to 100. [degC]
    wanted : PhWanted
        Target, acid and base at hand, readings of earlier mashes.

    Returns
    -------
    MashPhForecast
        pH at room temperature and in the hot mash, its error, the dose.

    Raises
    ------
    OutOfRangeError
        Without a malt that counts, or for values outside their range.
    UnknownSaltError
        For a base that raises no pH.
    """
    counted = tuple(map(_counted, (malt for malt in malts if malt.counts)))
    by_balance = mash_ph(_mash(counted, water, water_l, 0.0))
    learnt = learn_ph_offset(wanted.readings)
    mash = _mash(counted, water, water_l, learnt.offset_ph)
    ph = mash_ph(mash).ph
    dose = _dose(mash, ph, wanted)
    return MashPhForecast(
        ph=ph,
        half_width=learnt.half_width if learnt.readings_used else by_balance.half_width,
        ph_in_hot_mash=ph_in_hot_mash(ph, mash_temperature_c),
        mash_temperature_c=mash_temperature_c,
        ph_by_balance=by_balance.ph,
        residual_alkalinity_meq_l=residual_alkalinity_meq_l(water),
        learnt=learnt,
        malts=counted,
        dose=dose,
        warnings=(
            *of_malts(malts, counted),
            *of_readings(wanted.readings),
            *of_ph(ph, dose),
            *of_dose(dose, water_l, wanted),
        ),
        cautions=_cautions(dose),
    )


def correct_mash_ph(
    given: FirstPart,
    ph_before: float,
    ph_after: float,
    target_ph: float,
    instrument: PhInstrument,
) -> PhCorrection:
    """Work out the rest of a dose from what its first part did.

    Parameters
    ----------
    given : FirstPart
        The first part, of acid or of base.
    ph_before, ph_after : float
        Readings of cooled samples before and after it.
    target_ph : float
        pH wanted.
    instrument : PhInstrument
        What the readings were made with.

    Returns
    -------
    PhCorrection
        The rest, at most twice the first part.

    Raises
    ------
    DoseWithoutEffectError
        If the readings did not move towards the target.
    OutOfRangeError
        For values outside their range.
    """
    is_acid = given.acid_ml is not None
    first = (given.acid_ml if is_acid else given.base_g) or 0.0
    rest = rest_of_dose(first, ph_before, ph_after, target_ph)
    found = []
    if rest >= MOST_REST * first * (1.0 - 1e-9):
        found.append(
            Finding(
                "measure_again",
                "The rest is held to twice the first part: give it, and measure again.",
            )
        )
    if instrument is PhInstrument.STRIP:
        found.append(
            Finding(
                "read_by_strip",
                "A strip is right to 0.3 at best; half of what it asks for is enough until a "
                "meter has been found.",
            )
        )
    said = "Enough was given." if rest == 0.0 else "Give the rest, stir, and measure once more."
    return PhCorrection(
        acid_ml=rest if is_acid else None,
        base_g=None if is_acid else rest,
        summary=said,
        warnings=tuple(found),
        cautions=(caution("acid" if is_acid else "lime"),),
    )


def _counted(malt: MaltInMash) -> CountedMalt:
    row = None if malt.malt_class is None else malt_acidity(malt.malt_class)
    ph, buffering = malt.distilled_water_ph, malt.buffering_meq_per_kg_ph
    if row is not None:
        ph = row.distilled_water_ph if ph is None else ph
        buffering = row.buffering_meq_per_kg_ph if buffering is None else buffering
    assert ph is not None
    assert buffering is not None
    of_lot = malt.distilled_water_ph is not None
    return CountedMalt(malt.name, malt.mass_kg, malt.malt_class, ph, buffering, of_lot)


def _mash(malts: Iterable[CountedMalt], water: Water, water_l: float, offset_ph: float) -> Mash:
    return Mash(
        tuple(
            MashedMalt(
                malt.mass_kg,
                malt.distilled_water_ph,
                malt.buffering_meq_per_kg_ph,
                # A lot's own pH already holds the acid that the malt carries.
                0.0 if malt.of_lot else _lactic_share(malt.malt_class),
                malt.of_lot,
            )
            for malt in malts
        ),
        water,
        water_l,
        offset_ph=offset_ph,
    )


def _lactic_share(malt_class: MaltClass | None) -> float:
    return 0.0 if malt_class is None else malt_acidity(malt_class).lactic_share


def _dose(mash: Mash, ph: float, wanted: PhWanted) -> PhDose | None:
    target = wanted.target_ph
    if target is None or abs(ph - target) < METER_ERROR_PH:
        return None
    if ph > target:
        acid = acid_dose_ml(mash, target, wanted.acid, 100.0 * wanted.acid_strength)
        return PhDose(
            target, wanted.acid, acid_ml=acid, base_g=None, acid_strength=wanted.acid_strength
        )
    base = salt(wanted.base)
    return PhDose(target, base.key, acid_ml=None, base_g=base_dose_g(mash, target, base))


def _cautions(dose: PhDose | None) -> tuple[Caution, ...]:
    if dose is None:
        return ()
    if dose.acid_ml is not None:
        return (caution("acid"),)
    return (caution("lime"),) if dose.agent == "slaked_lime" else ()
