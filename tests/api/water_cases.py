"""Waters, targets and a dark grist, and what to ask of their answers."""

from typing import Any

from api.house import House

PATH, FORECAST = "/v1/water-treatments", "/v1/mash-ph-forecasts"

# Reference: mg/L per g/L of the pure salts, from IUPAC atomic weights 2021.
PER_G = {
    "gypsum": {"calcium": 232.79, "sulfate": 557.93},
    "calcium_chloride_dihydrate": {"calcium": 272.62, "chloride": 482.29},
    "epsom_salt": {"magnesium": 98.61, "sulfate": 389.73},
    "table_salt": {"sodium": 393.39, "chloride": 606.61},
}

PURE = {"report": [{"of": "calcium", "value": 0, "unit": "mg/L"}]}

# The plan worked out in the reference: its source and target, 25 L.
SOURCE = {
    "report": [
        {"of": "calcium", "value": 60, "unit": "mg/L"},
        {"of": "magnesium", "value": 10, "unit": "mg/L"},
        {"of": "sodium", "value": 25, "unit": "mg/L"},
        {"of": "sulfate", "value": 70, "unit": "mg/L", "basis": "ion"},
        {"of": "chloride", "value": 40, "unit": "mg/L"},
        {"of": "alkalinity", "value": 150, "unit": "mg/L", "basis": "HCO3"},
    ]
}

IONS = {
    "calcium": "100 mg/L",
    "magnesium": "10 mg/L",
    "sodium": "20 mg/L",
    "sulfate": "150 mg/L",
    "chloride": "80 mg/L",
    "alkalinity": "60 mg/L HCO3",
}

SALTS = ["gypsum", "calcium chloride dihydrate", "MgSO4.7H2O", "NaCl", "baking_soda"]

PLAN: dict[str, Any] = {
    "source": SOURCE,
    "dilution": {},
    "target": {"ions": IONS},
    "salts": SALTS,
    "mash_water": "25 L",
    "scale_step": "0.001 g",
}

# The dark grist of the acceptance line; the water is invented.
DARK_WATER = {
    "report": [
        {"of": "calcium", "value": 60, "unit": "mg/L"},
        {"of": "magnesium", "value": 10, "unit": "ppm"},
        {"of": "sodium", "value": 55, "unit": "mg/L"},
        {"of": "sulfate", "value": 70, "unit": "mg/L", "basis": "ion"},
        {"of": "chloride", "value": 100, "unit": "mg/L"},
        {"of": "alkalinity", "value": 75, "unit": "mg/L", "basis": "CaCO3"},
    ]
}

DARK_GRIST = [
    {"name": "Pale ale malt", "mass": "4 kg"},
    {"name": "Dark crystal", "mass": "0.5 kg", "kind": "crystal_malt", "colour": "240 EBC"},
    {"name": "Roast barley", "mass": "0.5 kg", "malt_class": "black"},
]

DARK: dict[str, Any] = {
    "mash": {"grist": DARK_GRIST},
    "water": DARK_WATER,
    "water_volume": f"{3.15 * 5.0:g} L",
}


def treated(house: House, body: dict[str, Any]) -> Any:
    return house.made(PATH, body)["treatment"]


def exact_g(treatment: Any) -> list[float]:
    return [
        line["exact_mash"]["value"] + line["exact_sparge"]["value"] for line in treatment["salts"]
    ]


def codes(answer: Any, kind: str = "warnings") -> list[str]:
    return [entry["code"] for entry in answer[kind]]
