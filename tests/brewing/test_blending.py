import dataclasses

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from wortwright.brewing.alcohol import alcohol_by_volume
from wortwright.brewing.blending import (
    Blend,
    Lot,
    WantedBlend,
    blend,
    misses_of,
    volumes_for,
)
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.gravity import gravity_from_plato, plato_from_gravity

STRONG = Lot(10.0, 1.060, 1.012, 40.0, 20.0)
SMALL = Lot(15.0, 1.040, 1.008, 20.0, 8.0)


@st.composite
def lots(draw, least=1, most=4):
    def one():
        original = draw(st.floats(1.020, 1.110))
        attenuation = draw(st.floats(0.5, 0.95))
        return Lot(
            draw(st.floats(0.5, 40.0)),
            original,
            original - attenuation * (original - 1.0),
            draw(st.floats(0.0, 90.0)),
            draw(st.floats(2.0, 120.0)),
        )

    return [one() for _ in range(draw(st.integers(least, most)))]


def test_handbook_blend_has_the_original_extract_of_its_mass_balance():
    # 10 L of 14.741 -> 3.068 degP with 15 L of 9.994 -> 2.052 degP make 11.917 degP, where the
    # mean by volume is 11.893: Balling's balance worked by hand.
    first = Lot(10.0, gravity_from_plato(14.741), gravity_from_plato(3.068), 40.0, 20.0)
    second = Lot(15.0, gravity_from_plato(9.994), gravity_from_plato(2.052), 20.0, 8.0)
    made = blend([first, second])
    assert made.original_extract_plato == pytest.approx(11.917, abs=5e-4)
    assert made.bitterness_ibu == pytest.approx(28.0, abs=1e-9)
    assert made.colour_ebc == pytest.approx(12.8, abs=1e-9)
    assert made.real_attenuation == pytest.approx(0.6504, abs=0.012)


def test_handbook_blend_by_gravities():
    # As above from SG; 0.010 degP is what two published conversions differ by at both gravities.
    made = blend([STRONG, SMALL])
    assert made.original_extract_plato == pytest.approx(11.917, abs=0.0105)
    assert made.original_gravity == pytest.approx(1.0480, abs=5e-5)
    assert made.final_gravity == pytest.approx(1.0096, abs=5e-5)
    assert made.mass_kg == pytest.approx(25.1946, abs=0.002)
    assert made.alcohol_by_volume == pytest.approx(0.05103, abs=0.0008)
    by_volume = (10.0 * plato_from_gravity(1.060) + 15.0 * plato_from_gravity(1.040)) / 25.0
    assert made.original_extract_plato - by_volume > 0.02


def test_a_blend_has_no_ph():
    assert not [field.name for field in dataclasses.fields(Blend) if "ph" in field.name.split("_")]


@given(lots())
def test_extract_alcohol_and_mass_are_conserved(parts):
    made = blend(parts)
    alone = [blend([part]) for part in parts]
    assert made.volume_l == pytest.approx(sum(part.volume_l for part in parts))
    assert made.mass_kg == pytest.approx(sum(one.mass_kg for one in alone))
    for name in ("real_extract_plato", "alcohol_by_mass"):
        total = sum(one.mass_kg * getattr(one, name) for one in alone)
        assert made.mass_kg * getattr(made, name) == pytest.approx(total, rel=1e-9)


@given(lots(1, 1))
def test_a_lot_alone_stays_what_it_is(parts):
    (lot,) = parts
    made = blend(parts)
    assert made.original_gravity == pytest.approx(lot.original_gravity, abs=1e-9)
    assert made.final_gravity == pytest.approx(lot.final_gravity, abs=1e-9)
    assert made.alcohol_by_volume == pytest.approx(
        alcohol_by_volume(lot.original_gravity, lot.final_gravity), rel=1e-9
    )


@given(lots(3, 3))
def test_blending_in_two_steps_is_blending_at_once(parts):
    first = blend(parts[:2])
    halfway = Lot(
        first.volume_l,
        first.original_gravity,
        first.final_gravity,
        first.bitterness_ibu,
        first.colour_ebc,
    )
    at_once, stepwise = blend(parts), blend([halfway, parts[2]])
    assert stepwise.original_gravity == pytest.approx(at_once.original_gravity, abs=2e-5)
    assert stepwise.final_gravity == pytest.approx(at_once.final_gravity, abs=1e-9)
    assert stepwise.bitterness_ibu == pytest.approx(at_once.bitterness_ibu)
    assert stepwise.alcohol_by_volume == pytest.approx(at_once.alcohol_by_volume, abs=2e-4)


@given(lots(2, 4))
def test_every_property_of_a_blend_lies_between_those_of_its_lots(parts):
    made = blend(parts)
    for name in ("original_gravity", "final_gravity", "bitterness_ibu", "colour_ebc"):
        values = [getattr(part, name) for part in parts]
        assert min(values) - 1e-9 <= getattr(made, name) <= max(values) + 1e-9


@given(lots(2, 4), st.floats(0.1, 1.0), st.data())
def test_volumes_found_make_a_blend_that_was_known_to_exist(parts, share, data):
    taken = [part.volume_l * share * data.draw(st.floats(0.05, 1.0)) for part in parts]
    there = blend([dataclasses.replace(p, volume_l=v) for p, v in zip(parts, taken, strict=True)])
    wanted = WantedBlend(
        original_gravity=there.original_gravity, bitterness_ibu=there.bitterness_ibu
    )
    found = volumes_for(parts, sum(taken), wanted)
    assert found.blend.original_gravity == pytest.approx(there.original_gravity, abs=2e-5)
    assert found.blend.bitterness_ibu == pytest.approx(there.bitterness_ibu, abs=0.02)
    assert found.misses == ()


@given(lots(1, 4), st.floats(0.05, 1.0), st.floats(1.030, 1.090), st.floats(5.0, 60.0))
def test_volumes_stay_within_what_there_is_and_add_up(parts, share, gravity, bitterness):
    total = share * sum(part.volume_l for part in parts)
    found = volumes_for(parts, total, WantedBlend(gravity, bitterness_ibu=bitterness))
    assert sum(found.volumes_l) == pytest.approx(total, rel=1e-7)
    for volume, part in zip(found.volumes_l, parts, strict=True):
        assert -1e-12 <= volume <= part.volume_l * (1 + 1e-12)


def test_two_lots_are_solved_as_the_lever_rule_solves_them():
    # 30 IBU from 40 and 20 is half and half.
    found = volumes_for([STRONG, SMALL], 12.0, WantedBlend(bitterness_ibu=30.0))
    assert found.volumes_l == pytest.approx((6.0, 6.0), abs=1e-4)


def test_a_target_outside_the_lots_is_answered_with_the_nearest_and_its_miss():
    found = volumes_for([STRONG, SMALL], 8.0, WantedBlend(original_gravity=1.070))
    assert found.volumes_l == pytest.approx((8.0, 0.0), abs=1e-6)
    (miss,) = found.misses
    assert (miss.name, miss.wanted) == ("original_gravity", 1.070)
    assert miss.by == pytest.approx(-0.010, abs=1e-6)


@given(lots(2, 2), st.floats(1.030, 1.090), st.floats(5.0, 80.0))
def test_no_blend_of_two_lots_comes_nearer(parts, gravity, bitterness):
    total = min(part.volume_l for part in parts)
    wanted = WantedBlend(original_gravity=gravity, bitterness_ibu=bitterness)

    def distance(made):
        return np.hypot((made.original_gravity - gravity) / 0.001, made.bitterness_ibu - bitterness)

    best = distance(volumes_for(parts, total, wanted).blend)
    for first in np.linspace(0.0, total, 41):
        other = [
            dataclasses.replace(parts[0], volume_l=float(first)),
            dataclasses.replace(parts[1], volume_l=float(total - first)),
        ]
        assert best <= distance(blend(other)) * 1.01 + 0.02


def test_what_is_near_enough_is_no_miss():
    made = blend([STRONG, SMALL])
    assert misses_of(made, WantedBlend(bitterness_ibu=28.3)) == ()
    assert [m.name for m in misses_of(made, WantedBlend(bitterness_ibu=30.0))] == ["bitterness_ibu"]


def test_more_than_there_is_and_no_beer_are_refused():
    with pytest.raises(OutOfRangeError):
        volumes_for([STRONG, SMALL], 30.0, WantedBlend(original_gravity=1.050))
    with pytest.raises(OutOfRangeError):
        blend([])
    with pytest.raises(OutOfRangeError):
        blend([dataclasses.replace(STRONG, volume_l=-1.0)])


@given(lots(2, 2))
def test_water_in_a_blend_leaves_alcohol_where_it_was(parts):
    assume(parts[1].volume_l < 3.0 * parts[0].volume_l)
    water = Lot(parts[1].volume_l, 1.0, 1.0)
    thinned = blend([parts[0], water])
    alone = blend([parts[0]])
    assert thinned.alcohol_by_mass * thinned.mass_kg == pytest.approx(
        alone.alcohol_by_mass * alone.mass_kg
    )
    assert thinned.apparent_attenuation == pytest.approx(alone.apparent_attenuation, abs=0.03)
