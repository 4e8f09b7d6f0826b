import pytest

from published.cases import cases
from wortwright.brewing import alcohol


@pytest.mark.parametrize("case", cases("alcohol_by_mass"))
def test_alcohol_by_mass(case):
    assert 100.0 * alcohol.alcohol_by_mass(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("balling_factor"))
def test_printed_factors_of_apparent_alcohol(case):
    original = case.inputs["original_plato"]
    by_mass = alcohol.alcohol_by_mass(original, alcohol.real_extract_plato(original, 0.0))
    assert 100.0 * by_mass / original == case.expected


@pytest.mark.parametrize("case", cases("alcohol_by_volume_percent"))
def test_alcohol_by_volume(case):
    assert 100.0 * alcohol.alcohol_by_volume(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("apparent_attenuation_percent"))
def test_apparent_attenuation(case):
    assert 100.0 * alcohol.apparent_attenuation(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("apparent_attenuation_of_extract_percent"))
def test_apparent_attenuation_of_extract(case):
    assert 100.0 * alcohol.apparent_attenuation_of_extract(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("real_attenuation_percent"))
def test_real_attenuation(case):
    assert 100.0 * alcohol.real_attenuation(**case.inputs) == case.expected
