import pytest

from published.cases import cases
from wortwright.brewing import colour


def in_scale(ebc, scale):
    return {"EBC": ebc, "SRM": colour.srm_from_ebc(ebc)}[scale]


@pytest.mark.parametrize("case", cases("beer_colour"))
def test_colour_of_beer_after_morey(case):
    ebc = colour.beer_colour_ebc(case.inputs["malt_colour_units"])
    assert in_scale(ebc, case.inputs["scale"]) == case.expected


@pytest.mark.parametrize("case", cases("ebc_from_lovibond"))
def test_ebc_from_lovibond(case):
    assert colour.ebc_from_lovibond(**case.inputs) == case.expected


@pytest.mark.parametrize("case", cases("grist_colour"))
def test_colour_of_a_grist(case):
    of = case.inputs
    colours = map(colour.ebc_from_srm, of["colours_srm"])
    mcu = colour.malt_colour_units(of["masses_kg"], colours, of["volume_l"])
    scale = of["scale"]
    found = mcu if scale == "MCU" else in_scale(colour.beer_colour_ebc(mcu), scale)
    assert found == case.expected
