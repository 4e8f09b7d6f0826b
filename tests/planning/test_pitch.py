from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.starter import StarterMethod
from wortwright.brewing.tables.yeast import YeastKind
from wortwright.brewing.yeast import PitchRisk
from wortwright.planning.cellar.pitch import (
    Cake,
    DryYeast,
    LiquidYeast,
    Slurry,
    YeastAtHand,
    plan_pitch,
)

ALE = YeastAtHand(YeastKind.ALE, 19.0)
VOLUMES, GRAVITIES = st.floats(1.0, 500.0), st.floats(1.02, 1.15)


def codes(found):
    return {each.code for each in found}


@given(VOLUMES, GRAVITIES, st.sampled_from(YeastKind), st.floats(0.0, 35.0))
def test_cells_wanted_grow_in_proportion_to_the_volume(volume_l, gravity, kind, temperature_c):
    yeast = YeastAtHand(kind, temperature_c)
    one, two = (plan_pitch(part * volume_l, gravity, yeast) for part in (1.0, 2.0))
    assert two.cells_wanted == pytest.approx(2.0 * one.cells_wanted)


# A thousand packets are the most that is answered; 200 L of the strongest wort stay below it.
@given(st.floats(1.0, 200.0), GRAVITIES, st.floats(2.0, 30.0))
def test_as_many_packets_as_are_advised_are_enough_and_one_fewer_is_not(
    volume_l, gravity, packet_g
):
    made = plan_pitch(volume_l, gravity, replace(ALE, dry=DryYeast(packet_g)))
    shares = [choice.share_of_wanted for choice in made.packet_choices]
    assert shares == sorted(shares)
    assert shares[-1] >= 1.0 - 1e-6
    assert all(share < 1.0 for share in shares[:-1])
    assert made.pitched.packets == len(shares)


@given(VOLUMES, GRAVITIES, st.floats(0.0, 28.0))
def test_slurry_without_a_volume_is_exactly_enough_and_needs_no_starter(
    volume_l, gravity, age_days
):
    yeast = replace(ALE, slurry=Slurry(age_days), starter=StarterMethod.STIRRED)
    made = plan_pitch(volume_l, gravity, yeast)
    assert made.pitched.share_of_wanted == pytest.approx(1.0)
    assert made.starter == ()


def test_half_the_slurry_is_half_the_cells():
    enough = plan_pitch(20.0, 1.050, replace(ALE, slurry=Slurry(7.0))).pitched
    half = Slurry(7.0, volume_ml=enough.slurry_ml / 2.0)
    made = plan_pitch(20.0, 1.050, replace(ALE, slurry=half))
    assert made.pitched.share_of_wanted == pytest.approx(0.5)
    assert made.pitched.risk is PitchRisk.TOO_FEW
    assert PitchRisk.TOO_FEW in codes(made.warnings)


@given(st.floats(5.0, 40.0), st.floats(1.03, 1.09), st.floats(0.0, 100.0))
def test_a_starter_ends_with_the_cells_wanted(volume_l, gravity, age_days):
    yeast = replace(ALE, liquid=LiquidYeast(age_days), starter=StarterMethod.STIRRED)
    made = plan_pitch(volume_l, gravity, yeast)
    if made.starter:
        assert made.starter[-1].cells_after == pytest.approx(made.cells_wanted)
        assert made.starter[0].cells_before == pytest.approx(made.pitched.viable_cells)
    else:
        assert made.pitched.share_of_wanted > 0.999


def test_a_large_starter_is_decanted():
    yeast = replace(ALE, liquid=LiquidYeast(60.0), starter=StarterMethod.STILL)
    assert "decant_starter" in codes(plan_pitch(20.0, 1.070, yeast).warnings)


def test_a_cake_too_small_is_pitched_whole():
    small = Cake(0.0, fermented_l=2.0, original_gravity=1.040, final_gravity=1.010)
    made = plan_pitch(40.0, 1.080, replace(ALE, cake=small))
    assert made.pitched.cake_share == 1.0
    assert made.pitched.share_of_wanted < 1.0


@pytest.mark.parametrize(
    ("kind", "temperature_c", "counted_as"),
    [
        (YeastKind.ALE, 16.0, YeastKind.ALE),
        (YeastKind.ALE, 15.9, YeastKind.HYBRID),
        (YeastKind.LAGER, 15.0, YeastKind.LAGER),
        (YeastKind.LAGER, 15.1, YeastKind.HYBRID),
        (YeastKind.HYBRID, 12.0, YeastKind.HYBRID),
    ],
)
def test_temperature_decides_how_a_yeast_is_counted(kind, temperature_c, counted_as):
    assert plan_pitch(20.0, 1.050, YeastAtHand(kind, temperature_c)).counted_as is counted_as


def test_dry_yeast_needs_no_oxygen_at_its_first_pitch():
    dry, wet = (
        plan_pitch(20.0, 1.060, yeast)
        for yeast in (replace(ALE, dry=DryYeast()), replace(ALE, liquid=LiquidYeast(10.0)))
    )
    assert dry.oxygen.wanted_mg_l == 0.0
    assert wet.oxygen.wanted_mg_l > 8.0
