import math
from dataclasses import replace

import pytest

from planning.kit import BARLEY_WINE, BITTER, crystal, hop, pale, pot_of
from wortwright.brewing.tables.styles import Range, style_by_id, styles
from wortwright.planning.audit import audit_recipe
from wortwright.planning.recipe import IncompleteRecipeError
from wortwright.records.recipe import Yeast


def codes(audit):
    return {contradiction.code: contradiction for contradiction in audit.contradictions}


def test_efficiency_implied_is_that_of_a_mass_balance():
    audit = audit_recipe(BITTER)
    by_hand = pot_of(1.050, 20.0).extract / (4.9 * 0.75)
    assert audit.implied_efficiency == pytest.approx(by_hand, abs=0.001)


def test_recipe_that_agrees_with_itself_has_no_contradiction():
    audit = audit_recipe(BITTER)
    assert audit.contradictions == ()
    agreeing = replace(
        BITTER,
        efficiency=audit.implied_efficiency,
        bitterness_ibu=audit.bitterness_ibu,
        colour_ebc=audit.colour_ebc,
    )
    assert audit_recipe(agreeing).contradictions == ()


def test_gravity_that_the_stated_efficiency_does_not_give_is_told_with_its_size():
    audit = audit_recipe(replace(BITTER, efficiency=0.60))
    gravity = codes(audit)["gravity"]
    # 0.60 of 4.9 kg at 0.75 kg/kg in 20 L: 110.25 g/L, 1.0425 by the sucrose tables.
    assert gravity.recomputed == pytest.approx(1.0425, abs=0.0003)
    assert gravity.by == pytest.approx(0.0075, abs=0.0003)
    assert codes(audit)["efficiency"].by == pytest.approx(0.60 - audit.implied_efficiency)


def test_more_than_all_of_the_extract_is_impossible():
    audit = audit_recipe(replace(BITTER, grist=(pale(3.2),)))
    assert codes(audit)["efficiency_impossible"].by > 0.0


def test_bitterness_is_counted_from_the_hop_bill():
    one = replace(BITTER, hop_bill=(hop(0.028, alpha=0.10),), bitterness_ibu=20.0)
    audit = audit_recipe(one)
    # Tinseth by hand: 23.5 L at 1.0425 boil to 20 L at 1.050.
    mean = (pot_of(1.050, 20.0).with_water(3.5).gravity + 1.050) / 2.0
    utilisation = 1.65 * 0.000125 ** (mean - 1.0) * (1.0 - math.exp(-2.4)) / 4.15
    assert audit.bitterness_ibu == pytest.approx(140.0 * utilisation, abs=0.05)
    assert codes(audit)["bitterness"].by == pytest.approx(20.0 - audit.bitterness_ibu)


def test_colour_is_counted_from_the_grist():
    # 4.5 kg at 3 degrees and 0.3 kg at 60 in 20 L: 13.14 MCU, 8.7 SRM by Morey.
    grist = (pale(4.5, colour_ebc=3 * 1.97), crystal(0.3))
    grist = (grist[0], replace(grist[1], colour_ebc=60 * 1.97))
    audit = audit_recipe(replace(BITTER, grist=grist, colour_ebc=40.0))
    assert audit.colour_ebc / 1.97 == pytest.approx(8.7, abs=0.05)
    assert codes(audit)["colour"].stated == 40.0


def test_final_gravity_that_the_yeast_does_not_leave_is_told():
    audit = audit_recipe(replace(BITTER, final_gravity=1.020, yeast=Yeast("Ale", 0.78)))
    assert codes(audit)["final_gravity"].by == pytest.approx(0.009, abs=1e-6)


def test_alcohol_is_that_of_the_gravities():
    # 1.050 to 1.012: 5.00 % by Balling with his attenuation quotient.
    assert audit_recipe(BITTER).alcohol_by_volume == pytest.approx(0.0500, abs=0.00015)


def test_style_is_checked_in_numbers():
    audit = audit_recipe(replace(BARLEY_WINE, style="17D", grist=(pale(10.0), crystal(1.0))))
    by_name = {check.name: check for check in audit.style.checks}
    assert audit.style.id == "17D"
    assert (by_name["original_gravity"].low, by_name["original_gravity"].high) == (1.080, 1.120)
    assert by_name["original_gravity"].outside_by == 0.0
    assert by_name["final_gravity"].outside_by == 0.0
    bitter = audit_recipe(replace(BARLEY_WINE, style="11A"))
    gravity = next(c for c in bitter.style.checks if c.name == "original_gravity")
    assert gravity.outside_by == pytest.approx(1.110 - 1.039)
    assert not bitter.style.inside


def test_unknown_style_is_said_and_no_style_is_no_check():
    odd = audit_recipe(replace(BITTER, style="99Z Odd ale"))
    assert odd.style is None
    assert "style_unknown" in [finding.code for finding in odd.findings]
    assert audit_recipe(BITTER).style is None


def test_range_up_to_forty_srm_is_open_above():
    stout = style_by_id("20C")
    assert stout.colour_ebc.high is None
    assert stout.colour_ebc.outside_by(60.0 * 1.97) == 0.0
    assert stout.colour_ebc.outside_by(20.0 * 1.97) < 0.0


@pytest.mark.parametrize(
    ("style_id", "gravity", "final", "alcohol", "ibu", "ebc"),
    # 2021 guidelines, from the table read for this project.
    [
        ("13A", (1.030, 1.038), (1.008, 1.013), (0.030, 0.038), (10, 25), (14.0, 25.0)),
        ("24A", (1.044, 1.052), (1.008, 1.012), (0.045, 0.055), (8, 20), (2.0, 4.0)),
        ("26D", (1.075, 1.110), (1.010, 1.024), (0.080, 0.120), (20, 35), (12.0, 22.0)),
    ],
)
def test_ranges_are_those_of_the_guidelines(style_id, gravity, final, alcohol, ibu, ebc):
    style = style_by_id(style_id)
    assert (style.original_gravity.low, style.original_gravity.high) == gravity
    assert (style.final_gravity.low, style.final_gravity.high) == final
    assert (style.alcohol_by_volume.low, style.alcohol_by_volume.high) == alcohol
    assert (style.bitterness_ibu.low, style.bitterness_ibu.high) == ibu
    assert style.colour_ebc.low == pytest.approx(ebc[0] * 1.97)
    assert style.colour_ebc.high == pytest.approx(ebc[1] * 1.97)


def test_styles_are_found_by_id_and_by_name():
    assert style_by_id("17d English Barley Wine") == style_by_id("English barley wine")
    assert style_by_id("  21A. American IPA").id == "21A"
    assert style_by_id("") is None
    assert len({style.id for style in styles()}) == len(styles()) == 42


def test_a_range_tells_how_far_outside():
    assert Range(1.0, 2.0).outside_by(2.5) == 0.5
    assert Range(1.0, 2.0).outside_by(0.5) == -0.5
    assert Range(None, None).outside_by(7.0) == 0.0


def test_recipe_without_malt_is_refused():
    with pytest.raises(IncompleteRecipeError):
        audit_recipe(replace(BITTER, grist=()))
