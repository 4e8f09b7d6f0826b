"""A mash run off step by step, its wort weighed at every step.

Volumes follow from the density of sucrose solutions (ICUMSA SPS-4), so that nothing is taken as
additive but mass. Grain holds a fixed volume of wort, as in the closed forms under test.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from scipy.integrate import solve_ivp

from published.extract_tables import solve
from published.icumsa import density_kg_per_m3, mass_percent_of_gravity_20

WATER_KG_PER_L = density_kg_per_m3(0.0, 20.0) / 1000.0


@dataclass(frozen=True)
class Wort:
    """Masses of water and extract [kg]."""

    water: float
    extract: float

    @property
    def plato(self) -> float:
        return 100.0 * self.extract / (self.water + self.extract)

    @property
    def litres(self) -> float:
        return (self.water + self.extract) * 1000.0 / density_kg_per_m3(self.plato, 20.0)

    def part(self, share: float) -> "Wort":
        return Wort(self.water * share, self.extract * share)

    def plus_water(self, litres: float) -> "Wort":
        return Wort(self.water + litres * WATER_KG_PER_L, self.extract)


def mash(grain_kg: float, extract_yield: float, conversion: float, water_l: float) -> Wort:
    return Wort(water_l * WATER_KG_PER_L, grain_kg * extract_yield * conversion)


def run_off(tun: Wort, waters_l: Sequence[float], retained_l: float) -> tuple[list[Wort], Wort]:
    """Drain to what is retained, add water, stir, drain again; the worts and what stays."""
    drained = []
    for water_l in (0.0, *waters_l):
        tun = tun.plus_water(water_l)
        share = 1.0 - retained_l / tun.litres
        drained.append(tun.part(share))
        tun = tun.part(1.0 - share)
    return drained, tun


def water_for(litres: float, tun: Wort, retained_l: float) -> float:
    """Water that makes a tun give so many litres at the next run-off."""
    return solve(lambda water: tun.plus_water(water).litres - retained_l, litres, 0.0, 200.0)


def efficiency(
    grain_kg: float,
    extract_yield: float,
    conversion: float,
    runnings_l: Sequence[float],
    retained_l: float,
) -> float:
    """Extract drained per extract dissolved, each run-off having its wanted volume."""
    tun = mash(grain_kg, extract_yield, conversion, 0.0)
    dissolved = tun.extract
    for litres in runnings_l:
        tun = tun.plus_water(water_for(litres, tun, retained_l))
        tun = tun.part(retained_l / tun.litres)
    return 1.0 - tun.extract / dissolved


def bed_washed(displacements: float, tanks: int = 3) -> list[float]:
    """Strength left in each tank of a bed through which water is pushed, by time steps."""

    def flow(_: float, strength: Sequence[float]) -> list[float]:
        above = [0.0, *strength[:-1]]
        return [tanks * (a - s) for a, s in zip(above, strength, strict=True)]

    found = solve_ivp(flow, (0.0, displacements), [1.0] * tanks, rtol=1e-10, atol=1e-12)
    return [float(strength) for strength in found.y[:, -1]]


def continuous(
    mash_wort_l: float, preboil_l: float, retained_l: float, bypass: float, washing: float = 1.0
) -> float:
    """Efficiency of a first wort drained and a bed washed in time, beside what is bypassed."""
    sparge_l = max(0.0, preboil_l + retained_l - mash_wort_l)
    strength = bed_washed(washing * sparge_l / retained_l) if sparge_l else [1.0]
    left = bypass + (1.0 - bypass) * sum(strength) / len(strength)
    drained_from_l = mash_wort_l if sparge_l else preboil_l + retained_l
    return 1.0 - retained_l / drained_from_l * left


def slope(function: Callable[[float], float], at: float) -> float:
    """Growth of a function over a small step to both sides."""
    step = 1e-3 * at
    return (function(at + step) - function(at - step)) / (2.0 * step)


def no_sparge_grain_kg(
    gravity: float, preboil_l: float, extract_yield: float, conversion: float, held: float
) -> float:
    """Grain whose kettle, without sparge, reaches a gravity: tried until it does."""
    goal = mass_percent_of_gravity_20(gravity)

    def plato_of(grain_kg: float) -> float:
        tun = mash(grain_kg, extract_yield, conversion, 0.0)
        return tun.plus_water(water_for(preboil_l, tun, held * grain_kg)).plato

    return solve(plato_of, goal, 0.5, 40.0)


# Husk, protein and starch that did not dissolve weigh about 1.45 kg/L (from memory).
UNDISSOLVED_KG_PER_L = 1.45
MALT_MOISTURE = 0.04


def mash_litres(water_l: float, grain_kg: float, extract_yield: float, conversion: float) -> float:
    """Room of a mash: its wort, with the malt's moisture, and what did not dissolve."""
    wort = mash(grain_kg, extract_yield, conversion, water_l)
    wort = Wort(wort.water + MALT_MOISTURE * grain_kg, wort.extract)
    undissolved_kg = grain_kg * (1.0 - MALT_MOISTURE) - wort.extract
    return wort.litres + undissolved_kg / UNDISSOLVED_KG_PER_L
