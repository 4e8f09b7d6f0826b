"""Weighted least squares on the balances, against the same balances written anew for scipy."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import least_squares

from calibration.invented import HUNG_BAG, TWO_RUNNINGS, session, usual_session
from wortwright.brewing.gravity import extract_kg_per_l
from wortwright.calibration.balance import UNKNOWNS, balanced, known_of
from wortwright.calibration.curve import PARAMETERS, Parameters
from wortwright.calibration.evidence import evidence_of
from wortwright.calibration.explanations import Explained
from wortwright.calibration.figures import Name, figures_of, natural
from wortwright.calibration.fit import fit_calibration
from wortwright.calibration.history import Row, Shared, history_of
from wortwright.records.session import Stage
from wortwright.records.setup import LauterMethod

SWELLING = 0.617
"""Litres by which a kilogram of dissolved extract swells the wort: densities of sucrose solutions,
ICUMSA SPS-4."""


def prepared(setup, brewed, taught=()):
    calibration = fit_calibration(setup, list(taught))
    evidence = evidence_of("x", brewed)
    constants = calibration.constants
    shared = Shared(
        Parameters(*calibration.efficiency.mean[: len(PARAMETERS)]),
        constants["boil_off_l_per_h"].mean,
        constants["kettle_loss_l"].mean,
    )
    history = history_of([evidence], setup.lauter_method, shared)
    return calibration, evidence, history, known_of(calibration, history)


def fitted(setup, brewed, taught=()):
    _, evidence, history, known = prepared(setup, brewed, taught)
    used = np.flatnonzero(~np.isnan(history.read[0]))
    balance = balanced(history, setup.lauter_method, setup.runnings, known, used)
    return evidence, history, known, balance


def anew(setup, evidence, known, read_sd):
    """The balances of one brew, written plainly: what each reading should be, in its own unit.

    Minimised with scipy over the same unknowns with the same weights.
    """
    mean = known.mean
    spread = np.linalg.cholesky(known.covariance + 1e-14 * np.eye(UNKNOWNS))
    guess_l = evidence.planned_preboil_l

    def expected(x):
        conversion, thick, absorption, dead_l, _, _, rate, loss_l = x[:8]
        log_volume, boil_l, kettle_l, lot, strike_error, luck = x[8:]
        volume_l = guess_l * math.exp(log_volume)
        grain_kg, potential_kg = evidence.grain_kg, evidence.potential_kg
        held_l = absorption * grain_kg + dead_l
        true_strike_l = evidence.strike_l * (1.0 - strike_error)
        if setup.lauter_method is LauterMethod.NO_SPARGE:
            # All water is in the mash: what runs off and what stays, less what swells.
            strike_l = volume_l + held_l
            for _ in range(60):
                dissolved = conversion - thick * max(0.0, grain_kg / strike_l - 0.30)
                strike_l = volume_l + held_l - SWELLING * potential_kg * dissolved
            mash_l = strike_l * (1.0 - strike_error)
        else:
            mash_l = true_strike_l
        dissolved = conversion - thick * max(0.0, grain_kg / mash_l - 0.30)
        if setup.lauter_method is LauterMethod.NO_SPARGE:
            washed = volume_l / (volume_l + held_l)
        else:
            first_l = mash_l + SWELLING * potential_kg * dissolved - held_l
            second_l = volume_l - first_l
            washed = 1.0 - held_l / (held_l + first_l) * held_l / (held_l + second_l)
        mash_kg = potential_kg * dissolved * washed * math.exp(lot + luck)
        postboil_l = volume_l - rate * evidence.boil_h - boil_l
        water_l = volume_l + held_l - SWELLING * potential_kg * dissolved
        told = dissolved * math.exp(lot + strike_error)
        return {
            Row.PLANNED: volume_l,
            Row.PREBOIL: volume_l,
            Row.POSTBOIL: postboil_l,
            Row.FERMENTER: postboil_l - loss_l - kettle_l - evidence.hop_uptake_l,
            Row.WATER: water_l + evidence.strike_l * strike_error,
            Row.PREBOIL_GRAVITY: math.log(mash_kg / volume_l),
            Row.POSTBOIL_GRAVITY: math.log(mash_kg / postboil_l),
            Row.FERMENTER_GRAVITY: math.log(mash_kg / postboil_l),
            Row.FIRST_WORT: math.log(told),
        }

    def residuals(scores):
        level = expected(mean + spread @ scores)
        off = [(value - level[row]) / sd for row, (value, sd) in read_sd.items()]
        return np.array([*off, *scores])

    found = least_squares(residuals, np.zeros(UNKNOWNS), xtol=1e-12, ftol=1e-12, gtol=1e-12)
    return expected(mean + spread @ found.x)


def readings(evidence, history):
    """Readings with their standard deviations, volumes in litres, gravities as log extract."""
    read = {
        Row.PLANNED: (evidence.planned_preboil_l, 0.02 * evidence.planned_preboil_l),
        Row.PREBOIL: (evidence.preboil_l, 0.025 * evidence.preboil_l),
        Row.POSTBOIL: (evidence.postboil_l, 0.025 * evidence.postboil_l),
        Row.FERMENTER: (evidence.fermenter_l, 0.025 * evidence.fermenter_l),
        Row.WATER: (
            evidence.strike_l + (0.0 if math.isnan(evidence.sparge_l) else evidence.sparge_l),
            float(history.sd[0, Row.WATER] * history.preboil_l[0]),
        ),
        Row.FIRST_WORT: (math.log(evidence.conversion), 0.015),
    }
    for row, gravity in (
        (Row.PREBOIL_GRAVITY, evidence.preboil_gravity),
        (Row.FERMENTER_GRAVITY, evidence.fermenter_gravity),
    ):
        read[row] = (math.log(extract_kg_per_l(gravity)), 0.001 / (gravity - 1.0))
    return {row: pair for row, pair in read.items() if not math.isnan(pair[0])}


TAUGHT = [("a", usual_session(1.0400, 1.0478)), ("b", usual_session(1.0412, 1.0492))]


def with_first_wort(brewed, gravity):
    first = session([(Stage.FIRST_WORT, {"gravity": gravity})]).readings
    return replace(brewed, readings=(*first, *brewed.readings))


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"preboil_gravity": 1.044},
        {"preboil_l": 27.5},
        {"preboil_l": 24.0, "original_gravity": 1.051},
        {"grain_kg": 7.5, "preboil_gravity": 1.055, "original_gravity": 1.066},
    ],
)
def test_without_sparge_it_is_the_least_squares_solution(changes):
    brewed = usual_session(**changes)
    evidence, history, known, balance = fitted(HUNG_BAG, brewed, TAUGHT)
    wanted = readings(evidence, history)
    expected = anew(HUNG_BAG, evidence, known, wanted)
    for row, (_, sd) in wanted.items():
        scale = float(history.preboil_l[0]) if row <= Row.WATER else 1.0
        assert scale * balance.level[row] == pytest.approx(expected[row], abs=0.03 * sd), row


@pytest.mark.parametrize(("preboil_gravity", "preboil_l"), [(1.041, 26.0), (1.046, 25.0)])
def test_with_two_runnings_it_is_nearly_the_least_squares_solution(preboil_gravity, preboil_l):
    # The first running is a decision of the brewer: the model's derivatives hold it fixed.
    brewed = with_first_wort(
        usual_session(
            preboil_gravity,
            1.052,
            preboil_l,
            water={"strike_l": 16.0, "sparge_l": 16.5},
        ),
        1.079,
    )
    evidence, history, known, balance = fitted(TWO_RUNNINGS, brewed)
    wanted = readings(evidence, history)
    expected = anew(TWO_RUNNINGS, evidence, known, wanted)
    for row, (_, sd) in wanted.items():
        scale = float(history.preboil_l[0]) if row <= Row.WATER else 1.0
        assert scale * balance.level[row] == pytest.approx(expected[row], abs=0.15 * sd), row


def test_more_readings_make_every_figure_surer():
    brewed = usual_session()
    calibration, evidence, history, known = prepared(HUNG_BAG, brewed, TAUGHT)
    used = np.flatnonzero(~np.isnan(history.read[0]))
    before = None
    for count in range(1, len(used) + 1):
        balance = balanced(history, LauterMethod.NO_SPARGE, 1, known, used[:count])
        explained = Explained(evidence, history, known, ())
        now = {
            name: float(figure.by @ balance.covariance @ figure.by)
            for name, figure in figures_of(explained, balance).items()
        }
        if before is not None:
            # The figures are linearised where each fit ends, so by a little at most.
            assert all(now[name] <= before[name] * 1.02 + 1e-9 for name in now)
        before = now
    assert calibration.session_count == 2


def test_a_figure_is_linear_in_the_unknowns_where_it_says_so():
    evidence, history, known, balance = fitted(HUNG_BAG, usual_session(), TAUGHT)
    figures = figures_of(Explained(evidence, history, known, ()), balance)
    assert natural(Name.MASH_EFFICIENCY, figures[Name.MASH_EFFICIENCY].mean) == pytest.approx(
        natural(Name.CONVERSION, figures[Name.CONVERSION].mean)
        * natural(Name.LAUTER_EFFICIENCY, figures[Name.LAUTER_EFFICIENCY].mean)
    )
    extract_kg = natural(Name.EXTRACT_BEFORE_BOIL, figures[Name.EXTRACT_BEFORE_BOIL].mean)
    gravity = natural(Name.PREBOIL_GRAVITY, figures[Name.PREBOIL_GRAVITY].mean)
    volume_l = figures[Name.PREBOIL_VOLUME].mean
    assert extract_kg == pytest.approx(volume_l * extract_kg_per_l(gravity))
