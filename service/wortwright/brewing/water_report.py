"""Reading a laboratory's water report in whatever units it prints.

A number whose basis is open (alkalinity in mg/L, sulfate that may be sulfur) is refused: the
readings differ by factors of 1.2 to 4.4.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from wortwright.brewing.alkalinity import CALCIUM_CARBONATE_MG_PER_MEQ
from wortwright.brewing.errors import require_between
from wortwright.brewing.ions import CHARGE, Water, equivalent_mass_mg_per_meq


class Quantity(StrEnum):
    """What a line of a report is of."""

    CALCIUM = "calcium"
    MAGNESIUM = "magnesium"
    SODIUM = "sodium"
    POTASSIUM = "potassium"
    CHLORIDE = "chloride"
    SULFATE = "sulfate"
    NITRATE = "nitrate"
    ALKALINITY = "alkalinity"
    CARBONATE = "carbonate"
    TOTAL_HARDNESS = "total_hardness"


class ReportUnit(StrEnum):
    """Units that laboratories print."""

    MG_L = "mg/L"
    PPM = "ppm"
    MEQ_L = "meq/L"
    MMOL_L = "mmol/L"
    GERMAN_DEGREES = "dH"
    FRENCH_DEGREES = "fH"


class Basis(StrEnum):
    """What a mass is counted as."""

    ION = "ion"
    CALCIUM_CARBONATE = "CaCO3"
    BICARBONATE = "HCO3"
    SULFUR = "S"
    NITROGEN = "N"


class AmbiguousBasisError(ValueError):
    """A mass concentration that does not say what it is counted as.

    Parameters
    ----------
    quantity : str
        The line of the report.
    accepted : tuple of str
        The bases that would settle it.
    """

    def __init__(self, quantity: str, accepted: tuple[str, ...]) -> None:
        super().__init__(f"{quantity} must say its basis: {' or '.join(accepted)}")
        self.quantity = quantity
        self.accepted = accepted


class UnreadableReportError(ValueError):
    """A report that contradicts itself or leaves something out."""


@dataclass(frozen=True, slots=True)
class ReportLine:
    """One line of a report as printed."""

    quantity: Quantity
    value: float
    unit: ReportUnit
    basis: Basis | None = None


MEQ_PER_GERMAN_DEGREE = 10.0 / 28.0385
"""1 dH is 10 mg/L of CaO, 56.077 g/mol."""

MEQ_PER_FRENCH_DEGREE = 10.0 / CALCIUM_CARBONATE_MG_PER_MEQ
"""1 fH is 10 mg/L of CaCO3."""

_SULFUR_MG_PER_MEQ, _NITROGEN_MG_PER_MEQ = 32.06 / 2.0, 14.007

_MASS_BASES: dict[Quantity, dict[Basis, float]] = {
    **{
        quantity: {
            Basis.ION: equivalent_mass_mg_per_meq(quantity),
            Basis.CALCIUM_CARBONATE: CALCIUM_CARBONATE_MG_PER_MEQ,
        }
        for quantity in (Quantity.CALCIUM, Quantity.MAGNESIUM, Quantity.CARBONATE)
    },
    **{
        quantity: {Basis.ION: equivalent_mass_mg_per_meq(quantity)}
        for quantity in (Quantity.SODIUM, Quantity.POTASSIUM, Quantity.CHLORIDE)
    },
    Quantity.SULFATE: {
        Basis.ION: equivalent_mass_mg_per_meq("sulfate"),
        Basis.SULFUR: _SULFUR_MG_PER_MEQ,
    },
    Quantity.NITRATE: {
        Basis.ION: equivalent_mass_mg_per_meq("nitrate"),
        Basis.NITROGEN: _NITROGEN_MG_PER_MEQ,
    },
    Quantity.ALKALINITY: {
        Basis.CALCIUM_CARBONATE: CALCIUM_CARBONATE_MG_PER_MEQ,
        Basis.BICARBONATE: equivalent_mass_mg_per_meq("bicarbonate"),
    },
    Quantity.TOTAL_HARDNESS: {Basis.CALCIUM_CARBONATE: CALCIUM_CARBONATE_MG_PER_MEQ},
}

_UNDERSTOOD = {Quantity.CALCIUM, Quantity.MAGNESIUM, Quantity.SODIUM, Quantity.POTASSIUM,
               Quantity.CHLORIDE}  # fmt: skip
_IN_DEGREES = {Quantity.CALCIUM, Quantity.MAGNESIUM, Quantity.ALKALINITY, Quantity.CARBONATE,
               Quantity.TOTAL_HARDNESS}  # fmt: skip


def line_meq_l(line: ReportLine) -> float:
    """One line of a report in milliequivalents per litre.

    Parameters
    ----------
    line : ReportLine
        The line as printed; its value is 0 or more. A mass of sulfate, nitrate, alkalinity,
        carbonate or hardness must say its basis; plain ions count as themselves.

    Returns
    -------
    float
        Concentration [meq/L]. Alkalinity in mmol/L is acid capacity to pH 4.3.

    Raises
    ------
    AmbiguousBasisError
        If a mass does not say what it is counted as.
    UnreadableReportError
        If the unit or basis makes no sense for the quantity.
    OutOfRangeError
        For a negative value or one above 10 000.
    """
    require_between(str(line.quantity), line.value, 0.0, 10_000.0, str(line.unit))
    if line.unit is ReportUnit.MEQ_L:
        return line.value
    if line.unit is ReportUnit.MMOL_L:
        return line.value * _equivalents_per_mol(line.quantity)
    if line.unit in (ReportUnit.GERMAN_DEGREES, ReportUnit.FRENCH_DEGREES):
        return line.value * _meq_per_degree(line)
    return line.value / _mg_per_meq(line)


def water_from_report(lines: Iterable[ReportLine]) -> Water:
    """Read a report.

    Parameters
    ----------
    lines : iterable of ReportLine
        Each quantity at most once. Magnesium may be left out if total hardness and calcium
        are there; a content that is not named is taken as zero.

    Returns
    -------
    Water
        Contents; carbonate is counted with the alkalinity of bicarbonate.

    Raises
    ------
    UnreadableReportError
        If a quantity stands twice, or hardness stands without calcium, or is less than it.
    AmbiguousBasisError
        As `line_meq_l`.
    OutOfRangeError
        As `line_meq_l`.
    """
    meq_l: dict[Quantity, float] = {}
    basis: dict[Quantity, Basis | None] = {}
    for line in lines:
        if line.quantity in meq_l:
            raise UnreadableReportError(f"{line.quantity} stands twice in the report")
        meq_l[line.quantity], basis[line.quantity] = line_meq_l(line), line.basis
    if Quantity.CARBONATE in meq_l and basis.get(Quantity.ALKALINITY) is not Basis.BICARBONATE:
        raise UnreadableReportError("carbonate counts only beside bicarbonate; give one alkalinity")
    _fill_magnesium(meq_l)
    contents = {
        f"{ion}_mg_l": meq_l.get(ion, 0.0) * equivalent_mass_mg_per_meq(ion)
        for ion in Quantity
        if ion in CHARGE and ion is not Quantity.CARBONATE
    }
    alkalinity = meq_l.get(Quantity.ALKALINITY, 0.0) + meq_l.get(Quantity.CARBONATE, 0.0)
    return Water(**contents, alkalinity_meq_l=alkalinity)


def _fill_magnesium(meq_l: dict[Quantity, float]) -> None:
    if Quantity.TOTAL_HARDNESS not in meq_l or Quantity.MAGNESIUM in meq_l:
        return
    if Quantity.CALCIUM not in meq_l:
        raise UnreadableReportError("hardness alone does not say how much of it is calcium")
    magnesium = meq_l[Quantity.TOTAL_HARDNESS] - meq_l[Quantity.CALCIUM]
    if magnesium < -0.02 * meq_l[Quantity.CALCIUM]:
        raise UnreadableReportError("the calcium alone is more than the total hardness")
    meq_l[Quantity.MAGNESIUM] = max(magnesium, 0.0)


def _mg_per_meq(line: ReportLine) -> float:
    known = _MASS_BASES[line.quantity]
    basis = line.basis
    if basis is None and line.quantity in _UNDERSTOOD:
        basis = Basis.ION
    if basis is None:
        raise AmbiguousBasisError(str(line.quantity), tuple(known))
    if basis not in known:
        raise UnreadableReportError(f"{line.quantity} is not counted as {basis}")
    return known[basis]


def _equivalents_per_mol(quantity: Quantity) -> int:
    # acid capacity takes one proton a mole; a mole of hardness is of Ca and Mg, two charges
    return {Quantity.ALKALINITY: 1, Quantity.TOTAL_HARDNESS: 2}.get(quantity) or abs(
        CHARGE[quantity]
    )


def _meq_per_degree(line: ReportLine) -> float:
    if line.quantity not in _IN_DEGREES:
        raise UnreadableReportError(f"{line.quantity} is not measured in degrees of hardness")
    german = line.unit is ReportUnit.GERMAN_DEGREES
    return MEQ_PER_GERMAN_DEGREE if german else MEQ_PER_FRENCH_DEGREE
