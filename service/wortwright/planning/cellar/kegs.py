"""Kegs: pressure and carbonation in balance at a temperature."""

from dataclasses import dataclass

from wortwright.brewing.carbonation import gauge_bar_for, volumes_in_beer
from wortwright.planning.cautions import Caution, caution
from wortwright.planning.plan import Finding
from wortwright.records.sentence import bar, say

KEG_MOST_BAR = 3.0
"""Above it a keg, its lines and its relief valve are to be checked by their labels (common
practice)."""


@dataclass(frozen=True, slots=True)
class KegPressure:
    """Pressure [bar gauge] and carbonation [L/L] in balance at a temperature."""

    pressure_bar: float
    carbonation: float
    temperature_c: float
    warnings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]


def keg_pressure(carbonation: float, temperature_c: float) -> KegPressure:
    """Pressure that keeps a carbonation.

    Parameters
    ----------
    carbonation : float
        Carbonation wanted, 0 to 6. [L/L]
    temperature_c : float
        Temperature of the beer, -2 to 45. [degC]

    Returns
    -------
    KegPressure
        Gauge pressure, never below none.

    Raises
    ------
    OutOfRangeError
        For values outside their range.
    """
    return _keg(max(0.0, gauge_bar_for(carbonation, temperature_c)), carbonation, temperature_c)


def keg_carbonation(pressure_bar: float, temperature_c: float) -> KegPressure:
    """Carbonation that a pressure comes to.

    Parameters
    ----------
    pressure_bar : float
        Gauge pressure held, 0 to 10. [bar]
    temperature_c : float
        Temperature of the beer, -2 to 45. [degC]

    Returns
    -------
    KegPressure
        Carbonation in balance with it.

    Raises
    ------
    OutOfRangeError
        For values outside their range.
    """
    return _keg(pressure_bar, volumes_in_beer(pressure_bar, temperature_c), temperature_c)


def _keg(pressure_bar: float, carbonation: float, temperature_c: float) -> KegPressure:
    found = []
    if pressure_bar > KEG_MOST_BAR:
        found.append(
            Finding(
                "high_keg_pressure",
                say(
                    "{pressure} is much for a keg: check the labels of keg, regulator and relief "
                    "valve, or chill the beer.",
                    pressure=bar(pressure_bar),
                ),
            )
        )
    return KegPressure(
        pressure_bar,
        carbonation,
        temperature_c,
        tuple(found),
        (caution("co2_cylinder"), caution("glass")),
    )
