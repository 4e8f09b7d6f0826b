from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws import tried
from wortwright.api.sentences import spoken
from wortwright.brewing.ions import CONTENTS, PURE_WATER, Water
from wortwright.brewing.salts import UnknownSaltError
from wortwright.brewing.water_targets import IonTarget
from wortwright.brewing.water_treatment import BrewingWater
from wortwright.planning.water.water_at_hand import Balance, WaterAtHand
from wortwright.planning.water.water_plan import sulfate_to_chloride, treat_water

# Balanced by hand: 60/20.039 + 10/12.153 + 25/22.99 = 4.904 meq/L of either sign.
SOURCE = Water(60.0, 10.0, 25.0, 0.0, 40.0, 70.0, 0.0, 2.318)
SALTS = ("gypsum", "calcium_chloride_dihydrate", "epsom_salt", "table_salt", "baking_soda")
VOLUMES = BrewingWater(15.0, 10.0)

waters = st.builds(Water, *(st.floats(0.0, 200.0) for _ in CONTENTS[:-1]), st.floats(0.0, 4.0))
targets = st.builds(
    IonTarget,
    calcium_mg_l=st.floats(0.0, 300.0),
    sulfate_mg_l=st.floats(0.0, 500.0),
    chloride_mg_l=st.floats(0.0, 300.0),
    alkalinity_meq_l=st.floats(0.0, 5.0),
)


def codes(found):
    return [each.code for each in found]


def wanting(**ions):
    return WaterAtHand(SOURCE, SALTS, ions=IonTarget(**ions))


def test_without_a_target_the_water_stays_as_it_is():
    made = treat_water(WaterAtHand(SOURCE, SALTS, PURE_WATER), VOLUMES)
    assert made.mash_water == SOURCE
    assert (made.source_l, made.dilution_l) == (25.0, 0.0)
    assert "stays as it is" in made.summary
    assert made.warnings == ()


@tried(60)
@given(waters, targets, st.booleans())
def test_every_treatment_weighs_nothing_negative_and_accounts_for_every_ion(source, ions, dilutes):
    at_hand = WaterAtHand(source, SALTS, PURE_WATER if dilutes else None, ions=ions)
    made = treat_water(at_hand, VOLUMES)
    assert 0.0 <= made.kept_share <= 1.0
    assert made.source_l + made.dilution_l == pytest.approx(25.0)
    for salt in made.salts:
        assert min(salt.exact_mash_g, salt.exact_sparge_g, salt.mash_g, salt.sparge_g) >= 0.0
    for line in made.account:
        parts = line.from_water + sum(amount for _, amount in line.by_salt)
        assert line.in_mash == pytest.approx(parts, abs=1e-9)


@tried(30)
@given(waters, targets, st.floats(0.2, 5.0))
def test_doses_scale_with_the_volume(source, ions, factor):
    at_hand = WaterAtHand(source, SALTS, PURE_WATER, ions=ions)
    larger = BrewingWater(factor * VOLUMES.mash_l, factor * VOLUMES.sparge_l)
    once, scaled = treat_water(at_hand, VOLUMES), treat_water(at_hand, larger)
    assert [salt.exact_mash_g for salt in scaled.salts] == pytest.approx(
        [factor * salt.exact_mash_g for salt in once.salts], abs=1e-9
    )


def test_a_target_that_is_missed_says_what_by():
    made = treat_water(wanting(calcium_mg_l=20.0), VOLUMES)
    (found,) = [each for each in made.warnings if each.code == "target_not_reached"]
    assert "calcium 60 where 20 mg/L is wanted" in found.detail
    assert "nearest" in spoken(made.summary)


def test_a_limit_passed_is_told_once_with_its_meaning():
    made = treat_water(WaterAtHand(replace(SOURCE, sodium_mg_l=210.0)), VOLUMES)
    assert codes(made.warnings).count("sodium_high") == 1
    assert codes(made.warnings).count("sodium_drinking") == 1
    told = next(each for each in made.warnings if each.code == "sodium_high")
    assert "Sodium in the mash water is 210 mg/L, above 150: tastes salty" in told.detail


@pytest.mark.parametrize(
    ("water", "well", "expected"),
    [
        (SOURCE, False, []),
        (SOURCE, True, ["private_well"]),
        (replace(SOURCE, nitrate_mg_l=60.0), False, ["private_well"]),
        (replace(SOURCE, sulfate_mg_l=600.0), False, ["laxative_water"]),
        (replace(SOURCE, magnesium_mg_l=130.0), False, ["laxative_water"]),
    ],
)
def test_water_that_harms_carries_its_caution(water, well, expected):
    made = treat_water(WaterAtHand(water, from_private_well=well), VOLUMES)
    assert codes(made.cautions) == expected


def test_a_balance_may_be_wanted_instead_of_ions():
    at_hand = WaterAtHand(SOURCE, SALTS, PURE_WATER, balance=Balance(0.5, 1.0))
    made = treat_water(at_hand, VOLUMES)
    assert made.reached
    assert sulfate_to_chloride(made.mash_water) == pytest.approx(0.5, rel=0.2)
    assert made.target_imbalance is None


def test_the_ratio_means_nothing_where_both_are_low():
    assert sulfate_to_chloride(Water(chloride_mg_l=10.0, sulfate_mg_l=20.0)) is None
    assert sulfate_to_chloride(Water(chloride_mg_l=50.0, sulfate_mg_l=100.0)) == 2.0
    assert sulfate_to_chloride(Water(sulfate_mg_l=100.0)) is None


def test_an_unknown_salt_is_an_error():
    with pytest.raises(UnknownSaltError):
        treat_water(replace(wanting(calcium_mg_l=90.0), salts=("CaF2",)), VOLUMES)
