import pytest

from calibration.invented import HUNG_BAG, THREE_VESSELS, malt, session, usual_session
from wortwright.brewing.heat import strike_temperature_c
from wortwright.brewing.water_density import water_density_kg_per_l
from wortwright.calibration.fit import fit_calibration
from wortwright.records.grist import AddedTo, HopAddition, HopForm, Moment, Purpose
from wortwright.records.recipe import MashStep
from wortwright.records.session import Stage


def constants(*sessions, setup=HUNG_BAG):
    return fit_calibration(setup, [(str(i), s) for i, s in enumerate(sessions)]).constants


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


def cooled(mash_end_c, *rests):
    readings = [
        (Stage.MASH_IN, {"temperature_c": 67.0}),
        (Stage.MASH_END, {"temperature_c": mash_end_c}),
    ]
    return session(readings, mash=tuple(MashStep(*rest) for rest in rests))


@pytest.mark.parametrize(
    ("mash_end_c", "rests"),
    [(65.0, []), (65.0, [(67.0, 60.0)]), (64.0, [(67.0, 90.0)]), (66.0, [(67.0, 30.0)])],
)
def test_mash_heat_loss_follows_the_temperatures_and_the_length_of_the_mash(mash_end_c, rests):
    # Two degrees an hour each; a mash of unknown length counts as an hour's.
    found = constants(*[cooled(mash_end_c, *rests)] * 16)["mash_heat_loss_c_per_h"]
    assert found.mean == pytest.approx(2.0, abs=0.3)
    assert found.session_count == 16


def test_a_mash_of_several_rests_tells_of_no_heat_loss():
    found = constants(cooled(72.0, (63.0, 40.0), (72.0, 20.0)))["mash_heat_loss_c_per_h"]
    assert (found.mean, found.session_count) == (found.prior_mean, 0)


def test_a_mash_that_was_kept_warm_loses_nothing_rather_than_less():
    found = constants(*[cooled(71.0, (67.0, 60.0))] * 20)["mash_heat_loss_c_per_h"]
    assert found.mean == 0.0


def mashed_in(missed_c, grain_kg=5.0, strike_l=13.0, vessel_heat_kg=0.0, **fields):
    """A mash-in at 66 degC plus what it missed, by the heat balance from a cellar of 12 degC."""
    water_kg = strike_l * water_density_kg_per_l(20.0)
    strike_c = strike_temperature_c(66.0, grain_kg, 12.0, water_kg, vessel_heat_kg, 12.0)
    readings = [
        (Stage.STRIKE_WATER, {"temperature_c": strike_c}),
        (Stage.MASH_IN, {"temperature_c": 66.0 + missed_c}),
    ]
    return session(
        readings,
        grain_kg=grain_kg,
        water={"strike_l": strike_l},
        grain_temperature_c=12.0,
        **fields,
    )


@pytest.mark.parametrize("missed_c", [-1.5, 0.0, 2.0])
def test_the_mash_in_offset_is_what_the_mash_missed_beside_the_heat_balance(missed_c):
    found = constants(*[mashed_in(missed_c)] * 20)
    assert found["mash_in_offset_c"].mean == pytest.approx(missed_c, abs=0.1)
    assert found["mash_in_offset_c"].session_count == 20
    # In a kettle the water has warmed the vessel already, so nothing is told of its heat.
    heat = found["vessel_heat_kg"]
    assert (heat.mean, heat.sd, heat.session_count) == (heat.prior_mean, heat.prior_sd, 0)


def test_thin_and_thick_mashes_tell_vessel_heat_from_offset():
    # 1.2 kg of vessel, and mash-ins half a degree low, from 8 L to 40 L of strike water.
    brews = [
        mashed_in(-0.5, grain_kg=0.4 * strike_l, strike_l=strike_l, vessel_heat_kg=1.2)
        for strike_l in (8.0, 12.0, 20.0, 40.0) * 20
    ]
    found = constants(*brews, setup=THREE_VESSELS)
    assert found["vessel_heat_kg"].mean == pytest.approx(1.2, abs=0.15)
    assert found["mash_in_offset_c"].mean == pytest.approx(-0.5, abs=0.25)
    assert found["vessel_heat_kg"].session_count == 80


def test_without_the_temperature_of_the_strike_water_nothing_is_told_of_the_mash_in():
    brew = session([(Stage.MASH_IN, {"temperature_c": 60.0})], water={"strike_l": 13.0})
    assert constants(brew)["mash_in_offset_c"].session_count == 0


def test_the_fermenter_loss_is_what_was_not_packaged_beside_what_dry_hops_keep():
    # 21 L and 0.5 kg of sugar (0.617 L/kg), 100 g of dry pellets that keep 0.6 L, 18.7 L packaged.
    hop = HopAddition("invented hop", 0.05, HopForm.PELLET, Moment.DRY, Purpose.AROMA, mass_kg=0.1)
    brew = session(
        [(Stage.FERMENTER, {"volume_l": 21.0}), (Stage.PACKAGED, {"volume_l": 18.7})],
        grist=(malt(5.0), malt(0.5, 1.0, AddedTo.FERMENTER)),
        hop_bill=(hop,),
    )
    found = constants(*[brew] * 40)["fermenter_loss_l"]
    assert found.mean == pytest.approx(21.0 + 0.3085 - 18.7 - 0.6, abs=0.05)
    assert found.session_count == 40


def test_more_beer_than_wort_is_a_misread_volume_and_no_gain():
    brew = session([(Stage.FERMENTER, {"volume_l": 20.0}), (Stage.PACKAGED, {"volume_l": 23.0})])
    assert constants(*[brew] * 20)["fermenter_loss_l"].mean == 0.0


def test_old_notes_teach_what_they_tell_and_nothing_else():
    # As little as grain, gravity and volume in the fermenter; and with the gravity at the end.
    least = [(Stage.FERMENTER, {"volume_l": 20.0, "gravity": 1.050})]
    by_efficiency = {
        "conversion",
        "conversion_loss_per_kg_per_l",
        "dead_space_l",
        "bypass",
        "washing",
    }

    def told(*readings):
        found = constants(session(readings))
        return {name for name, one in found.items() if one.session_count}

    assert told(*least) == by_efficiency
    finished = told(*least, (Stage.FINAL, {"gravity": 1.012}))
    assert finished == by_efficiency | {"attenuation_offset", "attenuation_per_c"}


def test_old_notes_narrow_the_conversion():
    brew = session([(Stage.FERMENTER, {"volume_l": 20.0, "gravity": 1.050})])
    found = constants(*[brew] * 8)["conversion"]
    assert found.sd < 0.9 * found.prior_sd


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
        "attenuation_offset",
        "attenuation_per_c",
    }
