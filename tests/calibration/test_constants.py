import pytest
from hypothesis import given
from hypothesis import strategies as st

from calibration.invented import HUNG_BAG, session, usual_session
from wortwright.calibration.constants import normal_estimate
from wortwright.calibration.fit import fit_calibration
from wortwright.records.session import Stage


def constants(*sessions):
    return fit_calibration(HUNG_BAG, [(str(i), s) for i, s in enumerate(sessions)]).constants


@given(st.lists(st.floats(1.0, 5.0), max_size=6))
def test_an_estimate_lies_between_the_prior_and_the_readings(values):
    found = normal_estimate((3.0, 1.0), values, 0.5)
    assert min([3.0, *values]) - 1e-9 <= found.mean <= max([3.0, *values]) + 1e-9
    assert found.sd <= 1.0 + 1e-12


def test_one_reading_is_weighed_by_precision():
    # Conjugate normal: precisions 1 and 4 add, the mean is their weighted mean; at the mean of
    # both a reading has nearly its full weight, 5/4.
    found = normal_estimate((3.0, 1.0), [3.0], 0.5)
    assert found.mean == pytest.approx(3.0)
    assert found.sd == pytest.approx((1.0 + 4.0 * 1.25) ** -0.5)


def test_one_reading_far_out_counts_less():
    without = normal_estimate((1.5, 0.8), [2.0, 2.2, 1.8, 2.1], 1.0)
    with_blunder = normal_estimate((1.5, 0.8), [2.0, 2.2, 1.8, 2.1, 40.0], 1.0)
    assert with_blunder.mean == pytest.approx(without.mean, abs=0.4)


def test_boil_off_and_kettle_loss_follow_the_volumes():
    # 26 L before and 20 L after an hour, 17 L in the fermenter: 6 L/h and 3 L, in every session.
    brews = [
        session(
            [
                (Stage.PRE_BOIL, {"volume_l": 26.0}),
                (Stage.POST_BOIL, {"volume_l": 20.0}),
                (Stage.FERMENTER, {"volume_l": 17.0}),
            ],
            boil_time_min=60.0,
        )
        for _ in range(12)
    ]
    found = constants(*brews)
    assert found["boil_off_l_per_h"].mean == pytest.approx(6.0, abs=0.4)
    assert found["kettle_loss_l"].mean == pytest.approx(3.0, abs=0.4)
    assert found["boil_off_l_per_h"].session_count == 12


def test_absorption_follows_the_water():
    # 31 L in, 26 L out of 5 kg: 1.0 L/kg apparent.
    brews = [usual_session(water={"strike_l": 31.0}) for _ in range(15)]
    found = constants(*brews)["absorption_l_per_kg"]
    assert found.mean == pytest.approx(1.0, abs=0.1)
    assert found.sd < 0.5 * found.prior_sd


def test_mash_heat_loss_follows_the_temperatures():
    brew = session(
        [(Stage.MASH_IN, {"temperature_c": 67.0}), (Stage.MASH_END, {"temperature_c": 65.0})]
    )
    found = constants(*[brew] * 10)["mash_heat_loss_c_per_h"]
    assert found.mean == pytest.approx(2.0, abs=0.25)
    assert found.session_count == 10


def test_a_constant_that_nothing_was_read_of_stays_the_prior():
    for name in ("fermenter_loss_l", "vessel_heat_kg", "mash_in_offset_c"):
        found = constants(usual_session())[name]
        assert (found.mean, found.sd) == (found.prior_mean, found.prior_sd)
        assert found.session_count == 0


def test_all_constants_that_planning_asks_for_are_there():
    assert set(constants()) >= {
        "boil_off_l_per_h",
        "kettle_loss_l",
        "fermenter_loss_l",
        "absorption_l_per_kg",
        "true_absorption_l_per_kg",
        "dead_space_l",
        "conversion",
        "conversion_loss_per_kg_per_l",
        "mash_in_offset_c",
        "mash_heat_loss_c_per_h",
        "vessel_heat_kg",
    }
