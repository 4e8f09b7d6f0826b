from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calibration.invented import HUNG_BAG, malt, session
from wortwright.brewing.alcohol import apparent_attenuation
from wortwright.calibration import attenuation_fit
from wortwright.calibration.attenuation import (
    AttenuationPosterior,
    Ferment,
    expected_attenuation,
)
from wortwright.calibration.attenuation_fit import attenuation_by_yeast, attenuation_constants
from wortwright.calibration.corrected import brew_of
from wortwright.calibration.fit import fit_calibration
from wortwright.records.grist import AddedTo, Fermentable, Kind, Role
from wortwright.records.recipe import MashStep, Yeast
from wortwright.records.session import SessionState, Stage

ALE, LAGER = Yeast("Invented ale", 0.78), Yeast("Invented lager", 0.72)


def fit_attenuation(sessions):
    brews = [brew_of(str(number), session) for number, session in enumerate(sessions)]
    return attenuation_fit.fit_attenuation(brews).posterior


def beer(attenuation, yeast=ALE, mash_c=67.0, original=1.050, **fields):
    """A finished beer that attenuated this far."""
    final = original - attenuation * (original - 1.0)
    return session(
        [
            (Stage.FERMENTER, {"volume_l": 20.0, "gravity": original}),
            (Stage.FINAL, {"gravity": final}),
        ],
        yeast=yeast,
        mash=(MashStep(mash_c, 60.0),),
        **fields,
    )


def expected(learnt, yeast=ALE, mash_c=67.0):
    return expected_attenuation(learnt, Ferment(1.050, mash_c, 0.0, yeast))


def test_without_beers_it_is_the_prior():
    assert fit_attenuation([]) == AttenuationPosterior()
    unfinished = session([(Stage.FERMENTER, {"volume_l": 20.0, "gravity": 1.050})], yeast=ALE)
    assert fit_attenuation([unfinished]) == AttenuationPosterior()


def test_beers_of_one_yeast_teach_what_to_expect_of_it():
    learnt = fit_attenuation([beer(0.71)] * 20)
    assert expected(learnt).mean == pytest.approx(0.71, abs=0.01)
    assert expected(learnt).sd < 0.7 * expected(AttenuationPosterior()).sd
    assert [(yeast.name, yeast.session_count) for yeast in learnt.yeasts] == [("Invented ale", 20)]


def test_what_all_yeasts_share_is_the_setups_and_helps_with_a_new_one():
    brews = [beer(0.78 - 0.03), beer(0.72 - 0.03, LAGER)] * 10
    brews += [beer(0.75 - 0.03, Yeast(f"Yeast {n}", 0.75)) for n in range(6)] * 4
    learnt = fit_attenuation(brews)
    new = Yeast("New", 0.80)
    assert expected(learnt, new).mean == pytest.approx(0.80 - 0.03, abs=0.012)
    offset = attenuation_constants(learnt)["attenuation_offset"]
    assert offset.mean < -0.015
    assert offset.sd < offset.prior_sd
    assert offset.session_count == len(brews)


def test_the_effect_of_the_mash_is_learnt_from_cool_and_warm_ones():
    # Nothing lost per degree, where 1.6 points are usual.
    learnt = fit_attenuation([beer(0.78, mash_c=mash_c) for mash_c in (64.0, 67.0, 70.0)] * 20)
    slope = attenuation_constants(learnt)["attenuation_per_c"]
    assert slope.prior_mean == -0.016
    assert slope.mean == pytest.approx(0.0, abs=0.003)
    assert slope.sd < 0.4 * slope.prior_sd


@pytest.mark.parametrize("wrong", [0.55, 0.95])
def test_one_wrong_reading_hardly_moves_it(wrong):
    usual = [beer(0.77), beer(0.78), beer(0.79), beer(0.78)]
    without, with_blunder = fit_attenuation(usual), fit_attenuation([*usual, beer(wrong)])
    assert expected(with_blunder).mean == pytest.approx(expected(without).mean, abs=0.006)


def test_a_reading_that_the_brewer_trusts_counts_in_full():
    usual = [beer(0.78)] * 3
    doubted, trusted = beer(0.60), beer(0.60, trusted_because="Read twice.")
    assert (
        expected(fit_attenuation([*usual, trusted])).mean
        < expected(fit_attenuation([*usual, doubted])).mean - 0.01
    )


def test_a_brewer_who_never_names_the_yeast_is_forecast_all_the_same():
    learnt = fit_attenuation([beer(0.70, None)] * 30)
    assert attenuation_by_yeast(learnt) == []
    assert expected(learnt, None).mean == pytest.approx(0.70, abs=0.01)
    assert expected(learnt, None).sd < expected(AttenuationPosterior(), None).sd
    # With a yeast that is named nothing is known but the setup's own part of it.
    assert 0.76 < expected(learnt, ALE).mean < 0.78


def test_sugar_in_the_fermenter_is_counted_as_fermented():
    # 20 L of 1.050 hold 2.59 kg of extract (12.39 degP), half a kilogram more ferments whole.
    sugar = Fermentable("sugar", Kind.SUGAR, 1.0, 0.0, 0.0, AddedTo.FERMENTER, Role.BASE, 0.5)
    dry = beer(0.90, original=1.050, grist=(malt(4.5), sugar))
    learnt = fit_attenuation([dry] * 30)
    # Of malt alone that is some 0.78: 1.0571 in all falls to 1.005, 0.912 of it; a sixth sugar.
    share = 0.5 / (0.5 + 0.75 * 4.5 * 0.76)
    whole = (1.0571 - 1.005) / 0.0571
    of_malt = (whole - 1.22 * share) / (1.0 - share)
    assert expected(learnt).mean == pytest.approx(of_malt, abs=0.012)


def test_sugar_in_a_fermenter_of_unknown_volume_tells_nothing():
    sugar = Fermentable("sugar", Kind.SUGAR, 1.0, 0.0, 0.0, AddedTo.FERMENTER, Role.BASE, 0.5)
    readings = [(Stage.FERMENTER, {"gravity": 1.050}), (Stage.FINAL, {"gravity": 1.006})]
    assert fit_attenuation([session(readings, grist=(malt(4.5), sugar))]).session_count == 0


def test_a_refractometer_in_beer_is_read_without_the_alcohol():
    # Terrill's worked line (2011): wort of 12.2 Brix that reads 6.1 is at 1.0109.
    readings = [(Stage.FERMENTER, {"gravity": 1.0493}), (Stage.FINAL, {"brix": 6.1 * 1.04})]
    learnt = fit_attenuation([session(readings, yeast=ALE)] * 40)
    # 40 such beers narrow it to their own attenuation.
    told = apparent_attenuation(1.0493, 1.0109)
    assert expected(learnt).mean == pytest.approx(told, abs=0.01)


@pytest.mark.parametrize("final", [1.055, 0.90])
def test_a_final_gravity_that_cannot_be_tells_nothing(final):
    readings = [(Stage.FERMENTER, {"gravity": 1.050}), (Stage.FINAL, {"gravity": final})]
    assert fit_attenuation([session(readings)]).session_count == 0


def test_the_attenuation_by_yeast_is_told_beside_what_was_stated():
    [(name, found)] = attenuation_by_yeast(fit_attenuation([beer(0.71)] * 8))
    assert name == "Invented ale"
    assert found.prior_mean == 0.78
    assert 0.70 < found.mean < 0.74
    assert found.sd < found.prior_sd
    assert found.session_count == 8


@given(st.permutations(range(5)))
def test_the_order_of_the_sessions_does_not_matter(order):
    brews = [(str(n), beer(0.70 + 0.02 * n, ALE if n % 2 else LAGER, 64.0 + n)) for n in range(5)]
    ordered = fit_calibration(HUNG_BAG, brews).attenuation
    shuffled = fit_calibration(HUNG_BAG, [brews[n] for n in order]).attenuation
    assert shuffled.mean == pytest.approx(ordered.mean, abs=1e-9)
    assert shuffled.yeasts == ordered.yeasts


def test_only_closed_sessions_teach():
    open_one = replace(beer(0.60), state=SessionState.OPEN)
    assert fit_calibration(HUNG_BAG, [("a", open_one)]).attenuation == AttenuationPosterior()
