import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.hop_storage import (
    Packing,
    alpha_after_storage,
    loss_rate_per_day,
    lost_share_from_index,
    substitute_mass_kg,
    temperature_factor,
)
from wortwright.brewing.hops import bitterness_ibu

packings = st.sampled_from(list(Packing))


@given(st.floats(0.0, 0.9))
def test_half_a_year_in_an_open_bag_at_20_degc_loses_what_was_said(lost):
    left = alpha_after_storage(0.10, loss_rate_per_day(lost), 180.0, 20.0, Packing.OPEN_BAG)
    assert left == pytest.approx(0.10 * (1.0 - lost))


@given(st.floats(-20.0, 20.0), st.floats(0.0, 400.0), st.floats(0.0, 400.0), packings)
def test_two_times_in_store_are_as_one(temperature_c, first, second, packing):
    once = alpha_after_storage(0.10, 0.002, first + second, temperature_c, packing)
    half = alpha_after_storage(0.10, 0.002, first, temperature_c, packing)
    assert alpha_after_storage(half, 0.002, second, temperature_c, packing) == pytest.approx(once)


@given(st.floats(-30.0, 25.0))
def test_fifteen_degrees_colder_halves_the_loss(temperature_c):
    ratio = temperature_factor(temperature_c) / temperature_factor(temperature_c + 15.0)
    assert ratio == pytest.approx(0.5)


def test_better_packing_keeps_more():
    left = [alpha_after_storage(0.10, 0.002, 365.0, 5.0, packing) for packing in Packing]
    assert left == sorted(left)
    assert len(set(left)) == 3


def test_fresh_hops_have_lost_nothing():
    assert lost_share_from_index(0.22) == 0.0


@given(st.floats(0.005, 0.1), st.floats(0.03, 0.2), st.floats(0.03, 0.2))
def test_a_substitute_gives_the_same_bitterness(mass_kg, alpha, other):
    substitute = substitute_mass_kg(mass_kg, alpha, other)
    expected = bitterness_ibu(mass_kg, alpha, 0.25, 20.0)
    assert bitterness_ibu(substitute, other, 0.25, 20.0) == pytest.approx(expected)


def test_a_hop_without_alpha_substitutes_nothing():
    with pytest.raises(OutOfRangeError):
        substitute_mass_kg(0.03, 0.05, 0.0)
