"""The constants of a setup from all its readings: Bayesian ridge regression on the physics.

Each parameter is measured in its prior's standard normal score, so that one coefficient prior
N(0, 1) is the physics prior. The readings of one session share their errors (one pre-boil
volume, one lot of malt, one luck), so they are whitened by their joint covariance first; after
that scikit-learn's `BayesianRidge` is the whole regression, its hyper-priors held near 1.

Two things are learnt beside it and need the few passes that the curvature of the physics needs
as well: how much the brews of this setup scatter, and which readings not to believe. A reading
is judged by leaving it out: if all others expect something else, its noise is that of a blunder
by that much. So one wrong reading cannot hide by pulling the curve to itself.
"""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from wortwright.calibration.curve import Parameters
from wortwright.calibration.history import Array, Flags, History, Row, Shared
from wortwright.calibration.priors import BREW_LOG_SD, Prior
from wortwright.calibration.readings import Expectation, expect
from wortwright.records.setup import LauterMethod

MOST_PASSES = 6
SETTLED, SETTLED_SHARE = 0.02, 0.1
"""Passes end when no score moved by more than this and this share of its standard deviation:
mostly after two or three, later where a blunder is found."""

STIFF = 1e6
"""Shape and rate of both Gamma hyper-priors: coefficients and noise are in units of their own
standard deviation already, so that both precisions are known to be 1."""

LEAST_INFORMATION = 1e-12

STEEPEST = 1e4
"""No relative reading of a real brew moves by as much with one standard score of a constant."""

BLUNDER_SHARE = np.full(len(Row), 0.03)
BLUNDER_SHARE[Row.PREBOIL_GRAVITY : Row.FIRST_WORT] = 0.05
BLUNDER_FACTOR = np.full(len(Row), 4.0)
BLUNDER_FACTOR[Row.PREBOIL_GRAVITY : Row.FIRST_WORT] = 8.0
BLUNDER_FACTOR[Row.FIRST_WORT] = 6.0
"""How many readings are blunders, and by how many of their standard deviations (more if they
are further out); common practice, no source: a misread hydrometer is off by 0.008."""

SCATTERS = np.geomspace(0.006, 0.12, 24)
"""Grid of brew-to-brew scatters of log efficiency."""

_SCATTER_PRIOR = -0.5 * (np.log(SCATTERS / BREW_LOG_SD[0]) / BREW_LOG_SD[1]) ** 2


class Belief(NamedTuple):
    """What is believed of a setup at one moment: scores, covariance, and the brews' scatter.

    ``scatter_log_weights`` is over a fixed grid of scatters.
    """

    scores: Array
    covariance: Array
    scatter_log_weights: Array = _SCATTER_PRIOR

    @property
    def brew_variance(self) -> float:
        """Mean variance of log efficiency from brew to brew."""
        weights = np.exp(self.scatter_log_weights - self.scatter_log_weights.max())
        return float(weights @ SCATTERS**2 / weights.sum())


class Told(NamedTuple):
    """What each brew says where its luck is not known: products in the metric of its readings.

    Of its luck with itself, with what the scores left unexplained, and with the derivatives
    by the scores; of the derivatives with themselves and with what was left.
    """

    luck_luck: Array
    luck_left: Array
    luck_scores: Array
    scores_scores: Array
    scores_left: Array


@dataclass(frozen=True, slots=True)
class Fit:
    """What is believed after the sessions, and what each of them showed.

    Session by reading: ``trust`` is the probability that a reading is no blunder, ``noise`` the
    variance that it deserves, ``unexpected`` how far it lies from what all others expect of it.
    ``possible`` is which sessions can have been brewed at all; the others were left out.
    """

    belief: Belief
    told: Told
    trust: Array
    noise: Array
    unexpected: Array
    possible: Flags


def prior_belief(count: int) -> Belief:
    """What is believed of ``count`` parameters where no session of anybody has spoken yet."""
    return Belief(np.zeros(count), np.eye(count))


def shared_at(priors: tuple[Prior, ...], scores: Array) -> Shared:
    """Constants of the setup at given scores."""
    values = [prior.value(float(score)) for prior, score in zip(priors, scores, strict=True)]
    return Shared(Parameters(*values[:-2]), *values[-2:])


def slopes_at(priors: tuple[Prior, ...], scores: Array) -> Array:
    """Derivatives of the constants by their scores."""
    return np.array(
        [prior.slope(float(score)) for prior, score in zip(priors, scores, strict=True)]
    )


def regress(
    priors: tuple[Prior, ...],
    history: History,
    method: LauterMethod,
    runnings: int,
    start: Belief | None = None,
) -> Fit:
    """Posterior of the constants of a setup; without sessions it is the start, or the prior."""
    start = start or prior_belief(len(priors))
    known = ~np.isnan(history.read)
    variance = np.where(known, history.sd**2, 1.0)
    fit = Fit(
        belief=start,
        told=_nothing_told(len(known), len(priors)),
        trust=np.ones_like(history.read),
        noise=variance,
        unexpected=np.zeros_like(history.read),
        possible=np.ones(len(known), dtype=bool),
    )
    for _ in range(MOST_PASSES):
        before = fit.belief.scores
        # What makes no sense is not finite, and left out.
        with np.errstate(all="ignore"):
            expectation = expect(history, method, runnings, shared_at(priors, before))
        possible = fit.possible & _possible(expectation, known)
        known &= possible[:, None]
        expectation = _only(expectation, possible)
        slopes = slopes_at(priors, before)
        fit = _pass(start, fit, expectation, slopes, history.own_sd, known, variance)
        fit = replace(_overruled(fit, history.trusted, variance), possible=possible)
        settled = SETTLED + SETTLED_SHARE * np.sqrt(fit.belief.covariance.diagonal())
        if (np.abs(fit.belief.scores - before) < settled).all():
            break
    return fit


def _possible(expectation: Expectation, known: Flags) -> Flags:
    """Which sessions the physics can make: of a slip of the pen it may make no sense at all."""
    difference = np.where(known, expectation.difference, 0.0)
    derivatives = (expectation.by_shared, expectation.by_own)
    finite = np.isfinite(difference) & np.isfinite(expectation.by_luck)
    steep = [(np.abs(by) < STEEPEST).all(axis=(1, 2)) for by in derivatives]
    possible: Flags = np.logical_and.reduce([finite.all(axis=1), *steep])
    return possible


def _only(expectation: Expectation, possible: Flags) -> Expectation:
    """Expectation with nothing but zeros for the other sessions."""
    if possible.all():
        return expectation
    rows, cells = possible[:, None], possible[:, None, None]
    return Expectation(
        np.where(rows, expectation.difference, 0.0),
        np.where(cells, expectation.by_shared, 0.0),
        np.where(cells, expectation.by_own, 0.0),
        np.where(rows, expectation.by_luck, 0.0),
    )


def _overruled(fit: Fit, trusted: Array, variance: Array) -> Fit:
    """Take the sessions that the brewer trusts at their word, whatever was judged of them."""
    at_its_word = np.asarray(trusted, dtype=bool)[:, None]
    return replace(
        fit,
        trust=np.where(at_its_word, 1.0, fit.trust),
        noise=np.where(at_its_word, variance, fit.noise),
    )


def _pass(
    start: Belief,
    fit: Fit,
    expectation: Expectation,
    slopes: Array,
    own_sd: Array,
    known: Flags,
    variance: Array,
) -> Fit:
    """One linearisation: regress, then judge every reading and the scatter of the brews."""
    design = expectation.by_shared * slopes
    by_luck = expectation.by_luck
    target = np.where(known, expectation.difference, 0.0) + design @ fit.belief.scores
    alone = _precision(known / fit.noise, expectation.by_own * own_sd[:, None, :])
    precision = _less_sure(alone, by_luck, fit.belief.brew_variance)
    informed = precision @ design
    scores, posterior = _ridge(start, informed, design, target)
    left = target - design @ scores
    certainty = _diagonal(precision) - ((informed @ posterior) * informed).sum(axis=2)
    certainty = np.where(known, certainty, 1.0 / variance)
    unexpected = np.where(known, _applied(precision, left) / certainty, 0.0)
    trust, noise = _judge(unexpected, 1.0 / certainty - fit.noise, variance)
    told = _told(alone, by_luck, design, left)
    weights = start.scatter_log_weights + _scatter_evidence(told, posterior)
    return Fit(Belief(scores, posterior, weights), told, trust, noise, unexpected, fit.possible)


def _less_sure(precision: Array, by_luck: Array, brew_variance: float) -> Array:
    """Precision of readings whose brews also had luck (the Sherman-Morrison formula)."""
    toward = _applied(precision, by_luck)
    size = 1.0 / brew_variance + (by_luck * toward).sum(axis=1)
    lessened: Array = precision - toward[:, :, None] * toward[:, None, :] / size[:, None, None]
    return lessened


def _applied(matrices: Array, vectors: Array) -> Array:
    applied: Array = (matrices @ vectors[:, :, None])[:, :, 0]
    return applied


def _precision(weight: Array, own: Array) -> Array:
    """Inverse of each session's covariance diag(1 / weight) + own own' (Woodbury's identity)."""
    weighted = weight[:, :, None] * own
    inner = np.linalg.inv(np.eye(own.shape[2]) + own.transpose(0, 2, 1) @ weighted)
    precision = -weighted @ inner @ weighted.transpose(0, 2, 1)
    diagonal = np.arange(len(Row))
    precision[:, diagonal, diagonal] += weight
    return precision


def _diagonal(matrices: Array) -> Array:
    diagonal: Array = np.diagonal(matrices, axis1=1, axis2=2)
    return diagonal


def _ridge(start: Belief, told: Array, design: Array, target: Array) -> tuple[Array, Array]:
    """Posterior mean and covariance of the scores; ``told`` is precision times design.

    What is regressed on are standard scores of the start: its covariance is ``root root'``, so
    that the library's coefficient prior N(0, 1) is the start. The whitened readings of all
    sessions are replaced by as many rows as there are parameters, with the same normal
    equations: the cost no longer grows with the history, and without sessions there are rows
    still, that say nothing.
    """
    # Imported here: scikit-learn costs a worker 0.5 s and 90 MB, and only fitting needs it.
    from sklearn import config_context
    from sklearn.linear_model import BayesianRidge

    parameters = design.shape[2]
    root = np.linalg.cholesky(start.covariance)
    told = told.reshape(-1, parameters) @ root
    target = target - design @ start.scores
    size, axes = np.linalg.eigh((design.reshape(-1, parameters) @ root).T @ told)
    length = np.sqrt(np.maximum(size, LEAST_INFORMATION))
    rows = length[:, None] * axes.T
    values = axes.T @ (told.T @ target.reshape(-1)) / length
    ridge = BayesianRidge(
        fit_intercept=False,
        alpha_1=STIFF,
        alpha_2=STIFF,
        lambda_1=STIFF,
        lambda_2=STIFF,
        alpha_init=1.0,
        lambda_init=1.0,
    )
    with config_context(assume_finite=True, skip_parameter_validation=True):
        ridge.fit(rows, values)
    return start.scores + root @ ridge.coef_, root @ ridge.sigma_ @ root.T


def _judge(unexpected: Array, others: Array, variance: Array) -> tuple[Array, Array]:
    """Trust in every reading, and the noise that it deserves.

    ``others`` is the variance of what the other readings expect of it.
    """
    blunder = np.maximum(variance * BLUNDER_FACTOR**2, unexpected**2)
    others = np.maximum(others, 0.0)
    doubt = (
        BLUNDER_SHARE
        / (1.0 - BLUNDER_SHARE)
        * _density(unexpected, others + blunder)
        / np.maximum(_density(unexpected, others + variance), 1e-300)
    )
    trust = 1.0 / (1.0 + doubt)
    return trust, 1.0 / (trust / variance + (1.0 - trust) / blunder)


def _density(deviation: Array, variance: Array) -> Array:
    density: Array = np.exp(-0.5 * deviation**2 / variance) / np.sqrt(variance)
    return density


def _nothing_told(sessions: int, parameters: int) -> Told:
    nothing = np.zeros((sessions, parameters))
    return Told(
        nothing.sum(axis=1),
        nothing.sum(axis=1),
        nothing,
        np.zeros((sessions, parameters, parameters)),
        nothing,
    )


def _told(alone: Array, by_luck: Array, design: Array, left: Array) -> Told:
    """Products of what each brew shows, in the metric of its readings alone."""
    toward = _applied(alone, by_luck)
    by_scores = (alone @ design).transpose(0, 2, 1)
    return Told(
        luck_luck=(by_luck * toward).sum(axis=1),
        luck_left=(left * toward).sum(axis=1),
        luck_scores=_applied(by_scores, by_luck),
        scores_scores=by_scores @ design,
        scores_left=_applied(by_scores, left),
    )


def _scatter_evidence(told: Told, covariance: Array) -> Array:
    """Log likelihood of the luck of all brews, over the grid of scatters.

    The luck of each brew is estimated from its own readings.
    """
    spoke = told.luck_luck > LEAST_INFORMATION
    information = told.luck_luck[spoke]
    estimate = told.luck_left[spoke] / information
    by_scores = told.luck_scores[spoke] / information[:, None]
    squared = estimate**2 + ((by_scores @ covariance) * by_scores).sum(axis=1)
    variance = SCATTERS[:, None] ** 2 + 1.0 / information
    evidence: Array = -0.5 * (np.log(variance) + squared / variance).sum(axis=1)
    return evidence
