"""The exact size of a brew: volumes from the target backwards, then sugar, hops and grain."""

import math
from dataclasses import dataclass, replace
from typing import NamedTuple

from wortwright.brewing.gravity import extract_kg, extract_kg_per_l
from wortwright.brewing.hops import UtilisationModel
from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG
from wortwright.calibration.posterior import Calibration
from wortwright.planning.grain import GrainBill, MashedGrist, mashed_grist, solve_grain
from wortwright.planning.hopping import HopBill, SizedHop, hop_bill, hops_drink_l
from wortwright.planning.plan import Asked
from wortwright.planning.recipe import ReadRecipe, potential_kg
from wortwright.planning.target import Preferences, TargetError
from wortwright.planning.volumes import Volumes
from wortwright.records.grist import AddedTo, Fermentable
from wortwright.records.recipe import VolumeAt
from wortwright.records.sentence import litres, say

# What a round changes, as a share of the volume; the next would change a hundredth of that.
_SETTLED = 1e-10
_MOST_ROUNDS = 60


class Kept(NamedTuple):
    """What the hops keep of the wort and of the beer, and extract that bypasses the mash."""

    in_kettle_l: float
    in_fermenter_l: float
    kettle_extract_kg: float


@dataclass(frozen=True, slots=True)
class Parts:
    """What goes in beside the mashed grain, and the scale of volume that decides it."""

    volume_scale: float
    added: tuple[Fermentable, ...]
    hop_bill: HopBill

    @property
    def kettle_extract_kg(self) -> float:
        """Extract that bypasses the mash. [kg]"""
        return potential_kg(self.added, AddedTo.KETTLE)

    def kept(self) -> Kept:
        """Sum up what the volumes depend on."""
        return Kept(*hops_drink_l(self.hop_bill.additions), self.kettle_extract_kg)


@dataclass(frozen=True, slots=True)
class Sizing:
    """Everything of a brew that the target decides, unrounded."""

    asked: Asked
    volumes: Volumes
    parts: Parts
    mashed: MashedGrist
    grain: GrainBill
    wanted_kg: float


def size_brew(
    read: ReadRecipe, calibration: Calibration, asked: Asked, preferences: Preferences
) -> Sizing:
    """Size a brew for a target.

    The hops drink wort and their mass follows the volume, so volumes and hops are settled
    together by a fixed point, whose step shrinks about a hundredfold a round; the grain is one
    root.

    Parameters
    ----------
    read : ReadRecipe
        The recipe.
    calibration : Calibration
        What the setup does.
    asked : Asked
        The target with every default filled in.
    preferences : Preferences
        Grist policy and bitterness formula.

    Returns
    -------
    Sizing
        Volumes, sugar, hops and grain; ``grain.reach`` tells whether the gravity is reached.

    Raises
    ------
    TargetError
        If nothing would be left after the losses.
    """
    volumes, parts = settle_volumes(read, calibration, asked, preferences)
    mashed = mashed_grist(read, parts.volume_scale, preferences.grist_policy)
    wanted_kg = extract_kg(volumes.postboil_l, asked.gravity) - parts.kettle_extract_kg
    grain = solve_grain(mashed, calibration, volumes.preboil_l, wanted_kg)
    return Sizing(asked, volumes, parts, mashed, grain, wanted_kg)


def settle_volumes(
    read: ReadRecipe, calibration: Calibration, asked: Asked, preferences: Preferences
) -> tuple[Volumes, Parts]:
    """Settle volumes, hops and sugar together, without the grain; arguments as `size_brew`.

    Raises
    ------
    TargetError
        If nothing would be left after the losses.
    """
    hours = read.recipe.boil_time_min / 60.0
    kept = [_guess(read, asked, _chain(calibration, hours, asked, Kept(0.0, 0.0, 0.0)))]
    volumes = _chain(calibration, hours, asked, kept[0])
    for _ in range(_MOST_ROUNDS):
        parts = _parts(read, asked, preferences.bitterness_formula, volumes)
        kept.append(parts.kept())
        if math.dist(kept[-1], kept[-2]) < _SETTLED * volumes.postboil_l:
            break
        if len(kept) == 3:
            kept = [Kept(*map(_limit, *kept))]
        volumes = _chain(calibration, hours, asked, kept[-1])
    return _chain(calibration, hours, asked, kept[-1]), parts


def _guess(read: ReadRecipe, asked: Asked, dry: Volumes) -> Kept:
    """What the recipe's own quantities would keep, scaled as if they kept nothing."""
    scale = dry.at(read.volume_at) / read.recipe.volume_l
    strength = extract_kg_per_l(asked.gravity) / extract_kg_per_l(read.original_gravity)
    bill = tuple(
        SizedHop(hop, scale * (hop.mass_kg or 0.0), 0.0, 0.0) for hop in read.recipe.hop_bill
    )
    extract_kg = scale * strength * potential_kg(read.grist, AddedTo.KETTLE)
    return Kept(*hops_drink_l(bill), extract_kg)


def _limit(first: float, second: float, third: float) -> float:
    """Where three steps of a shrinking sequence lead (Aitken's rule)."""
    bend = (third - second) - (second - first)
    return third - (third - second) ** 2 / bend if bend else third


def _parts(read: ReadRecipe, asked: Asked, model: UtilisationModel, volumes: Volumes) -> Parts:
    """Sugar and hops for a guess of the volumes."""
    scale = volumes.at(read.volume_at) / read.recipe.volume_l
    strength = extract_kg_per_l(asked.gravity) / extract_kg_per_l(read.original_gravity)
    added = tuple(
        replace(line, mass_kg=(line.mass_kg or 0.0) * scale * strength)
        for line in read.grist
        if line.added_to is not AddedTo.MASH
    )
    return Parts(scale, added, hop_bill(read, asked, model, scale, volumes))


def _chain(calibration: Calibration, hours: float, asked: Asked, kept: Kept) -> Volumes:
    """Volumes from where the target is counted, both ways, with every loss."""
    constants = calibration.constants
    kettle_loss_l = constants["kettle_loss_l"].mean + kept.in_kettle_l
    fermenter_loss_l = constants["fermenter_loss_l"].mean + kept.in_fermenter_l
    above_fermenter_l = {VolumeAt.KETTLE: -kettle_loss_l, VolumeAt.PACKAGE: fermenter_loss_l}
    fermenter_l = asked.volume_l + above_fermenter_l.get(asked.volume_at, 0.0)
    packaged_l = fermenter_l - fermenter_loss_l
    if packaged_l <= 0.0:
        raise TargetError(
            "volume",
            say(
                "nothing would be left to package: of {asked} counted there, {lost} stay behind; "
                "ask for more",
                asked=litres(asked.volume_l),
                lost=litres(asked.volume_l - packaged_l),
            ),
        )
    postboil_l = fermenter_l + kettle_loss_l
    boiled_off_l = constants["boil_off_l_per_h"].mean * hours
    # What is dissolved in the kettle adds its own volume.
    preboil_l = postboil_l + boiled_off_l - EXTRACT_VOLUME_L_PER_KG * kept.kettle_extract_kg
    return Volumes(
        preboil_l,
        boiled_off_l,
        postboil_l,
        kettle_loss_l,
        fermenter_l,
        fermenter_loss_l,
        packaged_l,
    )
