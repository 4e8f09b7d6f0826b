"""Which cautions a plan calls for."""

from wortwright.planning.cautions import HEAVY_LIFT_KG, Caution, caution
from wortwright.planning.plan import Plan
from wortwright.records.setup import Setup

# Common practice, no source.
STRONG_BY_VOLUME = 0.08
HOT = ("mash", "boil")


def cautions_for(plan: Plan, setup: Setup) -> tuple[Caution, ...]:
    """List the cautions in the order of the brew day.

    Parameters
    ----------
    plan : Plan
        The plan so far.
    setup : Setup
        Vessels and grain holder.

    Returns
    -------
    tuple of Caution
        Boil and hot liquid always; the rest where this plan calls for it.
    """
    codes = ["scald", "boil_over"]
    if (plan.fit.wet_bag_lifted_kg or 0.0) > HEAVY_LIFT_KG:
        codes.insert(1, "wet_bag")
    if any(not check.fits and check.at in HOT for check in plan.fit.checks):
        codes.insert(0, "overflow")
    codes.append("fermentation_gas")
    if any(check.at == "ageing" for check in plan.fit.checks):
        codes.append("sealed_vessel")
    if plan.forecast.alcohol_by_volume.mean >= STRONG_BY_VOLUME:
        codes.append("strong_drink")
    return tuple(caution(code) for code in codes)
