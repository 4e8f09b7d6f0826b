from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.tables.yeast import YeastKind, attenuation_classes
from wortwright.brewing.yeast import (
    RISK_SENTENCE,
    PitchRisk,
    cells_wanted,
    dry_packets,
    liquid_viable_share,
    pitch_rate_million_per_ml_plato,
    pitch_risk,
)


@pytest.mark.parametrize(
    ("kind", "gravity", "rate"),
    [
        ("ale", 1.048, 0.75),
        ("ale", 1.070, 1.0),
        ("ale", 1.100, 1.25),
        ("hybrid", 1.050, 1.0),
        ("lager", 1.048, 1.5),
        ("lager", 1.070, 2.0),
    ],
)
def test_rates_in_common_use(kind, gravity, rate):
    assert pitch_rate_million_per_ml_plato(YeastKind(kind), gravity) == rate


@given(st.floats(1.005, 1.17), st.floats(0.0, 0.02), st.sampled_from(list(YeastKind)))
def test_a_stronger_wort_never_wants_fewer_cells(gravity, more, kind):
    weak, strong = (
        cells_wanted(20.0, each, pitch_rate_million_per_ml_plato(kind, each))
        for each in (gravity, gravity + more)
    )
    assert strong >= weak


@given(st.floats(1.0, 100.0), st.floats(0.1, 10.0))
def test_cells_scale_with_volume(volume_l, factor):
    one, other = (cells_wanted(each, 1.050, 0.75) for each in (volume_l, factor * volume_l))
    assert other == pytest.approx(factor * one)


@given(st.floats(1e10, 2e12), st.floats(2.0, 20.0))
def test_the_last_choice_of_packets_is_the_first_that_is_enough(wanted, packet_g):
    choices = dry_packets(wanted, packet_g)
    assert [choice.packets for choice in choices] == list(range(1, len(choices) + 1))
    assert choices[-1].share_of_wanted >= 1.0 - 1e-8
    assert all(choice.share_of_wanted < 1.0 for choice in choices[:-1])
    held = choices[-1].packets * packet_g * 1e10
    assert choices[-1].share_of_wanted == pytest.approx(held / wanted)


def test_one_packet_of_two_is_called_too_few():
    half, whole = dry_packets(2.2e11, 11.0)
    assert (half.risk, whole.risk) == (PitchRisk.TOO_FEW, PitchRisk.ENOUGH)


@given(st.floats(0.0, 5.0), st.floats(0.0, 5.0))
def test_the_risk_never_worsens_with_more_cells_up_to_enough(share, more):
    order = [PitchRisk.FAR_TOO_FEW, PitchRisk.TOO_FEW, PitchRisk.ENOUGH, PitchRisk.TOO_MANY]
    assert order.index(pitch_risk(share)) <= order.index(pitch_risk(share + more))


def test_every_risk_has_its_own_sentence():
    assert set(RISK_SENTENCE) == set(PitchRisk)
    assert len(set(RISK_SENTENCE.values())) == len(PitchRisk)


@pytest.mark.parametrize("days", [-1.0, 121.0, 400.0])
def test_a_pack_past_telling_is_refused(days):
    with pytest.raises(OutOfRangeError):
        liquid_viable_share(days)


def test_classes_of_attenuation_rise_without_a_gap_of_more_than_a_point():
    rows = attenuation_classes()
    for lower, upper in pairwise(rows):
        assert 0.0 <= upper.least_attenuation - lower.most_attenuation <= 0.0101
