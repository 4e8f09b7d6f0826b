import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortwright.calibration.linear import Row, learn


def level(values, sd=0.5, **fields):
    return [Row((1.0,), value, sd, **fields) for value in values]


@given(st.lists(st.floats(1.0, 5.0), max_size=6))
def test_an_estimate_lies_between_the_prior_and_the_readings(values):
    found = learn([(3.0, 1.0)], level(values))
    assert min([3.0, *values]) - 1e-9 <= found.mean[0] <= max([3.0, *values]) + 1e-9
    assert found.covariance[0, 0] <= 1.0 + 1e-12


def test_without_readings_it_is_the_prior():
    found = learn([(3.0, 1.0), (0.0, 0.5)], [])
    assert found.mean.tolist() == [3.0, 0.0]
    assert found.covariance.tolist() == [[1.0, 0.0], [0.0, 0.25]]


def test_one_reading_is_weighed_by_precision():
    # Conjugate normal: precisions 1 and 4 add, the mean is their weighted mean.
    found = learn([(3.0, 1.0)], level([3.5]))
    assert found.mean[0] == pytest.approx((1.0 * 3.0 + 4.0 * 3.5) / 5.0)
    assert found.covariance[0, 0] == pytest.approx(1.0 / 5.0)


def test_trusted_readings_give_the_closed_form_of_the_gaussian_model():
    # Bishop, Pattern Recognition and Machine Learning (2006), equations 3.50 and 3.51.
    generator = np.random.default_rng(11)
    design, values = generator.normal(size=(12, 3)), generator.normal(size=12)
    priors = [(0.5, 1.0), (0.0, 2.0), (-1.0, 0.5)]
    found = learn(
        priors,
        [Row(tuple(x), y, 0.7, trusted=True) for x, y in zip(design, values, strict=True)],
    )
    before = np.diag([1.0, 0.25, 4.0])
    precision = before + design.T @ design / 0.49
    told = before @ [0.5, 0.0, -1.0] + design.T @ values / 0.49
    assert found.mean == pytest.approx(np.linalg.solve(precision, told))
    assert found.covariance == pytest.approx(np.linalg.inv(precision))


def test_one_reading_far_out_counts_less_unless_it_is_trusted():
    usual = [2.0, 2.2, 1.8, 2.1]
    without = learn([(1.5, 0.8)], level(usual, 1.0)).mean[0]
    assert learn([(1.5, 0.8)], level([*usual, 40.0], 1.0)).mean[0] == pytest.approx(
        without, abs=0.4
    )
    trusted = [*level(usual, 1.0), *level([40.0], 1.0, trusted=True)]
    assert learn([(1.5, 0.8)], trusted).mean[0] > without + 4.0


@given(st.permutations(range(7)))
def test_the_order_of_the_readings_does_not_matter(order):
    rows = [Row((1.0, float(i % 3)), 0.3 * i, 0.5) for i in range(7)]
    priors = [(0.0, 1.0), (0.1, 0.4)]
    assert learn(priors, [rows[i] for i in order]).mean == pytest.approx(
        learn(priors, rows).mean, abs=1e-9
    )


def test_a_reading_far_from_the_others_is_doubted_with_what_it_is_above_them():
    rows = [Row((1.0,), 2.0, 0.5, session_id=f"{n}") for n in range(6)]
    [doubt] = learn([(2.0, 1.0)], [*rows, Row((1.0,), 7.0, 0.5, session_id="odd")]).doubts
    assert doubt.session_id == "odd"
    assert doubt.value == 7.0
    assert doubt.above == pytest.approx(5.0, abs=0.2)
    assert 0.0 < doubt.weight < 0.1
    assert learn([(2.0, 1.0)], [*rows, Row((1.0,), 3.0, 0.5)]).doubts == ()
    assert learn([(2.0, 1.0)], [*rows, Row((1.0,), 7.0, 0.5, trusted=True)]).doubts == ()
