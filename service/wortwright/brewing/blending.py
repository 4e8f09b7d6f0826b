"""Several beers in one vessel: extract and alcohol by mass, the rest by volume.

No rule gives the pH of a blend from the pH of its parts, so none is given here. What one beer
left unfermented the yeast of another may take up: the final gravity is that of the moment of
blending.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import lsq_linear

from wortwright.brewing.alcohol import (
    ETHANOL_GRAVITY,
    alcohol_by_mass,
    apparent_attenuation,
    real_extract_plato,
)
from wortwright.brewing.errors import require_between, require_positive
from wortwright.brewing.gravity import (
    WATER_DENSITY_20_KG_PER_L,
    gravity_from_plato,
    plato_from_gravity,
)

NOTICED = {
    "original_gravity": 0.001,
    "final_gravity": 0.001,
    "alcohol_by_volume": 0.001,
    "bitterness_ibu": 1.0,
    "colour_ebc": 2.0,
}
"""A difference that counts as one miss, by which misses of unlike properties are weighed
against each other; an assumption of this project."""

_HOLD_TOTAL = 1e6
_EVEN_OUT = 1e-5


@dataclass(frozen=True, slots=True)
class Lot:
    """One beer that goes into a blend; all of it, or all there is of it."""

    volume_l: float
    original_gravity: float
    final_gravity: float
    bitterness_ibu: float = 0.0
    colour_ebc: float = 0.0


@dataclass(frozen=True, slots=True)
class Blend:
    """What the lots are together, at the moment of blending."""

    volume_l: float
    mass_kg: float
    original_gravity: float
    original_extract_plato: float
    final_gravity: float
    real_extract_plato: float
    alcohol_by_mass: float
    alcohol_by_volume: float
    apparent_attenuation: float
    real_attenuation: float
    bitterness_ibu: float
    colour_ebc: float


@dataclass(frozen=True, slots=True)
class WantedBlend:
    """Properties that a blend should have; None where anything will do."""

    original_gravity: float | None = None
    final_gravity: float | None = None
    alcohol_by_volume: float | None = None
    bitterness_ibu: float | None = None
    colour_ebc: float | None = None

    def named(self) -> dict[str, float]:
        """Give the properties that are wanted, by name."""
        pairs = ((name, getattr(self, name)) for name in NOTICED)
        return {name: value for name, value in pairs if value is not None}


@dataclass(frozen=True, slots=True)
class Miss:
    """A property that is not what was wanted: got less wanted is ``by``."""

    name: str
    wanted: float
    got: float

    @property
    def by(self) -> float:
        """How much too high the property is; negative where too low."""
        return self.got - self.wanted


@dataclass(frozen=True, slots=True)
class MixedVolumes:
    """How much of each lot, the blend it makes, and every property that is noticeably off."""

    volumes_l: tuple[float, ...]
    blend: Blend
    misses: tuple[Miss, ...]


def original_extract_plato(alcohol_by_mass: float, real_plato: float) -> float:
    """Extract of the wort that a beer was made from.

    Parameters
    ----------
    alcohol_by_mass : float
        Alcohol by mass [fraction], 0 to 0.2.
    real_plato : float
        Real extract of the beer [degP].

    Returns
    -------
    float
        Original extract [degP].

    Raises
    ------
    OutOfRangeError
        For an alcohol content outside its range.

    References
    ----------
    AOAC 935.20, *Extract of original wort*: 100 (2.0665 A + RE)/(100 + 1.0665 A), A in per cent.
    """
    require_between("alcohol by mass", alcohol_by_mass, 0.0, 0.2)
    percent = 100.0 * alcohol_by_mass
    return 100.0 * (2.0665 * percent + real_plato) / (100.0 + 1.0665 * percent)


def blend(lots: Sequence[Lot]) -> Blend:
    """Blend finished beers.

    Parameters
    ----------
    lots : sequence of Lot
        At least one with a volume; volumes at 20 degC [L], original gravity 1.000 to 1.190 and
        not below the final gravity.

    Returns
    -------
    Blend
        Real extract and alcohol are linear by mass, bitterness and colour by volume; original
        extract and both attenuations are worked out anew from them. Volumes are added, which
        is right to 0.01 % for beers.

    Raises
    ------
    OutOfRangeError
        Without beer, for a negative volume, or for gravities outside their range.

    References
    ----------
    Mass balance; AOAC 935.20 for the original extract. Colour by volume is the law of Beer and
    Lambert, an approximation.
    """
    for lot in lots:
        require_between("volume of a lot", lot.volume_l, 0.0, 1e9, "L")
    volume_l = sum(lot.volume_l for lot in lots)
    require_positive("volume of the blend", volume_l, "L")
    parts = [(lot.volume_l, _per_litre(lot)) for lot in lots]
    mass_kg = sum(litres * part.mass_kg for litres, part in parts)
    real_plato = 100.0 * sum(litres * part.real_extract_kg for litres, part in parts) / mass_kg
    alcohol = sum(litres * part.alcohol_kg for litres, part in parts) / mass_kg
    final = mass_kg / volume_l / WATER_DENSITY_20_KG_PER_L
    original_plato = original_extract_plato(alcohol, real_plato)
    original = gravity_from_plato(original_plato)
    return Blend(
        volume_l=volume_l,
        mass_kg=mass_kg,
        original_gravity=original,
        original_extract_plato=original_plato,
        final_gravity=final,
        real_extract_plato=real_plato,
        alcohol_by_mass=alcohol,
        alcohol_by_volume=alcohol * final / ETHANOL_GRAVITY,
        apparent_attenuation=apparent_attenuation(original, min(final, original)),
        real_attenuation=(original_plato - real_plato) / original_plato,
        bitterness_ibu=sum(lot.volume_l * lot.bitterness_ibu for lot in lots) / volume_l,
        colour_ebc=sum(lot.volume_l * lot.colour_ebc for lot in lots) / volume_l,
    )


def volumes_for(lots: Sequence[Lot], total_l: float, wanted: WantedBlend) -> MixedVolumes:
    """How much of each lot makes the blend that comes nearest to what is wanted.

    Every property is a straight line in the volumes when written as what it lacks of the
    target, the original extract too; so this is one bounded least-squares problem. Misses
    count by what is noticed. Where several blends are as good, the one that uses the lots
    most evenly is taken.

    Parameters
    ----------
    lots : sequence of Lot
        Their volumes are what there is of each [L].
    total_l : float
        Volume of the blend [L], above 0 and no more than there is in all.
    wanted : WantedBlend
        The properties wanted.

    Returns
    -------
    MixedVolumes
        Volumes within what there is, adding up to the total.

    Raises
    ------
    OutOfRangeError
        If there is not as much, or a lot is not a beer.
    """
    available = np.array([lot.volume_l for lot in lots])
    require_between("volume of the blend", total_l, 1e-9, float(available.sum()) * (1 + 1e-12), "L")
    rows = [
        _shortfall_per_l(lots, name, value) / NOTICED[name]
        for name, value in wanted.named().items()
    ]
    even = available / available.sum()
    matrix = np.vstack([*rows, _HOLD_TOTAL * np.ones(len(lots)), _EVEN_OUT * np.eye(len(lots))])
    goal = np.concatenate([np.zeros(len(rows)), [_HOLD_TOTAL], _EVEN_OUT * even])
    largest_shares = np.maximum(available / total_l, 1e-12)
    shares = lsq_linear(matrix, goal, bounds=(0.0, largest_shares), method="bvls", tol=1e-14).x
    volumes = tuple(float(volume) for volume in np.clip(shares * total_l, 0.0, available))
    made = blend(
        [
            Lot(v, lot.original_gravity, lot.final_gravity, lot.bitterness_ibu, lot.colour_ebc)
            for v, lot in zip(volumes, lots, strict=True)
        ]
    )
    return MixedVolumes(volumes, made, misses_of(made, wanted))


def misses_of(made: Blend, wanted: WantedBlend) -> tuple[Miss, ...]:
    """Every property of a blend that is noticeably not what was wanted.

    Parameters
    ----------
    made : Blend
        The blend.
    wanted : WantedBlend
        The properties wanted.

    Returns
    -------
    tuple of Miss
        In the order of ``NOTICED``; half a noticeable difference is let pass.
    """
    misses = (Miss(name, value, getattr(made, name)) for name, value in wanted.named().items())
    return tuple(miss for miss in misses if abs(miss.by) > NOTICED[miss.name] / 2.0)


@dataclass(frozen=True, slots=True)
class _PerLitre:
    mass_kg: float
    real_extract_kg: float
    alcohol_kg: float
    original_extract_kg: float
    original_wort_kg: float


def _per_litre(lot: Lot) -> _PerLitre:
    original = plato_from_gravity(lot.original_gravity)
    real = real_extract_plato(original, plato_from_gravity(lot.final_gravity))
    alcohol = alcohol_by_mass(original, real)
    mass_kg = lot.final_gravity * WATER_DENSITY_20_KG_PER_L
    # The carbon dioxide and the yeast that left: AOAC 935.20, 1.0665 g a gram of alcohol.
    wort_kg = mass_kg * (1.0 + 1.0665 * alcohol)
    return _PerLitre(
        mass_kg, mass_kg * real / 100.0, mass_kg * alcohol, wort_kg * original / 100.0, wort_kg
    )


def _shortfall_per_l(lots: Sequence[Lot], name: str, wanted: float) -> NDArray[np.float64]:
    """What a litre of each lot adds to the property above the target, in the property's unit."""
    if name == "original_gravity":
        return np.array([_original_shortfall(_per_litre(lot), wanted) for lot in lots])
    if name == "alcohol_by_volume":
        litre_of_alcohol_kg = ETHANOL_GRAVITY * WATER_DENSITY_20_KG_PER_L
        return np.array([_per_litre(lot).alcohol_kg / litre_of_alcohol_kg - wanted for lot in lots])
    return np.array([getattr(lot, name) - wanted for lot in lots])


def _original_shortfall(part: _PerLitre, wanted: float) -> float:
    """Original extract above the target, turned into gravity by the slope at the target."""
    step = 5e-4
    slope = (plato_from_gravity(wanted + step) - plato_from_gravity(wanted - step)) / (2.0 * step)
    plato = plato_from_gravity(wanted)
    excess_kg = part.original_extract_kg - part.original_wort_kg * plato / 100.0
    return 100.0 * excess_kg / (WATER_DENSITY_20_KG_PER_L * wanted * slope)
