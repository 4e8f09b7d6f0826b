"""Density of sucrose solutions, written apart from the code under test.

ICUMSA SPS-4 (PTB data) as printed in Bubnik, Kadlec, Urban & Bruhns, *Sugar Technologists Manual*,
Bartens 1995, p. 164. One term per line of the printed table: (power of w, power of T, coefficient).
"""

TERMS = [
    (1, 0, 385.1761),
    (2, 0, 135.3705),
    (3, 0, 40.9299),
    (4, 0, -3.9643),
    (5, 0, 13.4853),
    (6, 0, -17.2890),
    (1, 1, -46.2720),
    (2, 1, -7.1720),
    (3, 1, 1.1597),
    (4, 1, 5.1126),
    (5, 1, 17.5254),
    (1, 2, 59.7712),
    (2, 2, 7.2491),
    (3, 2, 12.3630),
    (4, 2, -35.4791),
    (1, 3, -47.2207),
    (2, 3, -21.6977),
    (3, 3, 27.6301),
    (1, 4, 18.3184),
    (2, 4, 12.3081),
]
WATER = [999.83952, 16.952577, -7.9905127e-3, -46.241757e-6, 105.84601e-9, -281.03006e-12]


def density_kg_per_m3(mass_percent: float, temperature_c: float) -> float:
    w, warm = mass_percent / 100.0, (temperature_c - 20.0) / 100.0
    water = sum(c * temperature_c**k for k, c in enumerate(WATER))
    water /= 1.0 + 16.887236e-3 * temperature_c
    return water + sum(c * w**i * warm**j for i, j, c in TERMS)


def gravity_20(mass_percent: float) -> float:
    return density_kg_per_m3(mass_percent, 20.0) / density_kg_per_m3(0.0, 20.0)


def mass_percent_of_gravity_20(gravity: float) -> float:
    low, high = -10.0, 50.0
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if gravity_20(middle) < gravity else (low, middle)
    return low
