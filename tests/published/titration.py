"""Mash pH as the end of a titration: malt in pure water, to which ions and acid are added.

Each drop moves pH by its charge over the buffer value of what is in the vessel (Van Slyke, J. Biol.
Chem. 52:525, 1922), so no balance of protons is ever solved. Constants at 25 degC from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

from scipy.integrate import solve_ivp

from published.extract_tables import solve

CARBONIC = [6.352]
ACIDS = {"lactic": [3.86], "phosphoric": [2.148, 7.198, 12.35], "strong": [-10.0]}


@dataclass(frozen=True)
class Vessel:
    """Malts as (kg, pH in distilled water, mEq/(kg pH)); water; acids as name and mmol."""

    malts: Sequence[tuple[float, float, float]]
    water_l: float = 0.0
    alkalinity_meq_l: float = 0.0
    calcium_meq_l: float = 0.0
    magnesium_meq_l: float = 0.0
    acids_mmol: Sequence[tuple[str, float]] = ()
    gas_escapes: bool = False

    @property
    def malt_buffer(self) -> float:
        return sum(kg * buffering for kg, _, buffering in self.malts)

    @property
    def start_ph(self) -> float:
        return sum(kg * ph * buffering for kg, ph, buffering in self.malts) / self.malt_buffer


def protons_given(pks: Sequence[float], ph: float) -> tuple[float, float]:
    """Mean protons a molecule has given up, and the growth of that number with pH."""
    weights = [1.0]
    for pk in pks:
        weights.append(weights[-1] * 10.0 ** (ph - pk))
    total = sum(weights)
    mean = sum(k * w for k, w in enumerate(weights)) / total
    square = sum(k * k * w for k, w in enumerate(weights)) / total
    return mean, log(10.0) * (square - mean * mean)


def end_ph(vessel: Vessel) -> float:
    """Add everything in step from none to all of it."""

    def slope(added: float, ph: Sequence[float]) -> list[float]:
        base, buffer = _drop(vessel, float(ph[0]))
        return [base / (vessel.malt_buffer + added * buffer)]

    found = solve_ivp(slope, (0.0, 1.0), [vessel.start_ph], rtol=1e-9, atol=1e-11)
    return float(found.y[0, -1])


def _drop(vessel: Vessel, ph: float) -> tuple[float, float]:
    bicarbonate = 0.0 if vessel.gas_escapes else vessel.water_l * vessel.alkalinity_meq_l
    hardness = vessel.calcium_meq_l / 3.5 + vessel.magnesium_meq_l / 7.0
    base = vessel.water_l * (vessel.alkalinity_meq_l - hardness)
    buffer = 0.0
    for pks, mmol in [(CARBONIC, bicarbonate), *((ACIDS[a], n) for a, n in vessel.acids_mmol)]:
        given, growth = protons_given(pks, ph)
        base -= mmol * given
        buffer += mmol * growth
    return base, buffer


def acid_mmol_to(target_ph: float, vessel: Vessel, acid: str) -> float:
    """Acid that brings a vessel to a pH."""

    def ph_with(mmol: float) -> float:
        acids = (*vessel.acids_mmol, (acid, mmol))
        return end_ph(Vessel(**{**vars(vessel), "acids_mmol": acids}))

    return solve(ph_with, target_ph, 0.0, 2000.0)
