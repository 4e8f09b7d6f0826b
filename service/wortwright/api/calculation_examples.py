"""Bodies of calculations shown in the contract. They are invented, and a test sends them all."""

from typing import Any

REPORT: list[dict[str, Any]] = [
    {"of": "calcium", "value": 60, "unit": "mg/L"},
    {"of": "magnesium", "value": 10, "unit": "mg/L"},
    {"of": "sodium", "value": 25, "unit": "mg/L"},
    {"of": "chloride", "value": 40, "unit": "mg/L"},
    {"of": "sulfate", "value": 70, "unit": "mg/L", "basis": "ion"},
    {"of": "alkalinity", "value": 6.9, "unit": "dH"},
]

WATER: dict[str, Any] = {"report": REPORT, "from_private_well": False}

MASH: dict[str, Any] = {
    "grist": [
        {"name": "Pale ale malt", "mass": "4.2 kg"},
        {"name": "Crystal 60 L", "mass": "250 g"},
    ],
    "temperature": "66 degC",
    "ph": {"target_ph": 5.4, "acid": "lactic", "acid_strength_by_mass": "80 %"},
}

WATER_AT_HAND: dict[str, Any] = {
    "source": WATER,
    "dilution": {},
    "target": {
        "ions": {
            "calcium": "100 mg/L",
            "magnesium": "10 mg/L",
            "sodium": "20 mg/L",
            "chloride": "80 mg/L",
            "sulfate": "150 mg/L",
            "alkalinity": "60 mg/L HCO3",
        }
    },
    "salts": ["gypsum", "CaCl2.2H2O", "epsom_salt", "table_salt", "baking_soda"],
    "scale_step": "0.1 g",
}

WATER_TREATMENT: dict[str, Any] = {
    **WATER_AT_HAND,
    "mash_water": "15 L",
    "sparge_water": "10 L",
    "mash": MASH,
}

MASH_PH_FORECAST: dict[str, Any] = {"mash": MASH, "water": WATER, "water_volume": "15 L"}

MASH_PH_CORRECTION: dict[str, Any] = {
    "acid_given": "3 mL",
    "ph_before": 5.62,
    "ph_after": 5.51,
    "target_ph": 5.4,
    "instrument": "meter",
}

YEAST: dict[str, Any] = {
    "kind": "ale",
    "temperature": "19 degC",
    "liquid": {"age": "30 d", "packs": 1, "cells_per_pack": "100 billion cells"},
    "starter": "stirred",
}

PITCH: dict[str, Any] = {"volume": "20 L", "original_gravity": 1.062, "yeast": YEAST}

STORED_HOPS: dict[str, Any] = {
    "name": "Challenger",
    "alpha": "7.5 %",
    "age": "9 month",
    "temperature": "4 degC",
    "packing": "airtight",
}

HOP_AGING: dict[str, Any] = {"hops": [STORED_HOPS]}

HOP_SUBSTITUTION: dict[str, Any] = {
    "mass": "30 g",
    "alpha": "7.5 %",
    "other_alpha": "11 %",
    "purpose": "bitterness",
}

FERMENTATION: dict[str, Any] = {
    "original_gravity": 1.062,
    "yeast": {"yeast_class": "medium"},
    "mash_temperature": "66 degC",
    "sugar_share": "0 %",
    "readings": [
        {"after": "7 d", "gravity": 1.019},
        {"after": "12 d", "gravity": 1.016},
        {"after": "16 d", "gravity": 1.016, "temperature": "20 degC"},
    ],
}

REFRACTOMETER_READING: dict[str, Any] = {
    "reading": "8.1 Brix",
    "original_reading": "15.6 Brix",
    "pairs": [
        {"reading": "12.4 Brix", "gravity": 1.048},
        {"reading": "15.6 Brix", "gravity": 1.0615},
        {"reading": "10.9 Brix", "gravity": 1.042},
    ],
}

PRIMING: dict[str, Any] = {
    "volume": "18.5 L",
    "carbonation": "2.3 volumes",
    "highest_temperature": "21 degC",
    "sugar": "sucrose",
}

BOTTLES: dict[str, Any] = {
    "carbonation": "2.3 volumes",
    "highest_temperature": "21 degC",
    "sugar": "sucrose",
    "bottle": "standard",
    "store_temperature": "22 degC",
}

BOTTLING: dict[str, Any] = {
    **BOTTLES,
    "volume": "18.5 L",
    "fermentation": FERMENTATION,
    "aged": "20 d",
}

KEG_PRESSURE: dict[str, Any] = {"temperature": "6 degC", "carbonation": "2.4 volumes"}

CONVERSION: dict[str, Any] = {"dimension": "gravity", "value": 1.065, "unit": "SG"}
