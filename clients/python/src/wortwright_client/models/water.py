"""Water treated for a brew, and the pH of its mash."""

from dataclasses import dataclass

from wortwright_client._reading import Model
from wortwright_client.models.findings import Caution, Doubt
from wortwright_client.quantities import Quantity


@dataclass(frozen=True, kw_only=True)
class MashPhCorrection(Model):
    """What is still to be given; the other of the two is None."""

    warnings: tuple[Doubt, ...]
    cautions: tuple[Caution, ...]
    acid: Quantity | None
    base: Quantity | None
    summary: str


@dataclass(frozen=True, kw_only=True)
class CountedMalt(Model):
    """One malt as it was counted; ``of_lot`` says that the figures are its lot's own."""

    name: str
    mass: Quantity
    of_lot: bool
    malt_class: str | None = None
    distilled_water_ph: float | None = None
    buffering_meq_per_kg_ph: float | None = None


@dataclass(frozen=True, kw_only=True)
class AcidDose(Model):
    """Acid in all, and what to give before measuring."""

    total: Quantity
    first: Quantity


@dataclass(frozen=True, kw_only=True)
class BaseDose(Model):
    """Base in all, and what to give before measuring."""

    total: Quantity
    first: Quantity


@dataclass(frozen=True, kw_only=True)
class PhDose(Model):
    """Acid or base to reach the target: uncertain by half of itself, so half of it first."""

    target_ph: float
    agent: str
    acid_strength_by_mass: Quantity | None
    acid: AcidDose | None
    base: BaseDose | None
    advice: str


@dataclass(frozen=True, kw_only=True)
class MashPhForecast(Model):
    """pH of a cooled sample, about 95 % sure to lie between ``low`` and ``high``.

    ``ph_by_balance`` leaves out what the readings taught: set it beside what is read in this
    mash.
    """

    warnings: tuple[Doubt, ...]
    cautions: tuple[Caution, ...]
    ph: float
    low: float
    high: float
    ph_in_hot_mash: float
    mash_temperature: Quantity
    ph_by_balance: float
    residual_alkalinity: Quantity
    offset_learnt: float
    readings_used: int
    malts: tuple[CountedMalt, ...]
    dose: PhDose | None


@dataclass(frozen=True, kw_only=True)
class WaterContent(Model):
    """What a water holds; ``sulfate_to_chloride`` is None where both are too low to matter."""

    calcium: Quantity
    magnesium: Quantity
    sodium: Quantity
    potassium: Quantity
    chloride: Quantity
    sulfate: Quantity
    nitrate: Quantity
    alkalinity: Quantity
    total_hardness: Quantity
    residual_alkalinity: Quantity
    sulfate_to_chloride: float | None


@dataclass(frozen=True, kw_only=True)
class PlannedSalt(Model):
    """One salt: the exact masses, and what the scale can do."""

    salt: str
    formula: str
    exact_mash: Quantity
    exact_sparge: Quantity
    mash: Quantity
    sparge: Quantity


@dataclass(frozen=True, kw_only=True)
class IonPart(Model):
    """What one salt brings of an ion to a litre of mash water."""

    salt: str
    amount: Quantity


@dataclass(frozen=True, kw_only=True)
class IonAccount(Model):
    """Where an ion of the mash water comes from, per litre of it."""

    ion: str
    in_source: Quantity
    from_water: Quantity
    by_salt: tuple[IonPart, ...]
    in_mash: Quantity


@dataclass(frozen=True, kw_only=True)
class AlkalinityPart(Model):
    """What one salt brings of alkalinity to a litre of mash water."""

    salt: str
    amount: Quantity


@dataclass(frozen=True, kw_only=True)
class AlkalinityAccount(Model):
    """Where the alkalinity of the mash water comes from, per litre of it."""

    in_source: Quantity
    from_water: Quantity
    by_salt: tuple[AlkalinityPart, ...]
    in_mash: Quantity


@dataclass(frozen=True, kw_only=True)
class WaterTreatment(Model):
    """What to mix and to weigh; the waters are those of what is weighed.

    ``from_water`` in the accounts is after dilution. ``miss`` is the root mean square of the
    relative misses of the exact doses. Imbalances are of charges, positive less negative over
    all.
    """

    warnings: tuple[Doubt, ...]
    cautions: tuple[Caution, ...]
    summary: str
    source: WaterContent
    mash_water: WaterContent
    sparge_water: WaterContent | None
    kept_share: Quantity
    source_volume: Quantity
    dilution_volume: Quantity
    salts: tuple[PlannedSalt, ...]
    ions: tuple[IonAccount, ...]
    alkalinity: AlkalinityAccount
    reached: bool
    miss: Quantity
    source_imbalance: Quantity
    target_imbalance: Quantity | None


@dataclass(frozen=True, kw_only=True)
class TreatedForMash(Model):
    """A water treatment; ``mash_ph`` is None where no mash was told."""

    treatment: WaterTreatment
    mash_ph: MashPhForecast | None
