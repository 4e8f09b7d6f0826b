from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from calibration.invented import HUNG_BAG, SETUPS, malt, session, usual_session
from wortwright.brewing.gravity import (
    WATER_DENSITY_20_KG_PER_L,
    gravity_from_extract_kg_per_l,
    gravity_from_plato,
)
from wortwright.brewing.mash_water import EXTRACT_VOLUME_L_PER_KG
from wortwright.calibration.efficiency import (
    expected_conversion,
    expected_strike_water_l,
    mean_mash_efficiency,
)
from wortwright.calibration.figures import Name
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.posterior import MashPlan
from wortwright.calibration.reconciliation import (
    NothingToReconcileError,
    calibration_beside,
    reconcile,
)
from wortwright.records.session import SessionState, Stage
from wortwright.records.setup import Change, Changed

TAUGHT = [
    ("a", usual_session(1.0400, 1.0478)),
    ("b", usual_session(1.0412, 1.0492)),
    ("c", usual_session(1.0405, 1.0484)),
]
CALIBRATION = fit_calibration(HUNG_BAG, TAUGHT)


def balanced_session(setup, grain_kg, preboil_l, boil_h):
    """A brew that went exactly as its calibration expects, and was read without error."""
    calibration = fit_calibration(setup, [])
    constants = calibration.constants
    plan = MashPlan(grain_kg, 0.76, preboil_l)
    strike_l = expected_strike_water_l(calibration, plan)
    conversion = expected_conversion(calibration, plan)
    potential_kg = 0.76 * grain_kg
    dissolved_kg = conversion * potential_kg
    kettle_kg = mean_mash_efficiency(calibration, plan) * potential_kg
    held_l = constants["true_absorption_l_per_kg"].mean * grain_kg
    held_l += constants["dead_space_l"].mean
    water_l = preboil_l + held_l - EXTRACT_VOLUME_L_PER_KG * dissolved_kg
    postboil_l = preboil_l - constants["boil_off_l_per_h"].mean * boil_h
    fermenter_l = postboil_l - constants["kettle_loss_l"].mean
    mash_kg = strike_l * WATER_DENSITY_20_KG_PER_L + dissolved_kg
    readings = [
        (Stage.FIRST_WORT, {"gravity": gravity_from_plato(100.0 * dissolved_kg / mash_kg)}),
        (Stage.PRE_BOIL, _read(kettle_kg, preboil_l)),
        (Stage.POST_BOIL, _read(kettle_kg, postboil_l)),
        (Stage.FERMENTER, {"volume_l": fermenter_l}),
    ]
    sparge = {"sparge_l": max(0.0, water_l - strike_l)}
    return calibration, session(
        readings,
        grain_kg=grain_kg,
        planned_preboil_l=preboil_l,
        boil_time_min=60.0 * boil_h,
        water={"strike_l": strike_l, **(sparge if setup is not HUNG_BAG else {})},
    )


def _read(extract_kg, volume_l):
    gravity = gravity_from_extract_kg_per_l(extract_kg / volume_l)
    return {"volume_l": volume_l, "gravity": gravity}


@settings(max_examples=30)
@given(
    st.sampled_from(SETUPS),
    st.floats(0.15, 0.33),
    st.floats(18.0, 40.0),
    st.sampled_from([1.0, 1.25, 1.5]),
)
def test_readings_without_error_come_back_unchanged(setup, load, preboil_l, boil_h):
    calibration, brewed = balanced_session(setup, load * preboil_l, preboil_l, boil_h)
    answer = reconcile(brewed, calibration)
    read = [one for one in answer.quantities if one.read is not None]
    assert len(read) >= 8
    for one in read:
        assert one.mean.value == pytest.approx(one.read.value, rel=1e-4), one.name
    assert answer.disagreements == ()
    assert answer.balance > 0.75


@pytest.mark.parametrize("points", [-9, 9, 14])
def test_a_post_boil_gravity_that_is_off_is_named_with_what_the_others_allow(points):
    calibration, brewed = balanced_session(HUNG_BAG, 5.6, 26.0, 1.0)
    readings = tuple(
        replace(one, gravity=one.gravity + points / 1000.0) if one.stage is Stage.POST_BOIL else one
        for one in brewed.readings
    )
    answer = reconcile(replace(brewed, readings=readings), calibration)
    (found,) = answer.disagreements
    assert found.name is Name.POSTBOIL_GRAVITY
    assert found.probability > 0.8
    side = "above" if points > 0 else "below"
    said = str(answer.detail)
    assert said.startswith(
        f"The post-boil gravity is {abs(points)} gravity points {side} what the pre-boil gravity"
    )
    (figure,) = (one for one in answer.quantities if one.name is Name.POSTBOIL_GRAVITY)
    true = next(one.gravity for one in brewed.readings if one.stage is Stage.POST_BOIL)
    assert figure.mean.value == pytest.approx(true, abs=0.0005)
    assert figure.trust < 0.2


def test_a_trusted_session_has_no_wrong_reading():
    calibration, brewed = balanced_session(HUNG_BAG, 5.6, 26.0, 1.0)
    readings = tuple(
        replace(one, gravity=one.gravity + 0.009) if one.stage is Stage.POST_BOIL else one
        for one in brewed.readings
    )
    wrong = replace(brewed, readings=readings, trusted_because="Read by two of us.")
    answer = reconcile(wrong, calibration)
    assert answer.disagreements == ()
    assert answer.balance == pytest.approx(1.0)


def test_what_was_not_read_is_told_with_a_wider_interval():
    full = reconcile(usual_session(), CALIBRATION)
    less = usual_session()
    few = reconcile(replace(less, readings=less.readings[2:]), CALIBRATION)
    width = [
        next(
            one.high_80.value - one.low_80.value
            for one in answer.quantities
            if one.name is Name.PREBOIL_VOLUME
        )
        for answer in (full, few)
    ]
    assert width[1] > width[0]
    unread = {one.name for one in few.quantities if one.read is None}
    assert {Name.PREBOIL_VOLUME, Name.PREBOIL_GRAVITY, Name.POSTBOIL_GRAVITY} <= unread
    assert all(one.trust is None for one in few.quantities if one.read is None)


@pytest.mark.parametrize(
    "empty",
    [
        session(),
        session([(Stage.MASH_IN, {"temperature_c": 67.0})]),
        replace(usual_session(), grist=(malt(0.0),)),
    ],
)
def test_a_session_without_readings_is_refused(empty):
    with pytest.raises(NothingToReconcileError, match="nothing to balance"):
        reconcile(empty, CALIBRATION)


def test_an_open_session_is_reconciled_as_far_as_it_was_read():
    brewed = replace(usual_session(), state=SessionState.OPEN)
    answer = reconcile(replace(brewed, readings=brewed.readings[:1]), CALIBRATION)
    read = {one.name for one in answer.quantities if one.read is not None}
    assert read == {
        Name.STRIKE_WATER,
        Name.WATER_IN,
        Name.PREBOIL_VOLUME,
        Name.PREBOIL_GRAVITY,
    }


def test_the_calibration_beside_a_session_is_that_of_its_era():
    first = usual_session().brewed_at
    poor = usual_session(1.0330, 1.0395)
    later = [
        (f"l{day}", replace(poor, brewed_at=first + timedelta(days=20 + day))) for day in range(3)
    ]
    change = Change(date(2025, 3, 15), Changed.MILL)
    changed = replace(HUNG_BAG, changes=(change,))
    old, new = (
        calibration_beside(changed, [*TAUGHT, *later], replace(usual_session(), brewed_at=at))
        for at in (first, first + timedelta(days=30))
    )
    assert old.constants["conversion"].mean == pytest.approx(
        CALIBRATION.constants["conversion"].mean
    )
    assert new.constants["conversion"].mean < old.constants["conversion"].mean


def test_every_figure_has_its_mean_within_its_interval():
    rng = np.random.default_rng(4)
    for _ in range(5):
        shift = rng.normal(0.0, 0.002, 2)
        answer = reconcile(usual_session(1.040 + shift[0], 1.048 + shift[1]), CALIBRATION)
        for one in answer.quantities:
            assert one.low_80.value < one.mean.value < one.high_80.value, one.name


VOLUMES = st.none() | st.floats(0.001, 5000.0)
GRAVITIES = st.none() | st.floats(0.98, 1.19)


@settings(max_examples=40, phases=[Phase.explicit, Phase.generate])
@given(
    st.sampled_from(SETUPS),
    st.lists(st.tuples(VOLUMES, GRAVITIES), min_size=4, max_size=4),
    st.floats(0.001, 1000.0),
    st.none() | st.floats(0.0, 360.0),
    st.none() | st.floats(0.0, 5000.0),
)
def test_whatever_was_typed_is_reconciled_in_numbers_or_refused(
    setup, typed, grain_kg, boil_min, strike_l
):
    stages = (Stage.FIRST_WORT, Stage.PRE_BOIL, Stage.POST_BOIL, Stage.FERMENTER)
    readings = [
        (stage, {"volume_l": volume_l, "gravity": gravity})
        for stage, (volume_l, gravity) in zip(stages, typed, strict=True)
    ]
    water = {"strike_l": strike_l}
    brewed = session(readings, grain_kg=grain_kg, boil_time_min=boil_min, water=water)
    try:
        answer = reconcile(brewed, fit_calibration(setup, []))
    except NothingToReconcileError:
        return
    for one in answer.quantities:
        ends = (one.low_80.value, one.mean.value, one.high_80.value)
        assert np.isfinite(ends).all(), one.name
    assert 0.0 <= answer.balance <= 1.0 + 1e-9
    assert 0.0 <= answer.extract_lost.in_conversion <= 1.0
