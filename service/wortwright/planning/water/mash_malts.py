"""What a forecast of the mash pH starts from, and the dose that it ends with."""

from dataclasses import dataclass

from wortwright.brewing.acids import Acid
from wortwright.brewing.mash_acid import Dose
from wortwright.brewing.mash_ph_offset import PhReading
from wortwright.brewing.tables.malt_acidity import MaltClass, malt_class_of
from wortwright.records.grist import Fermentable, Kind

HALVES = (
    "Give the first part only, stir, wait ten minutes, cool a sample to room temperature and read "
    "it with a meter; then work out the rest from the two readings."
)


@dataclass(frozen=True, slots=True)
class MaltInMash:
    """One malt: of a class, or by the figures of its own lot; with neither it is not counted."""

    name: str
    mass_kg: float
    malt_class: MaltClass | None = None
    distilled_water_ph: float | None = None
    buffering_meq_per_kg_ph: float | None = None

    @property
    def counts(self) -> bool:
        """Whether enough is known of its acidity."""
        by_lot = (self.distilled_water_ph, self.buffering_meq_per_kg_ph)
        return self.malt_class is not None or None not in by_lot


@dataclass(frozen=True, slots=True)
class PhWanted:
    """What is wanted of a mash's pH, what is at hand for it, what was read in earlier mashes.

    Without ``target_ph`` no dose is worked out. ``acid_strength`` is by mass [fraction].
    """

    target_ph: float | None = None
    acid: Acid = Acid.LACTIC
    acid_strength: float = 0.80
    base: str = "baking_soda"
    readings: tuple[PhReading, ...] = ()


@dataclass(frozen=True, slots=True)
class CountedMalt:
    """One malt as it was counted; ``of_lot`` says that the figures are its lot's own."""

    name: str
    mass_kg: float
    malt_class: MaltClass | None
    distilled_water_ph: float
    buffering_meq_per_kg_ph: float
    of_lot: bool


@dataclass(frozen=True, slots=True)
class PhDose:
    """Acid [mL] or base [g] to bring the mash to its target; the other pair is None."""

    target_ph: float
    agent: str
    acid_ml: Dose | None
    base_g: Dose | None
    advice: str = HALVES
    acid_strength: float | None = None


def class_of(line: Fermentable) -> MaltClass | None:
    """Class of a fermentable for its acidity; wheat is told by its name alone.

    Parameters
    ----------
    line : Fermentable
        A line of a grist.

    Returns
    -------
    MaltClass or None
        None for what has no acidity worth counting.
    """
    if line.kind is Kind.BASE_MALT and "wheat" in line.name.casefold():
        return MaltClass.WHEAT
    return malt_class_of(line.kind, line.colour_ebc)
