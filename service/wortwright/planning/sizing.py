"""The exact size of a brew: volumes from the target backwards, then sugar, hops and grain."""

from dataclasses import dataclass, replace

from wortwright.brewing.gravity import extract_kg, extract_kg_per_l
from wortwright.brewing.hops import UtilisationModel
from wortwright.brewing.lautering import EXTRACT_VOLUME_L_PER_KG
from wortwright.calibration.posterior import Calibration
from wortwright.planning.grain import GrainBill, MashedGrist, mashed_grist, solve_grain
from wortwright.planning.hopping import HopBill, hop_bill, hops_drink_l
from wortwright.planning.plan import Asked
from wortwright.planning.recipe import ReadRecipe, potential_kg
from wortwright.planning.target import Preferences, TargetError
from wortwright.planning.volumes import Volumes
from wortwright.records.grist import AddedTo, Fermentable
from wortwright.records.recipe import VolumeAt

_SETTLED = 1e-13
_MOST_ROUNDS = 60


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

    @property
    def kettle_hops_l(self) -> float:
        """Wort that the hops in the kettle keep. [L]"""
        return hops_drink_l(self.hop_bill.additions, in_kettle=True)

    @property
    def dry_hops_l(self) -> float:
        """Beer that the dry hops keep. [L]"""
        return hops_drink_l(self.hop_bill.additions, in_kettle=False)


_NOTHING_YET = Parts(1.0, (), HopBill())


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
    together by a fixed point whose step shrinks a hundredfold a round; the grain is one root.

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
    volumes = _chain(calibration, hours, asked, _NOTHING_YET)
    for _ in range(_MOST_ROUNDS):
        parts = _parts(read, asked, preferences.bitterness_formula, volumes)
        before, volumes = volumes, _chain(calibration, hours, asked, parts)
        if abs(volumes.postboil_l - before.postboil_l) < _SETTLED * volumes.postboil_l:
            break
    return volumes, parts


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


def _chain(calibration: Calibration, hours: float, asked: Asked, parts: Parts) -> Volumes:
    """Volumes from where the target is counted, both ways, with every loss."""
    constants = calibration.constants
    kettle_loss_l = constants["kettle_loss_l"].mean + parts.kettle_hops_l
    fermenter_loss_l = constants["fermenter_loss_l"].mean + parts.dry_hops_l
    above_fermenter_l = {VolumeAt.KETTLE: -kettle_loss_l, VolumeAt.PACKAGE: fermenter_loss_l}
    fermenter_l = asked.volume_l + above_fermenter_l.get(asked.volume_at, 0.0)
    packaged_l = fermenter_l - fermenter_loss_l
    if packaged_l <= 0.0:
        raise TargetError(
            "volume",
            f"nothing would be left to package: of {asked.volume_l:.1f} L counted there, "
            f"{asked.volume_l - packaged_l:.1f} L stay behind; ask for more",
        )
    postboil_l = fermenter_l + kettle_loss_l
    boiled_off_l = constants["boil_off_l_per_h"].mean * hours
    # What is dissolved in the kettle adds its own volume.
    preboil_l = postboil_l + boiled_off_l - EXTRACT_VOLUME_L_PER_KG * parts.kettle_extract_kg
    return Volumes(
        preboil_l,
        boiled_off_l,
        postboil_l,
        kettle_loss_l,
        fermenter_l,
        fermenter_loss_l,
        packaged_l,
    )
