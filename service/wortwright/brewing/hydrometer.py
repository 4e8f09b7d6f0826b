"""What a hydrometer says of wort that is not at the temperature it was calibrated for."""

from wortwright.brewing.errors import require_between
from wortwright.brewing.gravity import HIGHEST_GRAVITY, LOWEST_GRAVITY

GLASS_EXPANSION_PER_K = 25e-6
"""Cubic expansion of hydrometer glass. OIML R 22."""

HOTTEST_READING_C = 40.0
"""Above this the published corrections disagree by more than a point, and wort evaporates."""

# Excess density over water of sucrose solutions, kg/m3: row m holds the coefficients of
# w, w^2 ... times ((t - 20)/100)^m, w = mass fraction. ICUMSA SPS-4, as printed in Bubnik,
# Kadlec, Urban & Bruhns, Sugar Technologists Manual, Bartens 1995, p. 164.
_ICUMSA = (
    (385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890),
    (-46.2720, -7.1720, 1.1597, 5.1126, 17.5254, 0.0),
    (59.7712, 7.2491, 12.3630, -35.4791, 0.0, 0.0),
    (-47.2207, -21.6977, 27.6301, 0.0, 0.0, 0.0),
    (18.3184, 12.3081, 0.0, 0.0, 0.0, 0.0),
)


def gravity_at_20(reading: float, temperature_c: float, calibration_c: float = 20.0) -> float:
    """Specific gravity 20/20 from a hydrometer reading at another temperature.

    Parameters
    ----------
    reading : float
        Reading of a specific gravity hydrometer [SG], 0.970 to 1.190.
    temperature_c : float
        Temperature of the sample when read [degC], 0 to 40.
    calibration_c : float
        Temperature the instrument was made for [degC], 10 to 25; usually 20 or 15.6.

    Returns
    -------
    float
        Specific gravity 20/20 [SG].

    Raises
    ------
    OutOfRangeError
        For a reading or temperature outside its range. A hot sample should be cooled.

    Notes
    -----
    Balance of the float: the sample's density is reading x density of water at calibration x
    (1 - glass expansion x (sample - calibration temperature)). The sugar solution of that density
    is found at the sample's temperature and stated at 20 degC. The common short form, a ratio
    of water densities, errs by 0.3 points at 1.050 and 0.9 at 1.100 within 10 K.

    References
    ----------
    OIML R 22 (glass); ICUMSA SPS-4 (sucrose solutions), see the table above.
    """
    require_between("hydrometer reading", reading, LOWEST_GRAVITY, HIGHEST_GRAVITY, "SG")
    require_between("sample temperature", temperature_c, 0.0, HOTTEST_READING_C, "degC")
    require_between("calibration temperature", calibration_c, 10.0, 25.0, "degC")
    glass = 1.0 - GLASS_EXPANSION_PER_K * (temperature_c - calibration_c)
    density = reading * _water(calibration_c) * glass
    fraction = _mass_fraction(density - _water(temperature_c), _excess_terms(temperature_c))
    return 1.0 + _excess(fraction, _TERMS_20) / _WATER_20


def _water(t: float) -> float:
    # The source's own water, kg/m3: a reading of 1.000 in water must stay 1.000 exactly.
    numerator = 999.83952 + t * (
        16.952577
        + t * (-7.9905127e-3 + t * (-46.241757e-6 + t * (105.84601e-9 + t * -281.03006e-12)))
    )
    return numerator / (1.0 + 16.887236e-3 * t)


def _excess_terms(temperature_c: float) -> tuple[float, ...]:
    warm = (temperature_c - 20.0) / 100.0
    return tuple(
        sum(term * warm**power for power, term in enumerate(column))
        for column in zip(*_ICUMSA, strict=True)
    )


def _excess(fraction: float, terms: tuple[float, ...]) -> float:
    total = 0.0
    for term in reversed(terms):
        total = (total + term) * fraction
    return total


def _mass_fraction(excess: float, terms: tuple[float, ...]) -> float:
    # Secant steps from both sides of the nearly straight curve; six reach rounding.
    before, fraction = 0.0, excess / terms[0]
    error_before = -excess
    for _ in range(6):
        error = _excess(fraction, terms) - excess
        if error == error_before:
            break
        step = error * (fraction - before) / (error - error_before)
        before, error_before, fraction = fraction, error, fraction - step
    return fraction


_TERMS_20 = _excess_terms(20.0)
_WATER_20 = _water(20.0)
