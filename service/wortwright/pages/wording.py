"""Words for what the API names by a code."""

from collections.abc import Mapping
from typing import Any

from wortwright.pages.amounts import amount

WHERE = {"kettle": "in the kettle", "fermenter": "in the fermenter", "package": "to package"}

_MOMENTS = {
    "mash": "into the mash",
    "first_wort": "into the first wort",
    "boil": "{time} before the end of the boil",
    "stand": "{time} of stand after the boil",
    "dry": "dry, into the fermenter",
}
MOMENTS_IN_ORDER = tuple(_MOMENTS)


def hop_moment(hop: Mapping[str, Any]) -> str:
    """Say when a hop addition goes in."""
    return _MOMENTS[hop["moment"]].format(time=amount(hop["time"]))
