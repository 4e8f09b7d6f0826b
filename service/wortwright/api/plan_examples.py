"""Bodies of plans shown in the contract. They are invented, and a test sends them all."""

from typing import Any

from wortwright.api.examples import RECIPE, SETUP, TARGET

_HOUSE: dict[str, Any] = {"setup": SETUP, "recipe": RECIPE}

FIRST: dict[str, Any] = {
    "name": "Sluice Gate Barley Wine, first half",
    "volume": "9.5 L",
    "original_gravity": 1.086,
    "final_gravity": 1.021,
    "bitterness": "58 IBU",
    "colour": "28 EBC",
}

BLEND: dict[str, Any] = {
    "lots": [
        FIRST,
        {
            "name": "Lock Keeper's Bitter",
            "volume": "18 L",
            "original_gravity": 1.044,
            "original_gravity_interval_80": {"low": 1.042, "high": 1.046},
            "apparent_attenuation": "76 %",
            "bitterness": "32 IBU",
            "colour": "20 EBC",
        },
    ],
    "volume": "19 L",
    "wanted": {"original_gravity": 1.062, "bitterness": "42 IBU"},
}

SECOND_BREW: dict[str, Any] = {
    **_HOUSE,
    "first": FIRST,
    "second_volume": "9.5 L",
    "wanted": {"original_gravity": 1.090, "bitterness": "60 IBU"},
}

BREW_SET: dict[str, Any] = {
    **_HOUSE,
    "packaged": "28 L",
    "brews": 3,
    "gravity": 1.090,
    "brewed": [FIRST],
    "starts_at": "2026-05-02T09:00:00Z",
}

RECIPE_AUDIT: dict[str, Any] = {
    "recipe": {**RECIPE, "style": "17D"},
    "bitterness_formula": "tinseth",
}

VESSEL_CHAIN: dict[str, Any] = {**_HOUSE, "packaged": "9 L", "cellar_temperature": "12 degC"}

SMALL_BEER: dict[str, Any] = {**_HOUSE, "target": TARGET, "rinse": "12 L", "boil_time": "45 min"}
