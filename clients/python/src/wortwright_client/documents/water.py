"""Water treated for a brew, and the pH of its mash."""

from collections.abc import Sequence
from typing import Literal, Required, TypeAlias, TypedDict

from wortwright_client.documents.amounts import Amount
from wortwright_client.documents.recipes import Kind

MaltClass: TypeAlias = Literal[
    "pilsner",
    "pale",
    "vienna",
    "munich",
    "wheat",
    "crystal_light",
    "crystal_dark",
    "chocolate",
    "black",
    "acidulated",
    "unmalted",
]


class MashPhCorrectionDocument(TypedDict, total=False):
    """The first part of a dose, of acid or of base, and readings of cooled samples around it."""

    acid_given: Amount | None
    base_given: Amount | None
    ph_before: Required[float]
    ph_after: Required[float]
    target_ph: Required[float]
    instrument: Literal["meter", "strip"]


class MashMaltDocument(TypedDict, total=False):
    """One malt of the mash. Without a ``malt_class`` it is told by name, or by kind and colour.

    ``distilled_water_ph`` is its mash pH in distilled water at room temperature, if its lot is
    known.
    """

    malt_class: MaltClass | None
    distilled_water_ph: float | None
    buffering_meq_per_kg_ph: float | None
    name: Required[str]
    mass: Required[Amount]
    kind: Kind | None
    colour: Amount | None


class PhReadingDocument(TypedDict, total=False):
    """One earlier mash: the ``ph_by_balance`` that was forecast, and what was read.

    Readings by strip are left out.
    """

    forecast_ph: Required[float]
    read_ph: Required[float]
    instrument: Required[Literal["meter", "strip"]]
    sample_temperature: Amount


class PhWantedDocument(TypedDict, total=False):
    """What is wanted of the mash's pH at room temperature, and what there is to correct it.

    Without a ``target_ph`` no dose is worked out.
    """

    target_ph: float | None
    acid: Literal["lactic", "phosphoric"]
    acid_strength_by_mass: Amount
    base: str
    readings: Sequence[PhReadingDocument]


class MashedDocument(TypedDict, total=False):
    """The malts of a mash, at what temperature, and what is wanted of its pH."""

    temperature: Amount
    grist: Required[Sequence[MashMaltDocument]]
    ph: PhWantedDocument


class ReportLineDocument(TypedDict, total=False):
    """One line of a water report as it is printed.

    ``basis`` says what a mass is counted as. It must be said of sulfate, nitrate, alkalinity,
    carbonate and total hardness in mg/L or ppm: the readings differ by factors of 1.2 to 4.4.
    """

    of: Required[
        Literal[
            "calcium",
            "magnesium",
            "sodium",
            "potassium",
            "chloride",
            "sulfate",
            "nitrate",
            "alkalinity",
            "carbonate",
            "total_hardness",
        ]
    ]
    value: Required[float]
    unit: Required[Literal["mg/L", "ppm", "meq/L", "mmol/L", "dH", "fH"]]
    basis: Literal["ion", "CaCO3", "HCO3", "S", "N"] | None


class WaterReportDocument(TypedDict, total=False):
    """A water by its report. What is not named is taken as zero.

    Magnesium may be left out where total hardness and calcium are there.
    """

    report: Required[Sequence[ReportLineDocument]]
    from_private_well: bool


class MashPhForecastDocument(TypedDict):
    """A mash whose pH is to be forecast; ``water_volume`` is what is in the mash tun."""

    mash: MashedDocument
    water: WaterReportDocument
    water_volume: Amount


class DilutionWaterDocument(TypedDict, total=False):
    """Water at hand to dilute with; without a report pure, as from reverse osmosis."""

    report: Sequence[ReportLineDocument]


class IonTargetDocument(TypedDict, total=False):
    """Ions wanted in the mash water; what is left out does not matter."""

    calcium: Amount | None
    magnesium: Amount | None
    sodium: Amount | None
    potassium: Amount | None
    chloride: Amount | None
    sulfate: Amount | None
    nitrate: Amount | None
    alkalinity: Amount | None


class BalanceTargetDocument(TypedDict):
    """A balance of taste, and the alkalinity that calcium and magnesium may leave over."""

    sulfate_to_chloride: float
    residual_alkalinity: Amount


class WaterTargetDocument(TypedDict, total=False):
    """What is wanted of the mash water: either ions or a balance."""

    ions: IonTargetDocument | None
    balance: BalanceTargetDocument | None


class KnownMaltDocument(TypedDict, total=False):
    """What is known of the acidity of one of the recipe's malts, found by its name.

    ``distilled_water_ph`` is its mash pH in distilled water at room temperature.
    """

    malt_class: MaltClass | None
    distilled_water_ph: float | None
    buffering_meq_per_kg_ph: float | None
    name: Required[str]


class BrewersWaterDocument(TypedDict, total=False):
    """The brewer's water and salts; the plan tells how much of it is wanted.

    ``ph`` says what is wanted of the mash's pH, ``malts`` what is known of the malts' acidity.
    """

    source: Required[WaterReportDocument]
    dilution: DilutionWaterDocument | None
    target: WaterTargetDocument | None
    salts: Sequence[str]
    tolerance: Amount
    scale_step: Amount
    ph: PhWantedDocument
    malts: Sequence[KnownMaltDocument]


class WaterTreatmentDocument(TypedDict, total=False):
    """Water to be treated for a brew.

    The ``target`` is what the mash water should be; without one nothing is added. ``tolerance``
    is the miss, relative to what is wanted, that still counts as reached. Salts are named so
    that they mean one formula: calcium chloride needs its hydration. With ``mash`` its pH is
    forecast.
    """

    source: Required[WaterReportDocument]
    dilution: DilutionWaterDocument | None
    target: WaterTargetDocument | None
    salts: Sequence[str]
    tolerance: Amount
    scale_step: Amount
    mash_water: Required[Amount]
    sparge_water: Amount
    mash: MashedDocument | None
