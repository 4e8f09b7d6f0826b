"""Bodies shown in the contract. They are invented, and a test sends every one of them."""

from typing import Any

CLUB_OR_BREWER_ID = "019a0000-0000-7000-8000-000000000001"

BREWER: dict[str, Any] = {"name": "Ada Millrace", "units": "metric"}

KEY: dict[str, Any] = {"kind": "club", "name": "Recipe site"}

LINK: dict[str, Any] = {"name": "Taped to the kettle"}

RECIPE: dict[str, Any] = {
    "name": "Sluice Gate Barley Wine",
    "volume": "20 L",
    "volume_at": "fermenter",
    "efficiency": "78 %",
    "efficiency_kind": "mash",
    "original_gravity": 1.092,
    "final_gravity": 1.022,
    "bitterness": "62 IBU",
    "boil_time": "90 min",
    "mash": [{"temperature": "66 degC", "time": "75 min"}],
    "yeast": {"name": "English ale", "apparent_attenuation": "75 %"},
    "style": "Barley wine",
    "grist": [
        {"name": "Pale ale malt", "mass": "7.2 kg"},
        {"name": "Crystal 60 L", "mass": "400 g"},
        {"name": "Invert syrup", "mass": "500 g"},
    ],
    "hop_bill": [
        {
            "name": "Challenger",
            "mass": "75 g",
            "alpha": "7.5 %",
            "moment": "boil",
            "time": "60 min",
        },
        {"name": "Fuggle", "mass": "30 g", "moment": "boil", "time": "5 min"},
    ],
}

RECIPE_BY_SHARES: dict[str, Any] = {
    "name": "Tail Race Pale",
    "volume": {"value": 5, "unit": "US gal"},
    "original_gravity": "12.5 degP",
    "bitterness": "38 IBU",
    "grist": [
        {"name": "Two-row pale malt", "share": "92 %", "share_of": "mass"},
        {"name": "Crystal 40 L", "share": "8 %", "share_of": "mass"},
    ],
    "hop_bill": [
        {"name": "Cascade", "bitterness": "30 IBU", "moment": "boil", "time": "60 min"},
        {"name": "Cascade", "mass": "1 oz", "moment": "dry"},
    ],
}

SETUP: dict[str, Any] = {
    "name": "Kettle with a bag",
    "lauter_method": "no_sparge",
    "grain_held_by": "bag",
    "bag_drained": "hung",
    "crush": "shop",
    "vessels": {
        "kettle": {"capacity": "35 L", "inner_diameter": "350 mm"},
        "fermenters": [{"capacity": "27 L"}, {"capacity": "27 L"}],
        "ageing": [{"capacity": "10 L", "foam_room": "0 %"}],
    },
    "constants": {"boil_off": "3.2 L/h"},
}

CHANGE: dict[str, Any] = {"on": "2026-05-02", "what": "mill", "note": "Rollers set to 1.0 mm"}

READING: dict[str, Any] = {
    "stage": "pre_boil",
    "volume": "27.5 L",
    "volume_temperature": "65 degC",
    "gravity": 1.041,
    "gravity_temperature": "20 degC",
    "instrument": "hydrometer",
}

SESSION: dict[str, Any] = {
    "brewed_at": "2026-03-07T10:00:00Z",
    "grist": [
        {"name": "Pale ale malt", "mass": "4.2 kg"},
        {"name": "Crystal 60 L", "mass": "250 g"},
    ],
    "planned_preboil_volume": "26 L",
    "water": {"strike": "30 L"},
    "mash": [{"temperature": "66 degC", "time": "60 min"}],
    "grain_temperature": "18 degC",
    "boil_time": "60 min",
    "yeast": {"name": "English ale yeast", "apparent_attenuation": "72 %"},
    "readings": [
        {"stage": "first_wort", "gravity": 1.043},
        {"stage": "fermenter", "volume": "21 L", "gravity": 1.046},
    ],
    "state": "open",
}

TRUSTING: dict[str, Any] = {"reason": "Read twice, with two hydrometers."}

SETTING_ASIDE: dict[str, Any] = {"reason": "The hydrometer turned out to be cracked."}

TARGET: dict[str, Any] = {"volume": "20 L", "volume_at": "fermenter"}

SCALING: dict[str, Any] = {
    "setup": SETUP,
    "recipe": RECIPE,
    "target": TARGET,
    "preferences": {"grist_policy": "keep_character", "bitterness_formula": "tinseth"},
}

EXPORT: dict[str, Any] = {
    "format_version": 1,
    "brewer": {
        "row": {
            "id": CLUB_OR_BREWER_ID,
            "created_at": "2026-03-01T10:00:00+00:00",
            "updated_at": "2026-03-01T10:00:00+00:00",
        },
        "value": BREWER,
    },
    "setups": [],
    "calibrations": [],
    "recipes": [],
    "scalings": [],
    "sessions": [],
}
