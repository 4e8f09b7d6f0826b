"""Words for what the API names by a code."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from wortwright.pages.amounts import amount

WHERE = {"kettle": "in the kettle", "fermenter": "in the fermenter", "package": "to package"}

STAGES = {
    "strike_water": "strike water",
    "mash_in": "mashed in",
    "mash_end": "end of the mash",
    "first_wort": "first wort",
    "pre_boil": "before the boil",
    "mid_boil": "in the boil",
    "post_boil": "after the boil",
    "fermenter": "in the fermenter",
    "final": "fermented out",
    "packaged": "packaged",
}

_MOMENTS = {
    "mash": "into the mash",
    "first_wort": "into the first wort",
    "boil": "{time} before the end of the boil",
    "stand": "{time} of stand after the boil",
    "dry": "dry, into the fermenter",
}


def hop_moment(hop: Mapping[str, Any]) -> str:
    """Say when a hop addition goes in."""
    said = _MOMENTS[hop["moment"]].format(time=amount(hop["time"]))
    cooled = hop["moment"] == "stand" and hop["temperature"] is not None
    return f"{said}, at {amount(hop['temperature'])}" if cooled else said


def day_of(at: str) -> str:
    """Write the day of a time of the wire: ``3 March 2026``."""
    time = datetime.fromisoformat(at)
    return f"{time.day} {time:%B %Y}"


def listed(words: list[str], joint: str = "and") -> str:
    """Join words as a sentence does: ``a``, ``a and b``, ``a, b and c``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {joint} {words[-1]}"
