"""Other equations between gravity and extract, none of them in the code.

Their gravities are ratios of weights in air, as weighed for the tables they were fitted to.
"""

from collections.abc import Callable

from scipy.optimize import brentq

AIR_KG_PER_M3 = 1.2
WATER_20_KG_PER_M3 = 998.2


def nbs_plato(apparent_gravity: float) -> float:
    """Cubic fitted to the table of NBS Circular 440 (Bates, 1942); article *Brix*."""
    s = apparent_gravity
    return ((182.46007 * s - 775.68212) * s + 1262.7794) * s - 669.56218


def asbc_plato(apparent_gravity: float) -> float:
    """Cubic fitted to the table of the ASBC; article *Brix*."""
    s = apparent_gravity
    return ((135.997 * s - 630.272) * s + 1111.14) * s - 616.868


def buhl_plato(apparent_gravity: float) -> float:
    """One-parameter form of J. Buhl, *Physical Equations Relating Extract and Relative Density*."""
    return 260.4 - 260.4 / apparent_gravity


def lincoln_plato(apparent_gravity: float) -> float:
    """Lincoln's equation; article *Brix*."""
    return (463.0 - 205.0 * apparent_gravity) * (apparent_gravity - 1.0)


_AOAC = (1.0, 0.3875135555, 0.09702881653, 0.3883357480, -1.782845295, 5.591472292, -11.00667976,
         13.62230734, -10.33082001, 4.387787019, -0.7995558730)  # fmt: skip


def aoac_gravity(plato: float) -> float:
    """Fit to the Brix table of the AOAC, 942.33: Hackbarth, *J. Am. Soc. Brew. Chem.* 69:39, 2011.

    Read in a sample file of a language for units. Its gravities are taken as they are, neither
    the table's name nor its fit says where they were weighed; the air makes 0.0001 at 20 degP.
    """
    return sum(term * (plato / 100.0) ** power for power, term in enumerate(_AOAC))


def in_air(gravity: float) -> float:
    return (gravity * WATER_20_KG_PER_M3 - AIR_KG_PER_M3) / (WATER_20_KG_PER_M3 - AIR_KG_PER_M3)


def in_vacuum(apparent_gravity: float) -> float:
    return (
        apparent_gravity * (WATER_20_KG_PER_M3 - AIR_KG_PER_M3) + AIR_KG_PER_M3
    ) / WATER_20_KG_PER_M3


def solve(function: Callable[[float], float], goal: float, low: float, high: float) -> float:
    """Argument at which a function meets a goal."""
    return float(brentq(lambda x: function(x) - goal, low, high, xtol=1e-13))


def nbs_gravity(plato: float) -> float:
    """Gravity in vacuum after the table of NBS Circular 440."""
    return in_vacuum(solve(nbs_plato, plato, 0.9, 1.2))


def nbs_extract_kg_per_l(gravity: float) -> float:
    return nbs_plato(in_air(gravity)) / 100.0 * gravity * WATER_20_KG_PER_M3 / 1000.0


def nbs_gravity_of_extract(kg_per_l: float) -> float:
    return solve(nbs_extract_kg_per_l, kg_per_l, 0.99, 1.2)
