"""Beer as a mixture of water, alcohol and extract: a balance with densities that are measured.

Balling's balance: 2.0665 g of extract give 1 g of alcohol, 0.9565 g of carbon dioxide and 0.11 g
of yeast. Tabarie's relation gives the density of beer from those of its alcohol and its extract in
water, each at the concentration by volume that it has in the beer. Alcohol in water: OIML R 22,
table of coefficients of the density formula at 20 degC (Council Directive 76/766/EEC, annex);
extract in water: ICUMSA SPS-4.
"""

from dataclasses import dataclass

from published.extract_tables import solve
from published.icumsa import density_kg_per_m3, gravity_20, mass_percent_of_gravity_20

OIML_R22_AT_20_C = [
    998.20123,
    -192.9769495,
    389.1238958,
    -1668.103923,
    13522.15441,
    -88292.78388,
    306287.4042,
    -613838.1234,
    747017.2998,
    -547846.1354,
    223446.0334,
    -39032.85426,
]
WATER_20 = density_kg_per_m3(0.0, 20.0)
ETHANOL_20 = 789.24


@dataclass(frozen=True)
class Composition:
    """Percent by mass of alcohol and of extract."""

    alcohol: float
    extract: float


def alcohol_in_water_kg_per_m3(mass_percent: float) -> float:
    return sum(a * (mass_percent / 100.0) ** k for k, a in enumerate(OIML_R22_AT_20_C))


def ferment(original_plato: float, alcohol_g_per_100_g_wort: float) -> Composition:
    """Walk Balling's balance forward from 100 g of wort."""
    made = alcohol_g_per_100_g_wort
    left_g = 100.0 - made * (0.9565 + 0.11)
    return Composition(100.0 * made / left_g, 100.0 * (original_plato - 2.0665 * made) / left_g)


def gravity_of(beer: Composition) -> float:
    """Tabarie's relation, solved for the density it itself needs."""

    def too_light_by(gravity: float) -> float:
        kg_per_m3 = gravity * WATER_20
        alcohol, extract = beer.alcohol * kg_per_m3, beer.extract * kg_per_m3
        in_water = solve(lambda p: p * alcohol_in_water_kg_per_m3(p), alcohol, 0.0, 40.0)
        sugar = solve(lambda p: p * density_kg_per_m3(p, 20.0), extract, 0.0, 60.0)
        light = alcohol_in_water_kg_per_m3(in_water) / WATER_20
        return gravity - (light + gravity_20(sugar) - 1.0)

    return solve(too_light_by, 0.0, 0.95, 1.2)


def alcohol_by_volume_percent(beer: Composition, gravity: float) -> float:
    return beer.alcohol * gravity * WATER_20 / ETHANOL_20


def beer_of(original_gravity: float, final_gravity: float) -> Composition:
    """The beer that has fermented from one gravity to the other."""
    original = mass_percent_of_gravity_20(original_gravity)
    made = solve(
        lambda grams: gravity_of(ferment(original, grams)), final_gravity, 0.0, original / 2.07
    )
    return ferment(original, made)


def original_plato_of(beer: Composition) -> float:
    """Put back what left: find the wort that gives this beer."""
    made_per_g_beer = beer.alcohol / 100.0
    wort_g = 1.0 + made_per_g_beer * (0.9565 + 0.11)
    return 100.0 * (beer.extract / 100.0 + 2.0665 * made_per_g_beer) / wort_g
