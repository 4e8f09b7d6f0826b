"""How wide an interval is."""

from statistics import NormalDist

SCORE_80 = NormalDist().inv_cdf(0.9)
"""Standard deviations from the mean to either end of an interval that holds 80 %."""
