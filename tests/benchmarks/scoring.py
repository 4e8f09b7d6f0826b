"""Errors of forecasts in points, as ratios with bootstrap intervals, beside their bars."""

import numpy as np

from benchmarks.brewhouse import gravity_of
from wortwright.calibration.posterior import MashPlan
from wortwright.records.setup import LauterMethod

BOILED_AWAY = 0.15
SEED = 20251


def ratio(errors, reference, resamples=1000):
    errors, reference = np.abs(errors), np.abs(reference)
    draws = np.random.default_rng(1).integers(len(errors), size=(resamples, len(errors)))
    spread = errors[draws].mean(axis=1) / reference[draws].mean(axis=1)
    return errors.mean() / reference.mean(), *np.quantile(spread, (0.025, 0.975))


def mash_plan(house, plan, known):
    """What the brewer tells before the brew; the strike water where it is a choice."""
    strike_l = None if house.method is LauterMethod.NO_SPARGE else known.strike_l
    return MashPlan(plan.grain_kg, plan.extract_yield, plan.preboil_l, strike_l)


def points(extract_kg, plan):
    postboil_l = (1.0 - BOILED_AWAY) * plan.preboil_l
    return 1000.0 * (gravity_of(extract_kg / postboil_l) - 1.0)


def share(flags):
    """Share of true flags with its 95 % interval."""
    held = np.array(flags, dtype=float)
    half = 1.96 * np.sqrt(held.mean() * (1.0 - held.mean()) / len(held))
    return held.mean(), held.mean() - half, held.mean() + half


def figure(triple, form="{:.2f}"):
    return f"{form} [{form}, {form}]".format(*triple)


def bar(label, measured, form="{:.2f}", least=-np.inf, most=np.inf):
    """Print a bar beside what was measured."""
    verdict = "met" if least <= measured[0] <= most else "NOT MET"
    wanted = f"at least {least:.2f}" if most == np.inf else f"at most {most:.2f}"
    print(f"  {label:36s} {wanted}: {figure(measured, form)}  {verdict}")
