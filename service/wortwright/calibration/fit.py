"""From sessions to the calibration of a setup. (Being tuned.)"""

from collections.abc import Sequence

import numpy as np

from wortwright.brewing.lautering import apparent_absorption_l_per_kg
from wortwright.calibration.curve import PARAMETERS, Parameters
from wortwright.calibration.evidence import evidence_of, mash_efficiency_by_readings
from wortwright.calibration.posterior import Calibration, EfficiencyPosterior, Estimate, SeenRange
from wortwright.calibration.priors import (
    BREW_LOG_SD,
    MALT_LOT_LOG_SD,
    USUAL_EXTRACT_YIELD,
    Prior,
    efficiency_priors,
    plain_priors,
)
from wortwright.calibration.readings import Row, expect, history_of
from wortwright.records.session import Session, SessionState
from wortwright.records.setup import Setup

BAD_SHARE = np.array([0.03, 0.03, 0.03, 0.03, 0.03, 0.05, 0.05, 0.05, 0.03])
BAD_FACTOR = np.array([4.0, 4.0, 4.0, 4.0, 4.0, 8.0, 8.0, 8.0, 6.0])
PASSES = 4
GRID = np.geomspace(0.006, 0.12, 24)
GRID_PRIOR = -0.5 * (np.log(GRID / BREW_LOG_SD[0]) / BREW_LOG_SD[1]) ** 2


def bayesian_ridge(X, y):
    from sklearn.linear_model import BayesianRidge
    from sklearn import config_context
    h = 1e6
    with config_context(assume_finite=True, skip_parameter_validation=True):
        m = BayesianRidge(fit_intercept=False, alpha_1=h, alpha_2=h, lambda_1=h, lambda_2=h, alpha_init=1.0, lambda_init=1.0, max_iter=2)
        m.fit(X, y)
    return m.coef_, m.sigma_


def regress(priors, history, method, runnings):
    p = len(priors)
    z = np.zeros(p)
    sigma = np.eye(p)
    n = history.size
    good = np.ones_like(history.read)
    brew_grid = np.exp(GRID_PRIOR - GRID_PRIOR.max()); brew_grid /= brew_grid.sum()
    brew_var = float(brew_grid @ GRID**2)
    known = ~np.isnan(history.read)
    base = np.where(known, history.sd**2, 1e8)
    bad = base * (BAD_FACTOR**2)
    for k in range(PASSES):
        theta = [q.value(s) for q, s in zip(priors, z)]
        theta[0] = min(theta[0], 0.995); theta[2] = max(theta[2], 0.2); theta[3] = max(theta[3], 0.0); theta[4] = min(max(theta[4], 0.0), 0.9); theta[5]=max(theta[5],.2)
        slope = np.array([q.slope(s) for q, s in zip(priors, z)])
        ex = expect(history, method, runnings, Parameters(*theta[:6]), theta[6], theta[7])
        r = np.where(known, ex.difference, 0.0)
        G = ex.shared * slope * known[:, :, None]
        H = ex.own * known[:, :, None] * ex.own_sd[:, None, :]
        b = ex.brew * known
        noise = 1.0 / (good / base + (1 - good) / bad)
        C = H @ H.transpose(0, 2, 1)
        i = np.arange(9)
        C[:, i, i] += noise
        K = np.linalg.inv(C + brew_var * b[:, :, None] * b[:, None, :])
        L = np.linalg.cholesky(K)
        X = (L.transpose(0, 2, 1) @ G).reshape(-1, p)
        target = r + G @ z
        y = np.einsum("nji,nj->ni", L, target).ravel()
        X = np.vstack([X, np.zeros((1, p))]); y = np.append(y, 0.0)
        z, sigma = bayesian_ridge(X, y)
        # weights by leaving one reading out
        r = target - G @ z
        KG = K @ G
        Kr = np.einsum("nij,nj->ni", K, r)
        Q = K[:, i, i] - np.einsum("njp,pq,njq->nj", KG, sigma, KG)
        v = np.maximum(1 / Q - noise, 1e-12)
        loo = Kr / Q
        def lik(var): return np.exp(-0.5 * loo**2 / var) / np.sqrt(var)
        pg, pb = (1 - BAD_SHARE) * lik(v + base), BAD_SHARE * lik(v + bad)
        good = np.where(known, (pg + 1e-300) / (pg + pb + 1e-300), 1.0)
        # brew noise
        K0 = K + 0
        Kb = np.einsum("nij,nj->ni", K, b)
        bKb = np.einsum("nj,nj->n", b, Kb)
        # precision of the luck without the brew variance (Sherman-Morrison backwards)
        prec = bKb / np.maximum(1 - brew_var * bKb, 1e-12)
        ok = prec > 1.0
        est = np.einsum("nj,nj->n", b, Kr) / np.maximum(bKb, 1e-12)
        gl = np.einsum("nj,njp->np", b, KG) / np.maximum(bKb, 1e-12)[:, None]
        sq = est**2 + np.einsum("np,pq,nq->n", gl, sigma, gl)
        var = GRID[:, None]**2 + 1 / np.maximum(prec, 1e-12)
        ll = -0.5 * ((np.log(var) + sq / var) * ok).sum(1) + GRID_PRIOR
        w = np.exp(ll - ll.max()); w /= w.sum()
        brew_var = float(w @ GRID**2)
    theta = [q.value(s) for q, s in zip(priors, z)]
    theta[0] = min(theta[0], 0.995); theta[2] = max(theta[2], 0.2); theta[3] = max(theta[3], 0.0); theta[4] = min(max(theta[4], 0.0), 0.9); theta[5]=max(theta[5],.2)
    slope = np.array([q.slope(s) for q, s in zip(priors, z)])
    return theta, sigma * np.outer(slope, slope), brew_var, good


def fit_calibration(setup: Setup, sessions: Sequence[tuple[str, Session]]) -> Calibration:
    """Calibration of a setup from its sessions."""
    plain = plain_priors(setup)
    priors = (*efficiency_priors(setup), Prior(*plain["boil_off_l_per_h"]), Prior(*plain["kettle_loss_l"]))
    means = tuple(p.value(0.0) for p in priors)
    sds = tuple(p.slope(0.0) for p in priors)
    ev = [evidence_of(i, s) for i, s in sessions if s.state is SessionState.CLOSED]
    h = history_of(ev, setup.lauter_method, Parameters(*means[:6]), means[6], means[7])
    theta, cov, brew_var, good = regress(priors, h, setup.lauter_method, setup.runnings)
    constants = {k: Estimate(m, s, m, s) for k, (m, s) in plain.items()}
    sd = np.sqrt(np.diag(cov))
    constants |= {n: Estimate(float(a), float(b), m, s) for n, a, b, m, s in zip((*PARAMETERS, "boil_off_l_per_h", "kettle_loss_l"), theta, sd, means, sds, strict=True)}
    a = apparent_absorption_l_per_kg(means[2], USUAL_EXTRACT_YIELD, means[0])
    constants["absorption_l_per_kg"] = Estimate(a, sds[2], a, sds[2])
    seen = None
    obs = [mash_efficiency_by_readings(e, plain["kettle_loss_l"]) for e in ev]
    obs = [o.mean for o in obs if o]
    if ev:
        g = h.mash.grain_kg / h.mash.preboil_l; q = h.potential_kg / h.mash.preboil_l
        seen = SeenRange((float(g.min()), float(g.max())), (float(q.min()), float(q.max())))
    return Calibration(
        efficiency=EfficiencyPosterior(
            setup.lauter_method, setup.runnings, PARAMETERS, tuple(map(float, theta[:6])),
            tuple(tuple(map(float, row[:6])) for row in cov[:6]),
            (brew_var + MALT_LOT_LOG_SD**2) ** 0.5, 0.03,
        ),
        constants=constants,
        session_count=len(ev), seen=seen,
        average_efficiency=sum(obs) / len(obs) if obs else None,
    )
