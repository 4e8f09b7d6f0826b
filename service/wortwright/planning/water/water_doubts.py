"""Doubts about a treated water. Harm to a person is told beside it, as cautions."""

from wortwright.brewing.alkalinity import alkalinity_as_caco3_mg_l
from wortwright.brewing.ions import Water, charge_imbalance_percent
from wortwright.brewing.tables.ion_limits import IonLimit
from wortwright.brewing.water_targets import Wish, misses
from wortwright.brewing.water_treatment import BrewingWater, Treatment
from wortwright.planning.plan import Finding
from wortwright.planning.water.water_at_hand import WaterAtHand

UNBALANCED_PERCENT = 5.0
"""Charges that fail to cancel by more tell of a misread number (common practice)."""


def of_charges(at_hand: WaterAtHand, wanted_percent: float | None) -> list[Finding]:
    """Doubts from charges that do not cancel: of the report, and of the target."""
    found = []
    percent = charge_imbalance_percent(at_hand.source)
    if abs(percent) > UNBALANCED_PERCENT:
        more = "positive" if percent > 0.0 else "negative"
        found.append(
            Finding(
                "water_report_unbalanced",
                f"The {more} charges of the water report are {abs(percent):.0f} % too many: a "
                "number was misread, left out, or counted on another basis.",
            )
        )
    if wanted_percent is not None and abs(wanted_percent) > UNBALANCED_PERCENT:
        found.append(
            Finding(
                "target_unbalanced",
                f"The charges of the target differ by {wanted_percent:+.1f} %; every salt brings "
                "as many positive as negative ones, so no salts can make this water exactly.",
            )
        )
    return found


def of_target(made: Treatment, at_hand: WaterAtHand) -> list[Finding]:
    """What of the target is missed."""
    if made.reached or not at_hand.wishes:
        return []
    wishes = at_hand.wishes
    missed = sorted(
        (
            (abs(miss), wish)
            for miss, wish in zip(misses(made.mash_water, wishes), wishes, strict=True)
        ),
        key=lambda pair: -pair[0],
    )
    worst = ", ".join(
        _told_miss(wish, made.mash_water) for miss, wish in missed if miss > at_hand.tolerance
    )
    return [
        Finding(
            "target_not_reached",
            "The salts and waters at hand do not reach the target: "
            f"{worst or 'it is just missed'}.",
        )
    ]


def _told_miss(wish: Wish, water: Water) -> str:
    if wish.name == "alkalinity_meq_l":
        reached, goal = map(alkalinity_as_caco3_mg_l, (water.alkalinity_meq_l, wish.goal))
        return f"alkalinity {reached:.0f} where {goal:.0f} mg/L as CaCO3 is wanted"
    if hasattr(water, wish.name):
        reached = getattr(water, wish.name)
        return f"{_ion(wish.name)} {reached:.0f} where {wish.goal:.0f} mg/L is wanted"
    return spoken(wish.name.removesuffix("_mg_l"))


def of_caps(made: Treatment, volumes: BrewingWater) -> list[Finding]:
    """Salts of which no more is advised."""
    return [
        Finding(
            "salt_at_most",
            f"{spoken(dose.salt.key).capitalize()} stands at the {dose.salt.most_g_per_l:g} g/L "
            f"beyond which no more is advised: {dose.salt.why_no_more}.",
        )
        for dose in made.doses
        if dose.exact_mash_g >= dose.salt.most_g_per_l * volumes.mash_l * (1.0 - 1e-6)
    ]


def of_limit(limit: IonLimit, where: str, water: Water) -> Finding:
    """Tell of a range that a water passes."""
    value = getattr(water, limit.content)
    return Finding(
        limit.code,
        f"{_ion(limit.content).capitalize()} in the {where} water is {value:.0f} mg/L, "
        f"{'below' if limit.bound == 'low' else 'above'} {limit.value_mg_l:g}: {limit.meaning}.",
    )


def _ion(content: str) -> str:
    return content.removesuffix("_mg_l")


def spoken(name: str) -> str:
    """Write a code as words."""
    return name.replace("_", " ")
