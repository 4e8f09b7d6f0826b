"""Gravity, extract in mass percent, and extract by mass.

Gravity is specific gravity 20/20 degC. Degrees Plato and Brix are one scale here: mass
percent of sucrose with the same density. Extract is counted by mass, never by points:
points are additive only to about 1 % over the range of worts.
"""

from wortwright.brewing.errors import require_between, require_positive

WATER_DENSITY_20_KG_PER_L = 0.998203
"""Water at 20 degC. ICUMSA SPS-4 as printed in Bubnik, Kadlec, Urban & Bruhns, *Sugar
Technologists Manual*, Bartens 1995, p. 164."""

LOWEST_GRAVITY = 0.970
HIGHEST_GRAVITY = 1.190

# P = x * (A + x * (B + x * (C + x * D))), x = gravity - 1
_A, _B, _C, _D = 259.150, -235.877, 245.810, -164.839


def plato_from_gravity(gravity: float) -> float:
    """Extract in mass percent (degrees Plato) of wort of a given gravity.

    Parameters
    ----------
    gravity : float
        Specific gravity 20/20 [SG], 0.970 to 1.190. Below 1 (finished beer) the apparent
        extract is negative.

    Returns
    -------
    float
        Extract [degP], within 0.0002 degP of the source from 0 to 40 degP and within 0.0005
        over the whole range.

    Raises
    ------
    OutOfRangeError
        For a gravity outside the range.

    Notes
    -----
    Quartic fitted by least squares to the ICUMSA density of sucrose solutions at 20 degC,
    0-40 degP. Every published table and polynomial agrees within 0.02 degP up to 30 degP.

    References
    ----------
    Bubnik, Kadlec, Urban & Bruhns, *Sugar Technologists Manual*, Bartens 1995, p. 164.
    """
    require_between("gravity", gravity, LOWEST_GRAVITY, HIGHEST_GRAVITY, "SG")
    return _plato(gravity - 1.0)


def gravity_from_plato(extract_plato: float) -> float:
    """Gravity of wort of a given extract in mass percent.

    The numeric inverse of `plato_from_gravity`, so a round trip returns to within 1e-12.

    Parameters
    ----------
    extract_plato : float
        Extract [degP], -8 to 42 (the range of gravity).

    Returns
    -------
    float
        Specific gravity 20/20 [SG].

    Raises
    ------
    OutOfRangeError
        For an extract outside the range.

    Notes
    -----
    Newton's method from the cubic fitted to the same source (error 2e-6); two steps leave
    nothing but rounding.
    """
    require_between("extract", extract_plato, _LOWEST_PLATO, _HIGHEST_PLATO, "degP")
    x = extract_plato * (3.85858e-3 + extract_plato * (1.35760e-5 + extract_plato * 4.0159e-8))
    x -= (_plato(x) - extract_plato) / _plato_slope(x)
    x -= (_plato(x) - extract_plato) / _plato_slope(x)
    return 1.0 + x


def extract_kg_per_l(gravity: float) -> float:
    """Extract in one litre of wort at 20 degC.

    Parameters
    ----------
    gravity : float
        Specific gravity 20/20 [SG], 0.970 to 1.190.

    Returns
    -------
    float
        Extract [kg/L]; density times mass fraction, exact by definition.

    Raises
    ------
    OutOfRangeError
        For a gravity outside the range.
    """
    return gravity * WATER_DENSITY_20_KG_PER_L * plato_from_gravity(gravity) / 100.0


def gravity_from_extract_kg_per_l(extract_kg_per_l: float) -> float:
    """Gravity of wort that holds a given mass of extract per litre at 20 degC.

    The numeric inverse of `extract_kg_per_l`.

    Parameters
    ----------
    extract_kg_per_l : float
        Extract [kg/L], about -0.077 to 0.50 (the range of gravity).

    Returns
    -------
    float
        Specific gravity 20/20 [SG].

    Raises
    ------
    OutOfRangeError
        For an extract outside the range.

    Notes
    -----
    Newton's method from 386 points per kg/L. The curve is so nearly straight that three steps
    leave nothing but rounding over the whole range.
    """
    require_between("extract", extract_kg_per_l, _LOWEST_KG_PER_L, _HIGHEST_KG_PER_L, "kg/L")
    goal = 100.0 * extract_kg_per_l / WATER_DENSITY_20_KG_PER_L
    x = 0.386 * extract_kg_per_l
    for _ in range(3):
        plato = _plato(x)
        x -= ((1.0 + x) * plato - goal) / (plato + (1.0 + x) * _plato_slope(x))
    return 1.0 + x


def extract_kg(volume_l: float, gravity: float) -> float:
    """Mass of extract in a volume of wort.

    Parameters
    ----------
    volume_l : float
        Volume at 20 degC [L].
    gravity : float
        Specific gravity 20/20 [SG], 0.970 to 1.190.

    Returns
    -------
    float
        Extract [kg].

    Raises
    ------
    OutOfRangeError
        For a gravity outside the range.
    """
    return volume_l * extract_kg_per_l(gravity)


def gravity_of_wort(extract_kg: float, volume_l: float) -> float:
    """Gravity of wort that holds a mass of extract in a volume.

    Parameters
    ----------
    extract_kg : float
        Extract [kg].
    volume_l : float
        Volume of the wort at 20 degC [L], above 0.

    Returns
    -------
    float
        Specific gravity 20/20 [SG].

    Raises
    ------
    OutOfRangeError
        For no volume, or for more extract than the range of gravity holds.
    """
    require_positive("volume", volume_l, "L")
    return gravity_from_extract_kg_per_l(extract_kg / volume_l)


def volume_at_gravity_l(extract_kg: float, gravity: float) -> float:
    """Volume to which a mass of extract must be diluted or boiled for a gravity.

    Parameters
    ----------
    extract_kg : float
        Extract [kg].
    gravity : float
        Specific gravity 20/20 to reach [SG], above 1 and up to 1.190.

    Returns
    -------
    float
        Volume at 20 degC [L].

    Raises
    ------
    OutOfRangeError
        For a gravity outside the range, or one of water.
    """
    per_litre = extract_kg_per_l(gravity)
    require_positive("extract", per_litre, "kg/L")
    return extract_kg / per_litre


def points_from_gravity(gravity: float) -> float:
    """Gravity points: 1.065 is 65 points.

    Parameters
    ----------
    gravity : float
        Specific gravity 20/20 [SG].

    Returns
    -------
    float
        Gravity points [points].
    """
    return 1000.0 * (gravity - 1.0)


def gravity_from_points(points: float) -> float:
    """Specific gravity from gravity points: 65 points is 1.065.

    Parameters
    ----------
    points : float
        Gravity points [points].

    Returns
    -------
    float
        Specific gravity 20/20 [SG].
    """
    return 1.0 + points / 1000.0


def _plato(x: float) -> float:
    return x * (_A + x * (_B + x * (_C + x * _D)))


def _plato_slope(x: float) -> float:
    return _A + x * (2.0 * _B + x * (3.0 * _C + x * 4.0 * _D))


# A gravity at the very end of its range must come back, rounding or not.
_SLACK = 1e-9
_LOWEST_PLATO = _plato(LOWEST_GRAVITY - 1.0) - _SLACK
_HIGHEST_PLATO = _plato(HIGHEST_GRAVITY - 1.0) + _SLACK
_LOWEST_KG_PER_L = extract_kg_per_l(LOWEST_GRAVITY) - _SLACK
_HIGHEST_KG_PER_L = extract_kg_per_l(HIGHEST_GRAVITY) + _SLACK
