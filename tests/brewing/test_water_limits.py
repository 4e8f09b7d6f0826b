import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.brewing.ions import CONTENTS, Water
from wortwright.brewing.tables.ion_limits import ion_limits
from wortwright.brewing.water_limits import limits_passed


def codes(**contents):
    return [limit.code for limit in limits_passed(Water(**contents))]


def test_a_moderate_water_passes_nothing():
    assert codes(calcium_mg_l=80.0, magnesium_mg_l=10.0, sulfate_mg_l=150.0) == []


@pytest.mark.parametrize(
    ("contents", "code"),
    [
        ({"calcium_mg_l": 20.0}, "calcium_low"),
        ({"calcium_mg_l": 80.0, "magnesium_mg_l": 130.0}, "magnesium_laxative"),
        ({"calcium_mg_l": 80.0, "nitrate_mg_l": 60.0}, "nitrate_drinking"),
        ({"calcium_mg_l": 80.0, "sodium_mg_l": 210.0}, "sodium_drinking"),
    ],
)
def test_a_passed_range_is_named(contents, code):
    assert code in codes(**contents)


@pytest.mark.parametrize("limit", ion_limits(), ids=lambda limit: limit.code)
def test_a_limit_is_of_a_content_and_has_a_source(limit):
    assert limit.content in CONTENTS
    assert limit.source


@given(st.floats(0.0, 600.0), st.floats(0.0, 600.0))
def test_more_sulfate_never_passes_fewer_limits(sulfate, more):
    assert set(codes(sulfate_mg_l=sulfate)) <= set(codes(sulfate_mg_l=sulfate + more))
