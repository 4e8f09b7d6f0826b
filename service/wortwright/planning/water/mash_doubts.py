"""Doubts about a forecast of the mash pH and about its dose."""

from wortwright.brewing.acids import ACID_G_PER_MOL, Acid, acid_mmol_per_ml
from wortwright.brewing.mash_ph import ERROR_FROM_CLASSES
from wortwright.brewing.mash_ph_offset import PhInstrument, PhReading
from wortwright.brewing.salts import salt
from wortwright.planning.plan import Finding
from wortwright.planning.water.mash_malts import CountedMalt, MaltInMash, PhDose, PhWanted

LOWEST_USUAL_PH, HIGHEST_USUAL_PH = 5.2, 5.6
"""Range of mashes at room temperature (most handbooks, as quoted by the trade)."""

LACTATE_TASTE_MG_L = 400.0
"""Where the taste of lactate is said to begin (from memory)."""


def of_malts(malts: tuple[MaltInMash, ...], counted: tuple[CountedMalt, ...]) -> list[Finding]:
    """What is assumed of the malts, and what was left out."""
    found = []
    left_out = [malt.name for malt in malts if not malt.counts]
    if left_out:
        found.append(
            Finding(
                "malts_not_counted",
                f"Nothing is known of the acidity of {', '.join(left_out)}, so it was left out.",
            )
        )
    if not all(malt.of_lot for malt in counted):
        found.append(
            Finding(
                "malt_acidity_assumed",
                "The acidity of the malts is that of their class; lots of one class differ by "
                f"0.4 pH, so take the forecast as right to {ERROR_FROM_CLASSES:g} at best.",
            )
        )
    return found


def of_readings(readings: tuple[PhReading, ...]) -> list[Finding]:
    """Readings that do not teach."""
    strips = sum(reading.instrument is PhInstrument.STRIP for reading in readings)
    if not strips:
        return []
    return [
        Finding(
            "strips_left_out",
            f"{strips} readings by strip were left out: a strip is right to 0.3 at best.",
        )
    ]


def of_ph(ph: float, dose: PhDose | None) -> list[Finding]:
    """A pH outside the usual range, where no dose was asked for."""
    if dose is not None or LOWEST_USUAL_PH <= ph <= HIGHEST_USUAL_PH:
        return []
    side, sign = ("high", "above") if ph > HIGHEST_USUAL_PH else ("low", "below")
    return [
        Finding(
            f"mash_ph_{side}",
            f"A mash of pH {ph:.2f} lies {sign} the usual {LOWEST_USUAL_PH} to "
            f"{HIGHEST_USUAL_PH} at room temperature.",
        )
    ]


def of_dose(dose: PhDose | None, water_l: float, wanted: PhWanted) -> list[Finding]:
    """Doses that may be tasted, or are more than is advised."""
    if dose is None:
        return []
    if dose.base_g is not None:
        return _of_base(dose.base_g.total / water_l, dose.agent)
    assert dose.acid_ml is not None
    mmol = dose.acid_ml.total * acid_mmol_per_ml(wanted.acid, 100.0 * wanted.acid_strength)
    lactate_mg_l = mmol * ACID_G_PER_MOL[Acid.LACTIC] / water_l
    if wanted.acid is not Acid.LACTIC or lactate_mg_l <= LACTATE_TASTE_MG_L:
        return []
    return [
        Finding(
            "lactate_taste",
            f"This much lactic acid leaves {lactate_mg_l:.0f} mg/L of lactate, which may be "
            "tasted; dilute alkaline water instead, or take phosphoric acid.",
        )
    ]


def _of_base(dose_g_per_l: float, agent: str) -> list[Finding]:
    row = salt(agent)
    if dose_g_per_l <= row.most_g_per_l:
        return []
    return [
        Finding(
            "dose_beyond_advice",
            f"{dose_g_per_l:.2f} g/L of {agent.replace('_', ' ')} is more than the "
            f"{row.most_g_per_l:g} g/L that is ever advised: {row.why_no_more}.",
        )
    ]
