"""The hop bill at the new gravity and volume."""

from dataclasses import dataclass
from typing import NamedTuple

from wortwright.brewing.boil import kettle_hop_absorption_l
from wortwright.brewing.gravity import extract_kg_per_l, gravity_from_extract_kg_per_l
from wortwright.brewing.hops import (
    DRY_HOP_UTILISATION,
    FIRST_WORT_FACTOR,
    MASH_HOP_FACTOR,
    UtilisationModel,
    bitterness_ibu,
    boil_utilisation,
    mass_kg_for_bitterness,
    mean_boil_gravity,
    stand_equivalent_min,
    utilisation_tinseth,
)
from wortwright.planning.plan import Asked
from wortwright.planning.recipe import ReadRecipe
from wortwright.planning.volumes import Volumes
from wortwright.records.grist import HopAddition, HopForm, Moment, Purpose

# A stand without a temperature; common practice, no source.
USUAL_STAND_C = 80.0


class SizedHop(NamedTuple):
    """One addition at its new mass."""

    hop: HopAddition
    mass_kg: float
    utilisation: float
    bitterness_ibu: float


@dataclass(frozen=True, slots=True)
class HopBill:
    """Every addition, and the bitterness of the recipe as written."""

    additions: tuple[SizedHop, ...] = ()
    as_written_ibu: float = 0.0

    def wanted_ibu(self, asked: Asked) -> float:
        """Bitterness asked for, or else the recipe's own. [IBU]"""
        return self.as_written_ibu if asked.bitterness_ibu is None else asked.bitterness_ibu


@dataclass(frozen=True, slots=True)
class _Kettle:
    """What decides how much of the alpha acid ends as bitterness."""

    gravity: float
    boil_time_min: float
    stand_min: float
    model: UtilisationModel

    def utilisation(self, hop: HopAddition) -> float:
        """Share of the alpha acid that ends in the beer. [fraction]"""
        # Only Tinseth's curve takes the minutes of a later stand.
        later_min = self.stand_min if self.model is UtilisationModel.TINSETH else 0.0
        if hop.moment is Moment.BOIL:
            return boil_utilisation(hop.time_min + later_min, self.gravity, self.model)
        if hop.moment is Moment.DRY:
            return DRY_HOP_UTILISATION
        if hop.moment is Moment.STAND:
            return utilisation_tinseth(_stand_min(hop), self.gravity)
        whole_boil = boil_utilisation(self.boil_time_min + later_min, self.gravity, self.model)
        factor = FIRST_WORT_FACTOR if hop.moment is Moment.FIRST_WORT else MASH_HOP_FACTOR
        return factor * whole_boil


def utilisation_of(
    hop: HopAddition,
    mean_gravity: float,
    boil_time_min: float,
    stand_min: float,
    model: UtilisationModel,
) -> float:
    """Share of an addition's alpha acid that ends in the beer, at any moment of a boil.

    Parameters
    ----------
    hop : HopAddition
        The addition.
    mean_gravity : float
        Mean gravity of the boil. [SG]
    boil_time_min : float
        Length of the whole boil, for hops that are in from its start. [min]
    stand_min : float
        Minutes of boil that the stand after it is worth. [min]
    model : UtilisationModel
        Whose utilisation.

    Returns
    -------
    float
        Utilisation. [fraction]
    """
    return _Kettle(mean_gravity, boil_time_min, stand_min, model).utilisation(hop)


def longest_stand_min(bill: tuple[HopAddition, ...]) -> float:
    """Minutes of boil that the longest stand of a hop bill is worth, 0 without one."""
    return max((_stand_min(hop) for hop in bill if hop.moment is Moment.STAND), default=0.0)


def _stand_min(hop: HopAddition) -> float:
    temperature_c = USUAL_STAND_C if hop.temperature_c is None else hop.temperature_c
    return stand_equivalent_min(temperature_c, hop.time_min)


def hop_bill(
    read: ReadRecipe,
    asked: Asked,
    model: UtilisationModel,
    volume_scale: float,
    volumes: Volumes,
) -> HopBill:
    """Size every addition.

    Aroma keeps its mass per volume. Each bittering addition keeps its bitterness at the new
    gravity and volume; all of them are then stretched alike until the total is what is asked,
    so that their balance stays the recipe's. A recipe that does not tell its boil-off is read
    as if its wort had thickened as much as this one.

    Parameters
    ----------
    read : ReadRecipe
        The recipe.
    asked : Asked
        Gravity and bitterness wanted; without a bitterness the recipe's own is kept.
    model : UtilisationModel
        Whose utilisation.
    volume_scale : float
        Volume of this brew over the recipe's, counted at the same place.
    volumes : Volumes
        Wort volumes of this brew.

    Returns
    -------
    HopBill
        In the order of the recipe.
    """
    recipe, bill = read.recipe, read.recipe.hop_bill
    stand_min = longest_stand_min(bill)
    dilution = volumes.postboil_l / volumes.preboil_l

    def kettle(gravity: float) -> _Kettle:
        before = gravity_from_extract_kg_per_l(extract_kg_per_l(gravity) * dilution)
        mean_gravity = mean_boil_gravity(before, gravity)
        return _Kettle(mean_gravity, recipe.boil_time_min, stand_min, model)

    theirs = kettle(read.original_gravity)
    ours = theirs if asked.gravity == read.original_gravity else kettle(asked.gravity)
    postboil_l = volumes.postboil_l
    their_postboil_l = postboil_l / volume_scale
    as_written, sized = 0.0, []
    for hop in bill:
        before = theirs.utilisation(hop)
        mass_kg = _mass_as_written(hop, before, their_postboil_l)
        ibu = bitterness_ibu(mass_kg, hop.alpha, before, their_postboil_l)
        as_written += ibu
        after = before if ours is theirs else ours.utilisation(hop)
        sized.append(_carried(hop, mass_kg * volume_scale, ibu, before, after))
    wanted = HopBill((), as_written).wanted_ibu(asked)
    return HopBill(_stretched(sized, wanted), as_written)


def hops_drink_l(hops: tuple[SizedHop, ...]) -> tuple[float, float]:
    """Wort that the hops in the kettle keep, and beer that the dry hops keep. [L]"""
    kept_l = {True: 0.0, False: 0.0}
    for sized in hops:
        whole = sized.hop.form is HopForm.WHOLE
        pellet_kg, whole_kg = (0.0, sized.mass_kg) if whole else (sized.mass_kg, 0.0)
        kept_l[sized.hop.moment is Moment.DRY] += kettle_hop_absorption_l(pellet_kg, whole_kg)
    return kept_l[False], kept_l[True]


def _mass_as_written(hop: HopAddition, utilisation: float, postboil_l: float) -> float:
    if hop.mass_kg is not None:
        return hop.mass_kg
    if not hop.bitterness_ibu or utilisation <= 0.0:
        return 0.0
    return mass_kg_for_bitterness(hop.bitterness_ibu, hop.alpha, utilisation, postboil_l)


def _carried(hop: HopAddition, mass_kg: float, ibu: float, before: float, after: float) -> SizedHop:
    """Carry one addition over: by bitterness, or by mass per volume."""
    if before == after or before <= 0.0 or after <= 0.0:
        return SizedHop(hop, mass_kg, after, ibu)
    if hop.purpose is Purpose.BITTERNESS:
        return SizedHop(hop, mass_kg * before / after, after, ibu)
    return SizedHop(hop, mass_kg, after, ibu * after / before)


def _stretched(sized: list[SizedHop], wanted_ibu: float) -> tuple[SizedHop, ...]:
    """Stretch the bittering additions alike until the bill adds up."""
    bittering = sum(s.bitterness_ibu for s in sized if s.hop.purpose is Purpose.BITTERNESS)
    if bittering <= 0.0:
        return tuple(sized)
    aroma = sum(s.bitterness_ibu for s in sized if s.hop.purpose is Purpose.AROMA)
    factor = max(0.0, (wanted_ibu - aroma) / bittering)
    return tuple(
        SizedHop(s.hop, s.mass_kg * factor, s.utilisation, s.bitterness_ibu * factor)
        if s.hop.purpose is Purpose.BITTERNESS
        else s
        for s in sized
    )


def with_mass(sized: SizedHop, mass_kg: float, postboil_l: float) -> SizedHop:
    """Return the same addition at another mass."""
    ibu = bitterness_ibu(mass_kg, sized.hop.alpha, sized.utilisation, postboil_l)
    return SizedHop(sized.hop, mass_kg, sized.utilisation, ibu)
