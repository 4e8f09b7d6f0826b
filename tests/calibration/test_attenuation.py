import pytest
from hypothesis import given
from hypothesis import strategies as st

from calibration.invented import malt
from wortwright.calibration.attenuation import (
    AttenuationPosterior,
    Ferment,
    KnownYeast,
    expected_attenuation,
    main_rest_c,
    sugar_share,
)
from wortwright.records.grist import AddedTo, Fermentable, Kind, Role
from wortwright.records.recipe import MashStep, Yeast

NOTHING = AttenuationPosterior()
ALE = Yeast("Invented ale", 0.78)


def sugar(mass_kg, added_to=AddedTo.KETTLE):
    return Fermentable("sugar", Kind.SUGAR, 1.0, 0.0, 0.0, added_to, Role.BASE, mass_kg)


def test_without_anything_learnt_it_is_what_the_maker_states():
    found = expected_attenuation(NOTHING, Ferment(1.048, 67.0, 0.0, ALE))
    assert found.mean == pytest.approx(0.78)
    assert expected_attenuation(NOTHING, Ferment(1.048)).mean == pytest.approx(0.75)


def test_a_yeast_of_which_nothing_is_stated_is_less_sure():
    stated = expected_attenuation(NOTHING, Ferment(1.048, 67.0, 0.0, ALE))
    unstated = expected_attenuation(NOTHING, Ferment(1.048, 67.0, 0.0, Yeast("Other")))
    assert unstated.sd > stated.sd


@given(st.floats(60.0, 74.0), st.floats(0.0, 3.0))
def test_a_warmer_mash_never_ferments_further(mash_c, warmer_c):
    cool = expected_attenuation(NOTHING, Ferment(1.048, mash_c, 0.0, ALE)).mean
    assert expected_attenuation(NOTHING, Ferment(1.048, mash_c + warmer_c, 0.0, ALE)).mean <= cool


@given(st.floats(0.0, 0.5))
def test_sugar_ferments_below_water(share):
    # Common practice: AA = AA_malt + s (1.22 - AA_malt).
    found = expected_attenuation(NOTHING, Ferment(1.048, 67.0, share, ALE)).mean
    assert found == pytest.approx(0.78 + share * (1.22 - 0.78))


@given(st.floats(1.002, 1.190))
def test_every_gravity_of_the_scale_has_a_forecast(gravity):
    found = expected_attenuation(NOTHING, Ferment(gravity, 67.0, 0.0, ALE))
    assert 0.7 < found.mean <= 0.78 + 1e-9
    assert 0.0 < found.sd < 0.1


@given(st.floats(0.5, 0.95))
def test_a_recipe_that_tells_its_gravities_is_taken_at_its_word_at_first(says):
    ferment = Ferment(1.048, 64.0, 0.1, ALE)
    assert expected_attenuation(NOTHING, ferment, says).mean == pytest.approx(says)


@given(st.floats(0.0, 0.025), st.floats(0.5, 0.95))
def test_the_better_the_yeast_is_known_the_less_the_recipe_counts(sd, says):
    learnt = AttenuationPosterior(
        (KnownYeast("invented ALE", 0.78, 9),),
        (0.0, -0.016, -0.05),
        ((1e-6, 0.0, 0.0), (0.0, 3.6e-5, 0.0), (0.0, 0.0, sd**2)),
        9,
    )
    found = expected_attenuation(learnt, Ferment(1.048, 67.0, 0.0, ALE), says).mean
    own, known = 0.78 - 0.05, 1.0 - sd**2 / 0.025**2
    assert found == pytest.approx(known * own + (1.0 - known) * says)


def test_a_yeast_is_known_again_however_it_is_spelt():
    learnt = AttenuationPosterior((KnownYeast("Mill  Ale"),), (0.0, 0.0, 0.0), ((0.0,) * 3,) * 3)
    assert learnt.place_of(Yeast(" mill ale")) == 2
    assert learnt.place_of(Yeast("mill lager")) is None
    assert learnt.place_of(None) is None


def test_the_main_rest_is_the_longest_that_makes_sugar():
    rests = [MashStep(40.0, 90.0), MashStep(63.0, 20.0), MashStep(68.0, 40.0), MashStep(78.0, 60.0)]
    assert main_rest_c(rests) == 68.0
    assert main_rest_c(rests[:1]) is None


def test_the_share_of_sugar_is_of_the_extract_in_the_beer():
    # 4 kg of malt at 0.76 give 3.04 kg, of which three quarters come over: 2.28 kg beside 0.57.
    assert sugar_share([malt(4.0), sugar(0.57)]) == pytest.approx(0.2)
    assert sugar_share([malt(4.0)]) == 0.0
    assert sugar_share([]) == 0.0
