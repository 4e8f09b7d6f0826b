"""Density of water, and how volumes shrink and swell with temperature.

All other volumes of the service are at 20 degC. "Hot from cold" and "cold from hot" are not
the same percentage (+4.16 and -3.99 between 20 and 100 degC), so the direction is in the name.
"""

from wortwright.brewing.errors import require_between

HOTTEST_C = 105.0


def water_density_kg_per_l(temperature_c: float) -> float:
    """Density of water under atmospheric pressure, after Kell.

    Parameters
    ----------
    temperature_c : float
        Temperature [degC], 0 to 105.

    Returns
    -------
    float
        Density [kg/L], within 0.00002 of the IAPWS-95 reference.

    Raises
    ------
    OutOfRangeError
        For a temperature outside the range.

    Notes
    -----
    A widely copied text of the formula has 16.897850e-3 in the denominator, with two digits
    swapped; it gives 997.94 instead of 998.20 kg/m3 at 20 degC.

    References
    ----------
    Kell, "Density, thermal expansivity, and compressibility of liquid water from 0 to 150 degC",
    *J. Chem. Eng. Data* 20:97, 1975.
    """
    require_between("temperature", temperature_c, 0.0, HOTTEST_C, "degC")
    t = temperature_c
    numerator = 999.83952 + t * (
        16.945176
        + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 + t * -280.54253e-12)))
    )
    return numerator / (1.0 + 16.879850e-3 * t) / 1000.0


def volume_at_20_from_hot_l(volume_l: float, temperature_c: float) -> float:
    """Volume at 20 degC of wort or water seen at another temperature.

    Parameters
    ----------
    volume_l : float
        Volume as seen [L].
    temperature_c : float
        Its temperature [degC], 0 to 105.

    Returns
    -------
    float
        Volume at 20 degC [L].

    Raises
    ------
    OutOfRangeError
        For a temperature outside the range.

    Notes
    -----
    Wort shrinks like water to 0.12 % of volume up to 20 degP and 0.16 % up to 30 degP. That a
    kettle marked cold grows as well (0.4 % over 80 K) is left out: below the reading error.
    """
    return volume_l * water_density_kg_per_l(temperature_c) / _DENSITY_20


def hot_volume_from_20_l(volume_l: float, temperature_c: float) -> float:
    """Volume at another temperature of wort or water measured at 20 degC.

    Parameters
    ----------
    volume_l : float
        Volume at 20 degC [L].
    temperature_c : float
        Temperature to state it at [degC], 0 to 105.

    Returns
    -------
    float
        Volume at that temperature [L].

    Raises
    ------
    OutOfRangeError
        For a temperature outside the range.

    Notes
    -----
    The inverse of `volume_at_20_from_hot_l`.
    """
    return volume_l * _DENSITY_20 / water_density_kg_per_l(temperature_c)


_DENSITY_20 = water_density_kg_per_l(20.0)
