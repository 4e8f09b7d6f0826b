"""A brewer's water made into brewing water: what to weigh, what it becomes, what to doubt."""

from dataclasses import dataclass

from wortwright.brewing.ions import Water
from wortwright.brewing.salts import salt
from wortwright.brewing.tables.ion_limits import IonLimit
from wortwright.brewing.water_limits import limits_passed
from wortwright.brewing.water_treatment import (
    BrewingWater,
    IonAccount,
    SaltDose,
    Treatment,
    target_imbalance_percent,
    treatment_for,
)
from wortwright.planning.cautions import Caution, caution
from wortwright.planning.plan import Finding
from wortwright.planning.water.water_at_hand import WaterAtHand
from wortwright.planning.water.water_doubts import of_caps, of_charges, of_limit, of_target, spoken
from wortwright.records.sentence import Said, capitalised, in_a_row, litres, say

BOTH_LOW_MG_L = 25.0
"""With both below it the ratio of sulfate to chloride says nothing (common practice)."""

_LAXATIVE = frozenset({"magnesium_laxative", "sulfate_drinking"})


@dataclass(frozen=True, slots=True)
class PlannedSalt:
    """One salt: exact masses, and what the scale can do [g]."""

    salt: str
    formula: str
    exact_mash_g: float
    exact_sparge_g: float
    mash_g: float
    sparge_g: float


@dataclass(frozen=True, slots=True)
class WaterTreatment:
    """What to mix and weigh, and what comes of it; the waters are those of what is weighed."""

    summary: Said
    source: Water
    mash_water: Water
    sparge_water: Water | None
    kept_share: float
    source_l: float
    dilution_l: float
    salts: tuple[PlannedSalt, ...]
    account: tuple[IonAccount, ...]
    reached: bool
    miss: float
    source_imbalance: float
    target_imbalance: float | None
    warnings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]


def treat_water(at_hand: WaterAtHand, volumes: BrewingWater) -> WaterTreatment:
    """Plan the salts and the dilution of a brew.

    Parameters
    ----------
    at_hand : WaterAtHand
        Waters, salts and target.
    volumes : BrewingWater
        Water for the mash and for sparging. [L]

    Returns
    -------
    WaterTreatment
        Doses with an account of every ion, warnings and cautions.

    Raises
    ------
    UnknownSaltError
        For a salt that is not known or acts in the mash only.
    OutOfRangeError
        For volumes or a target outside their range.
    """
    made = treatment_for(
        at_hand.source,
        volumes,
        at_hand.wishes,
        tuple(salt(name) for name in at_hand.salts),
        at_hand.dilution,
        at_hand.tolerance,
        at_hand.scale_step_g,
    )
    sparge_water = made.sparge_water if volumes.sparge_l > 0.0 else None
    wanted = None if at_hand.ions is None else target_imbalance_percent(at_hand.ions)
    passed = _passed(made.mash_water, sparge_water)
    return WaterTreatment(
        summary=_summary(made, at_hand),
        source=at_hand.source,
        mash_water=made.mash_water,
        sparge_water=sparge_water,
        kept_share=made.kept_share,
        source_l=made.source_l,
        dilution_l=made.dilution_l,
        salts=tuple(map(_planned_salt, made.doses)),
        account=made.account,
        reached=made.reached,
        miss=made.miss,
        source_imbalance=made.imbalance_percent / 100.0,
        target_imbalance=None if wanted is None else wanted / 100.0,
        warnings=(
            *of_charges(at_hand, wanted),
            *of_target(made, at_hand),
            *of_caps(made, volumes),
            *(of_limit(limit, where, water) for limit, where, water in passed),
        ),
        cautions=_cautions(passed, well=at_hand.from_private_well),
    )


def sulfate_to_chloride(water: Water) -> float | None:
    """Ratio of sulfate to chloride by mass; None where both are too low for it to mean much."""
    low = max(water.sulfate_mg_l, water.chloride_mg_l) < BOTH_LOW_MG_L
    return None if low or water.chloride_mg_l <= 0.0 else water.sulfate_mg_l / water.chloride_mg_l


def _planned_salt(dose: SaltDose) -> PlannedSalt:
    return PlannedSalt(
        salt=dose.salt.key,
        formula=dose.salt.formula,
        exact_mash_g=dose.exact_mash_g,
        exact_sparge_g=dose.exact_sparge_g,
        mash_g=dose.mash_g,
        sparge_g=dose.sparge_g,
    )


def _summary(made: Treatment, at_hand: WaterAtHand) -> Said:
    if not at_hand.wishes:
        return "No target was given: the water stays as it is."
    weighed = [
        f"{spoken(dose.salt.key)} {dose.mash_g:g} g into the mash"
        + (f" and {dose.sparge_g:g} g into the sparge water" if dose.sparge_g else "")
        for dose in made.doses
        if dose.mash_g or dose.sparge_g
    ]
    mixed = []
    if made.dilution_l > 0.0 and at_hand.dilution is not None:
        mixed = [
            say(
                "mix {own} of your water with {other} of the other",
                own=litres(made.source_l),
                other=litres(made.dilution_l),
            )
        ]
    reached = "This meets the target." if made.reached else "This is the nearest there is."
    done = in_a_row((*mixed, *weighed), "; ") if mixed or weighed else "nothing is to be added"
    return say("{done}. {reached}", done=capitalised(done), reached=reached)


def _passed(mash: Water, sparge: Water | None) -> list[tuple[IonLimit, str, Water]]:
    """Limits passed, the mash first; one that both waters pass is told once."""
    of_mash = limits_passed(mash)
    of_sparge = () if sparge is None else limits_passed(sparge)
    return [
        *((limit, "mash", mash) for limit in of_mash),
        *((limit, "sparge", sparge) for limit in of_sparge if limit not in of_mash and sparge),
    ]


def _cautions(passed: list[tuple[IonLimit, str, Water]], *, well: bool) -> tuple[Caution, ...]:
    codes = {limit.code for limit, _, _ in passed}
    asked = [
        ("laxative_water", bool(codes & _LAXATIVE)),
        ("private_well", well or "nitrate_drinking" in codes),
    ]
    return tuple(caution(code) for code, needed in asked if needed)
