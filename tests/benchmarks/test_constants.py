"""A reduced run of the benchmark of the constants, tests/benchmarks/constants.py.

Fixed seeds: the figures are the same in every run, and the bounds leave room for 100 setups,
whose coverage scatters by 4 points.
"""

import pytest

from benchmarks.constants import run

SETUPS = 100
COUNTS = (0, 3, 10)
BESIDE_THE_CURVE = (
    "boil_off_l_per_h",
    "kettle_loss_l",
    "fermenter_loss_l",
    "mash_in_offset_c",
    "mash_heat_loss_c_per_h",
    "attenuation_offset",
    "attenuation_per_c",
)
CONSTANTS = (
    "conversion",
    "conversion_loss_per_kg_per_l",
    "true_absorption_l_per_kg",
    "dead_space_l",
    "vessel_heat_kg",
    *BESIDE_THE_CURVE,
)


@pytest.fixture(scope="module")
def clean():
    return run(SETUPS, COUNTS)


@pytest.fixture(scope="module")
def blunders():
    return run(SETUPS, COUNTS, blunders=True)


@pytest.mark.parametrize("count", COUNTS)
@pytest.mark.parametrize("name", CONSTANTS)
def test_the_80_percent_interval_of_every_constant_holds_about_80_percent(clean, name, count):
    assert 0.66 <= clean.coverage(name, count) <= 0.97


@pytest.mark.parametrize("name", BESIDE_THE_CURVE)
def test_every_constant_comes_nearer_with_every_session(clean, name):
    few, many = clean.error(name, 3)[1], clean.error(name, 10)[1]
    assert many < few < 1.05
    assert many < 0.95


@pytest.mark.parametrize("name", ["fermenter_loss_l", "mash_in_offset_c", "mash_heat_loss_c_per_h"])
def test_ten_sessions_halve_what_a_brewer_reads_directly(clean, name):
    assert clean.error(name, 10)[1] <= 0.5


@pytest.mark.parametrize(
    ("name", "most"),
    [
        ("final gravity", 1.6),
        ("mash temperature", 1.3),
        ("end of the rest", 1.4),
        ("volume packaged", 1.5),
    ],
)
def test_after_ten_sessions_plans_err_little_more_than_knowing_the_setup(
    clean, blunders, name, most
):
    assert clean.ratio(name, 10)[0] <= most < clean.ratio(name, 0)[0]
    assert blunders.ratio(name, 10)[0] <= 1.15 * most


@pytest.mark.parametrize("count", COUNTS)
def test_the_interval_of_a_final_gravity_is_honest(clean, blunders, count):
    assert 0.70 <= clean.coverage("final gravity", count) <= 0.90
    assert 0.66 <= blunders.coverage("final gravity", count) <= 0.90
