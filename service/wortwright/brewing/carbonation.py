"""Carbon dioxide in beer: solubility, what is left after fermentation, pressure.

One volume is one litre of gas at 0 degC and 1 atm per litre of beer. Pressures are gauge, in
bar above one atmosphere.
"""

from math import exp, log

from wortwright.brewing.errors import require_between

CO2_G_PER_VOLUME = 1.977
"""Real gas, 22.263 L/mol."""

ATMOSPHERE_BAR = 1.01325
PSI_PER_BAR = 14.50377


def co2_in_water_g_per_l(temperature_c: float, pressure_atm: float = 1.0) -> float:
    """Carbon dioxide in water under the pure gas.

    Parameters
    ----------
    temperature_c : float
        Temperature [degC], 0 to 40.
    pressure_atm : float
        Absolute pressure of the gas [atm], 0 to 10.

    Returns
    -------
    float
        Dissolved carbon dioxide [g/L]: 1.72 at 20 degC and 1 atm; beer holds 3 to 8 % less.

    Raises
    ------
    OutOfRangeError
        For a value outside its range.

    Notes
    -----
    Fit to a PHREEQC run with phreeqc.dat within 0.08 %; 0.5 % above the value measured at
    25 degC by T. Shedlovsky and D. A. MacInnes, 1935 (IUPAC-NIST Solubility Database).
    """
    require_between("temperature", temperature_c, 0.0, 40.0, "degC")
    require_between("pressure", pressure_atm, 0.0, 10.0, "atm")
    hundreds = (temperature_c + 273.15) / 100.0
    return pressure_atm * exp(-52.8922 + 88.5670 / hundreds + 21.59075 * log(hundreds))


def volumes_in_beer(gauge_bar: float, temperature_c: float) -> float:
    """Carbon dioxide in beer in balance with the gas above it.

    Parameters
    ----------
    gauge_bar : float
        Gauge pressure [bar], -1.013 (no gas at all) to 30.
    temperature_c : float
        Temperature [degC], -2 to 45; the fit is extended above 25.

    Returns
    -------
    float
        Volumes [L/L]: 0.84 at 20 degC and no pressure.

    Raises
    ------
    OutOfRangeError
        For a value outside its range.

    Notes
    -----
    V = p (0.01821 + 0.090115 exp(-(F - 32)/43.11)) - 0.003342, p absolute in psi, F degrees
    Fahrenheit; a fit to the ASBC table.

    References
    ----------
    A. J. deLange, "CO2 volumes in beer," 2011 (constants from memory).
    """
    require_between("gauge pressure", gauge_bar, -ATMOSPHERE_BAR, 30.0, "bar")
    absolute_psi = (gauge_bar + ATMOSPHERE_BAR) * PSI_PER_BAR
    return absolute_psi * _volumes_per_psi(temperature_c) - _OFFSET_VOLUMES


def gauge_bar_for(volumes: float, temperature_c: float) -> float:
    """Pressure that keeps, or results from, a carbonation. Inverse of `volumes_in_beer`.

    Parameters
    ----------
    volumes : float
        Carbon dioxide [L/L], 0 to 100; what no bottle bears is extended from the fit.
    temperature_c : float
        Temperature [degC], -2 to 45.

    Returns
    -------
    float
        Gauge pressure [bar]; negative where beer under air would lose gas no further.

    Raises
    ------
    OutOfRangeError
        For a value outside its range.
    """
    require_between("carbonation", volumes, 0.0, 100.0, "volumes")
    absolute_psi = (volumes + _OFFSET_VOLUMES) / _volumes_per_psi(temperature_c)
    return absolute_psi / PSI_PER_BAR - ATMOSPHERE_BAR


def residual_volumes(highest_temperature_c: float, gauge_bar: float = 0.0) -> float:
    """Carbon dioxide left in beer after fermentation.

    Parameters
    ----------
    highest_temperature_c : float
        Highest temperature since fermentation quieted [degC], -2 to 45. What has left does not
        come back on cooling.
    gauge_bar : float
        Pressure held then, 0 under an airlock [bar], 0 to 3.

    Returns
    -------
    float
        Volumes [L/L].

    Raises
    ------
    OutOfRangeError
        For a value outside its range.
    """
    require_between("pressure of fermentation", gauge_bar, 0.0, 3.0, "bar")
    return volumes_in_beer(gauge_bar, highest_temperature_c)


_OFFSET_VOLUMES = 0.003342


def _volumes_per_psi(temperature_c: float) -> float:
    require_between("temperature", temperature_c, -2.0, 45.0, "degC")
    return 0.01821 + 0.090115 * exp(-1.8 * temperature_c / 43.11)
