import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing import heat
from wortwright.brewing.errors import OutOfRangeError

masses = st.floats(0.5, 50.0)
rooms = st.floats(0.0, 30.0)


@given(st.floats(40.0, 78.0), masses, rooms, masses, st.floats(0.0, 3.0))
def test_heat_given_by_the_water_is_heat_taken_by_grain_and_vessel(
    mash_c, grain_kg, room_c, water_kg, vessel_heat_kg
):
    strike_c = heat.strike_temperature_c(
        mash_c, grain_kg, room_c, water_kg, vessel_heat_kg, vessel_c=room_c
    )
    before = (
        water_kg * strike_c + (heat.GRAIN_HEAT * grain_kg + vessel_heat_kg) * room_c
    )  # heat content over 0 degC, in kg of water times kelvin
    after = (water_kg + heat.GRAIN_HEAT * grain_kg + vessel_heat_kg) * mash_c
    assert before == pytest.approx(after, rel=1e-9)


@given(st.floats(40.0, 78.0), masses)
def test_without_grain_and_vessel_the_strike_is_the_mash_temperature(mash_c, water_kg):
    assert heat.strike_temperature_c(mash_c, 0.0, 20.0, water_kg) == mash_c


@given(st.floats(40.0, 70.0), st.floats(0.0, 8.0), masses, masses)
def test_an_infusion_conserves_heat(from_c, rise_c, grain_kg, water_kg):
    added = heat.infusion_kg(from_c, from_c + rise_c, grain_kg, water_kg, 98.0)
    mash = heat.GRAIN_HEAT * grain_kg + water_kg
    mixed_c = (mash * from_c + added * 98.0) / (mash + added)
    assert mixed_c == pytest.approx(from_c + rise_c, rel=1e-9)


@given(st.floats(50.0, 80.0), rooms, st.floats(0.0, 0.05), st.floats(0.0, 60.0))
def test_cooling_in_two_steps_is_cooling_in_one(start_c, room_c, rate, time_min):
    halfway = heat.cooled_temperature_c(start_c, room_c, rate, time_min / 2.0)
    assert heat.cooled_temperature_c(halfway, room_c, rate, time_min / 2.0) == pytest.approx(
        heat.cooled_temperature_c(start_c, room_c, rate, time_min), rel=1e-9
    )


@given(st.floats(50.0, 80.0), rooms, st.floats(0.0, 15.0), st.floats(1.0, 240.0))
def test_a_cooling_rate_reproduces_the_reading_it_came_from(start_c, room_c, drop_c, time_min):
    rate = heat.cooling_rate_per_min(start_c, start_c - drop_c, room_c, time_min)
    assert heat.cooled_temperature_c(start_c, room_c, rate, time_min) == pytest.approx(
        start_c - drop_c, rel=1e-9
    )


def test_nothing_dissolved_and_nothing_held_weighs_the_grain():
    assert heat.wet_bag_kg(6.0, 0.0, 0.0, 1.050) == 6.0


@given(masses, st.floats(0.0, 0.8), st.floats(0.0, 20.0), st.floats(0.1, 5.0))
def test_more_wort_held_weighs_more(grain_kg, extracted, held_l, more_l):
    assert heat.wet_bag_kg(grain_kg, extracted, held_l + more_l, 1.050) > heat.wet_bag_kg(
        grain_kg, extracted, held_l, 1.050
    )


@pytest.mark.parametrize(
    "refused",
    [
        lambda: heat.strike_temperature_c(67.0, 5.0, 20.0, 0.0),
        lambda: heat.strike_temperature_c(152.0, 5.0, 20.0, 15.0),
        lambda: heat.infusion_kg(67.0, 52.0, 5.0, 10.0, 98.0),
        lambda: heat.infusion_kg(52.0, 67.0, 5.0, 10.0, 60.0),
        lambda: heat.infusion_kg(52.0, 98.0, 5.0, 10.0, 98.0),
        lambda: heat.cooling_rate_per_min(67.0, 68.0, 20.0, 60.0),
        lambda: heat.cooling_rate_per_min(67.0, 19.0, 20.0, 60.0),
        lambda: heat.cooling_rate_per_min(67.0, 20.0, 20.0, 60.0),
        lambda: heat.cooling_rate_per_min(67.0, 66.0, 20.0, 0.0),
        lambda: heat.cooled_temperature_c(67.0, 20.0, -0.1, 60.0),
        lambda: heat.wet_bag_kg(6.0, 76.8, 6.0, 1.050),
    ],
)
def test_what_heat_cannot_do_is_refused(refused):
    with pytest.raises(OutOfRangeError):
        refused()
