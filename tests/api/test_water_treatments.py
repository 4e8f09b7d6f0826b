from typing import Any

import pytest

from api.house import House, changed, pointers
from wortwright.api import calculation_examples as examples

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


def mash_ph_by_hand(
    calcium: float, magnesium: float, alkalinity_caco3: float, litres_per_kg: float
) -> float:
    """Bisect the balance of protons of a kilogram of the dark grist, species written out."""
    low, high = 4.0, 7.0
    carbon = alkalinity_caco3 / 50.043
    from_phosphate = calcium / 20.039 / 3.5 + magnesium / 12.1525 / 7.0
    while high - low > 1e-7:
        ph = (low + high) / 2.0
        bicarbonate = carbon * 4.446e-7 / (4.446e-7 + 10.0**-ph)
        wanted = litres_per_kg * (carbon - bicarbonate - from_phosphate)
        for share, distilled_ph, buffering in (
            (0.8, 5.70, 40.0),
            (0.1, 4.70, 45.0),
            (0.1, 4.60, 40.0),
        ):
            wanted += share * buffering * (distilled_ph - ph)
        low, high = (ph, high) if wanted > 0.0 else (low, ph)
    return ph


def test_the_dark_grist_gets_the_ph_that_a_balance_solved_by_hand_gives(house: House) -> None:
    answer = house.made(FORECAST, DARK)
    assert answer["ph"] == pytest.approx(mash_ph_by_hand(60.0, 10.0, 75.0, 3.15), abs=0.01)
    assert answer["low"] == pytest.approx(answer["ph"] - 0.2, abs=0.011)
    assert [malt["malt_class"] for malt in answer["malts"]] == ["pale", "crystal_dark", "black"]


def test_the_same_mash_in_a_treatment_without_a_target_gets_the_same_ph(house: House) -> None:
    body = {"source": DARK_WATER, "mash_water": DARK["water_volume"], "mash": DARK["mash"]}
    assert house.made(PATH, body)["mash_ph"]["ph"] == house.made(FORECAST, DARK)["ph"]


@pytest.mark.parametrize(
    ("path", "value", "sign"),
    [
        ("/water/report/0/value", 200, -1),
        ("/water/report/1/value", 80, -1),
        ("/water/report/5/value", 200, +1),
        ("/mash/grist/1/mass", "1.5 kg", -1),
        ("/mash/grist/2/mass", "1.5 kg", -1),
        ("/mash/grist/0/mass", "9 kg", +1),
        ("/water/report/2/value", 200, 0),
        ("/water/report/3/value", 200, 0),
        ("/water/report/4/value", 200, 0),
    ],
)
def test_mash_ph_moves_the_right_way_with_each_input(
    house: House, path: str, value: Any, sign: int
) -> None:
    before = house.made(FORECAST, DARK)["ph"]
    after = house.made(FORECAST, changed(DARK, path, value))["ph"]
    assert (after > before) - (after < before) == sign


def test_a_hot_mash_reads_lower_than_its_cooled_sample(house: House) -> None:
    # Briggs et al. 2004, p. 115 (quoted): 0.35 at 65 degC.
    answer = house.made(
        FORECAST, changed(DARK, "/mash", {**DARK["mash"], "temperature": "65 degC"})
    )
    assert answer["ph"] - answer["ph_in_hot_mash"] == pytest.approx(0.35, abs=0.011)


def test_acid_for_a_mash_in_distilled_water_is_the_worked_case(house: House) -> None:
    # Reference case 14: 5 kg, 5.75, B 40, to 5.40: 6.113 mL of lactic acid of 88 %.
    malt = {
        "name": "Lot 12",
        "mass": "5 kg",
        "distilled_water_ph": 5.75,
        "buffering_meq_per_kg_ph": 40,
    }
    ph = {"target_ph": 5.4, "acid": "lactic", "acid_strength_by_mass": "88 %"}
    body = {"mash": {"grist": [malt], "ph": ph}, "water": PURE, "water_volume": "15 L"}
    answer = house.made(FORECAST, body)
    assert answer["ph"] == 5.75
    assert answer["dose"]["acid"]["total"]["value"] == pytest.approx(6.113, rel=0.001)
    assert answer["dose"]["acid"]["first"]["value"] == pytest.approx(6.113 / 2.0, rel=0.001)
    assert answer["dose"]["base"] is None
    assert codes(answer, "cautions") == ["acid"]


def test_a_mash_below_its_target_gets_base_and_lime_its_caution(house: House) -> None:
    ph = {"target_ph": 5.6, "base": "slaked lime"}
    answer = house.made(FORECAST, changed(DARK, "/mash", {**DARK["mash"], "ph": ph}))
    assert answer["dose"]["agent"] == "slaked_lime"
    assert answer["dose"]["base"]["total"]["value"] > 0.0
    assert codes(answer, "cautions") == ["lime"]


@pytest.mark.parametrize(("instrument", "moves"), [("meter", True), ("strip", False)])
def test_meter_readings_teach_and_strips_do_not(house: House, instrument: str, moves: bool) -> None:
    reading = {"forecast_ph": 5.4, "read_ph": 5.55, "instrument": instrument}
    taught = changed(DARK, "/mash", {**DARK["mash"], "ph": {"readings": [reading] * 5}})
    before, after = house.made(FORECAST, DARK), house.made(FORECAST, taught)
    assert (after["ph"] > before["ph"]) is moves
    assert after["ph_by_balance"] == before["ph_by_balance"]
    assert after["readings_used"] == (5 if moves else 0)
    assert ("strips_left_out" in codes(after)) is not moves


def test_the_rest_of_a_dose_lies_on_the_line_through_both_readings(house: House) -> None:
    # 3 mL moved it by 0.10; 0.12 more is wanted.
    body = {"acid_given": "3 mL", "ph_before": 5.62, "ph_after": 5.52, "target_ph": 5.4}
    answer = house.made("/v1/mash-ph-corrections", body)
    assert answer["acid"] == {"value": pytest.approx(3.6), "unit": "mL"}
    assert answer["base"] is None


def test_readings_that_moved_the_wrong_way_give_no_dose(house: House) -> None:
    body = {"acid_given": "3 mL", "ph_before": 5.5, "ph_after": 5.6, "target_ph": 5.4}
    answer = house.ask("POST", "/v1/mash-ph-corrections", body)
    assert answer.status_code == 422
    assert pointers(answer) == ["/ph_after"]


def test_the_doses_that_made_a_reachable_target_are_found_again(house: House) -> None:
    made = {
        "gypsum": 0.20,
        "calcium_chloride_dihydrate": 0.15,
        "epsom_salt": 0.08,
        "table_salt": 0.03,
    }
    ions: dict[str, float] = dict.fromkeys(
        ("calcium", "magnesium", "sodium", "sulfate", "chloride"), 0.0
    )
    for name, grams in made.items():
        for ion, amount in PER_G[name].items():
            ions[ion] += grams * amount
    target = {ion: f"{amount} mg/L" for ion, amount in ions.items()}
    body = {**PLAN, "source": PURE, "dilution": None, "salts": list(made)}
    treatment = treated(house, {**body, "target": {"ions": target}, "mash_water": "10 L"})
    # The printed amounts carry two decimals.
    assert exact_g(treatment) == pytest.approx([10.0 * grams for grams in made.values()], rel=5e-4)
    assert treatment["reached"]


def test_the_worked_plan_with_the_share_of_the_source_free(house: House) -> None:
    treatment = treated(house, {**PLAN, "tolerance": "0.1 %"})
    assert treatment["kept_share"]["value"] == pytest.approx(0.0917, abs=1e-4)
    assert treatment["dilution_volume"]["value"] == pytest.approx(22.708, abs=0.005)
    assert exact_g(treatment) == pytest.approx([5.003, 4.031, 2.286, 0.0, 1.606], abs=0.01)
    assert treatment["mash_water"]["calcium"]["value"] == pytest.approx(96.05, abs=0.05)
    assert not treatment["reached"]
    assert "target_not_reached" in codes(treatment)


def test_no_more_is_diluted_than_the_tolerance_asks_for(house: House) -> None:
    kept = [
        treated(house, {**PLAN, "tolerance": f"{percent} %"})["kept_share"]["value"]
        for percent in (3, 5, 10, 20)
    ]
    assert kept == sorted(kept)
    assert 0.0917 < kept[0] < kept[-1] <= 1.0


def test_a_share_fixed_by_the_source_is_the_other_worked_plan(house: House) -> None:
    # The source diluted to two fifths by hand; nnls gave these grams in 25 L.
    lines = [{**line, "value": 0.4 * line["value"]} for line in SOURCE["report"]]
    body = {**PLAN, "source": {"report": lines}, "dilution": None}
    treatment = treated(house, body)
    assert exact_g(treatment)[:4] == pytest.approx([4.604, 2.630, 1.502, 0.613], rel=0.01)
    assert treatment["mash_water"]["calcium"]["value"] == pytest.approx(95.55, rel=0.01)


def test_doses_are_never_negative_and_scale_with_the_volume(house: House) -> None:
    once = exact_g(treated(house, {**PLAN, "mash_water": "10 L", "sparge_water": "7 L"}))
    thrice = exact_g(treated(house, {**PLAN, "mash_water": "30 L", "sparge_water": "21 L"}))
    assert min(once) >= 0.0
    assert thrice == pytest.approx([3.0 * grams for grams in once], abs=1e-9)


def test_a_source_above_its_target_is_left_alone_without_dilution(house: House) -> None:
    low = {ion: "1 mg/L" for ion in ("calcium", "magnesium", "sodium", "chloride", "sulfate")}
    treatment = treated(house, {**PLAN, "dilution": None, "target": {"ions": low}})
    assert exact_g(treatment) == [0.0] * len(SALTS)
    assert treatment["kept_share"]["value"] == 1.0


def test_what_is_weighed_is_what_the_scale_can_do(house: House) -> None:
    treatment = treated(house, {**PLAN, "scale_step": "0.5 g"})
    for line in treatment["salts"]:
        assert line["mash"]["value"] % 0.5 == 0.0
        assert abs(line["mash"]["value"] - line["exact_mash"]["value"]) <= 0.25 + 1e-9


def test_the_account_of_every_ion_adds_up(house: House) -> None:
    treatment = treated(house, {**PLAN, "mash_water": "15 L", "sparge_water": "10 L"})
    lines = [*treatment["ions"], treatment["alkalinity"]]
    assert len(lines) == 8
    for line in lines:
        parts = sum(part["amount"]["value"] for part in line["by_salt"])
        whole = line["from_water"]["value"] + parts
        assert line["in_mash"]["value"] == pytest.approx(whole, abs=1e-6)
    kept = treatment["kept_share"]["value"]
    assert lines[0]["from_water"]["value"] == pytest.approx(60.0 * kept, abs=1e-6)


def test_alkaline_salts_stay_out_of_the_sparge_water(house: House) -> None:
    body = {**PLAN, "tolerance": "0.1 %", "sparge_water": "10 L"}
    soda = treated(house, body)["salts"][-1]
    assert soda["exact_mash"]["value"] > 0.0
    assert soda["exact_sparge"]["value"] == 0.0


def test_a_balance_is_reached_by_its_own_measure(house: House) -> None:
    wanted = {"sulfate_to_chloride": 2.0, "residual_alkalinity": "0 mg/L CaCO3"}
    treatment = treated(house, {**PLAN, "target": {"balance": wanted}})
    assert treatment["reached"]
    water = treatment["mash_water"]
    assert water["sulfate_to_chloride"] == pytest.approx(2.0, rel=0.15)
    assert water["residual_alkalinity"]["value"] == pytest.approx(0.0, abs=10.0)


def test_the_imbalance_of_report_and_target_is_told(house: House) -> None:
    # Reference case 9 and its target: -1.405 % and +2.45 %.
    treatment = treated(house, PLAN)
    assert treatment["source_imbalance"]["value"] == pytest.approx(-0.01405, abs=5e-5)
    assert treatment["target_imbalance"]["value"] == pytest.approx(0.0245, abs=5e-5)
    assert "target_unbalanced" not in codes(treatment)


def test_a_target_that_no_salts_can_make_reports_its_imbalance(house: House) -> None:
    impossible = {**IONS, "sodium": "80 mg/L"}
    treatment = treated(house, {**PLAN, "target": {"ions": impossible}})
    # 60 mg/L of sodium are 2.610 meq/L beside 6.683 and 6.363.
    expected = (6.683 + 2.610 - 6.363) / (6.683 + 2.610 + 6.363)
    assert treatment["target_imbalance"]["value"] == pytest.approx(expected, abs=1e-4)
    assert "target_unbalanced" in codes(treatment)
    assert not treatment["reached"]


def test_a_report_whose_charges_do_not_cancel_is_doubted(house: House) -> None:
    lines = [line for line in SOURCE["report"] if line["of"] != "alkalinity"]
    assert "water_report_unbalanced" in codes(
        treated(house, {"source": {"report": lines}, "mash_water": "10 L"})
    )


# 100 mg/L as CaCO3 by the factors of the reference, section 1.3.
@pytest.mark.parametrize(
    ("value", "unit", "basis"),
    [
        (100.0, "mg/L", "CaCO3"),
        (100.0, "ppm", "CaCO3"),
        (121.93, "mg/L", "HCO3"),
        (1.9983, "meq/L", None),
        (1.9983, "mmol/L", None),
        (5.603, "dH", None),
        (10.0, "fH", None),
    ],
)
def test_alkalinity_is_read_as_laboratories_print_it(
    house: House, value: float, unit: str, basis: str | None
) -> None:
    line = {"of": "alkalinity", "value": value, "unit": unit, "basis": basis}
    treatment = treated(house, {"source": {"report": [line]}, "mash_water": "10 L"})
    assert treatment["source"]["alkalinity"] == {
        "value": pytest.approx(100.0, rel=2e-4),
        "unit": "mg/L CaCO3",
    }


def test_sulfate_as_sulfur_is_three_times_as_much_sulfate(house: House) -> None:
    line = {"of": "sulfate", "value": 10, "unit": "mg/L", "basis": "S"}
    treatment = treated(house, {"source": {"report": [line]}, "mash_water": "10 L"})
    assert treatment["source"]["sulfate"]["value"] == pytest.approx(29.96, abs=0.005)


@pytest.mark.parametrize("of", ["alkalinity", "sulfate", "nitrate", "total_hardness"])
def test_a_mass_that_does_not_say_its_basis_is_refused_with_those_accepted(
    house: House, of: str
) -> None:
    line = {"of": of, "value": 120, "unit": "mg/L"}
    answer = house.ask("POST", PATH, {"source": {"report": [line]}, "mash_water": "10 L"})
    assert answer.status_code == 422
    assert pointers(answer) == ["/source/report/0/basis"]
    assert answer.json["errors"][0]["accepted"]


@pytest.mark.parametrize(
    ("lines", "pointer"),
    [
        ([{"of": "sodium", "value": 5, "unit": "dH"}], "/source/report/0/unit"),
        ([{"of": "sodium", "value": 5, "unit": "mg/L", "basis": "S"}], "/source/report/0/basis"),
        ([{"of": "calcium", "value": 5, "unit": "mg/L"}] * 2, "/source/report"),
        ([{"of": "total_hardness", "value": 5, "unit": "dH"}], "/source/report"),
        ([], "/source/report"),
    ],
)
def test_a_report_that_makes_no_sense_is_refused_where_it_does_not(
    house: House, lines: list[Any], pointer: str
) -> None:
    answer = house.ask("POST", PATH, {"source": {"report": lines}, "mash_water": "10 L"})
    assert answer.status_code == 422
    assert pointers(answer) == [pointer]


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("calcium fluoride", "it is a fluoride"),
        ("CaF2", "it is a fluoride"),
        ("calcium chloride", "water of crystallisation must be said"),
        ("CaCl2", "water of crystallisation must be said"),
        ("caso4.2h2o", "not one of the salts known"),
        ("moon dust", "not one of the salts known"),
        ("chalk", "acts in the mash only"),
        ("slaked_lime", "acts in the mash only"),
    ],
)
def test_a_salt_that_is_not_one_formula_is_refused_by_name_with_the_reason(
    house: House, name: str, reason: str
) -> None:
    answer = house.ask("POST", PATH, {**PLAN, "salts": ["gypsum", name]})
    assert answer.status_code == 422
    assert pointers(answer) == ["/salts/1"]
    entry = answer.json["errors"][0]
    assert name in entry["detail"]
    assert reason in entry["detail"]
    assert "calcium_chloride_dihydrate" in entry["accepted"]


@pytest.mark.parametrize(
    ("place", "value"),
    [
        ("target", {}),
        ("target", {"ions": IONS, "balance": examples.WATER_AT_HAND["target"]}),
        ("mash_water", "0 L"),
        ("mash", {"grist": []}),
        ("mash", {"grist": [{"name": "Sucrose", "mass": "1 kg"}]}),
        ("mash", {"grist": [{"name": "Nobody knows", "mass": "1 kg"}]}),
    ],
)
def test_what_cannot_be_worked_out_is_refused_where_it_stands(
    house: House, place: str, value: Any
) -> None:
    answer = house.ask("POST", PATH, {**PLAN, place: value})
    assert answer.status_code == 422
    assert all(pointer.startswith(f"/{place}") for pointer in pointers(answer))


def test_harmful_water_carries_its_caution(house: House) -> None:
    line = {"of": "magnesium", "value": 130, "unit": "mg/L"}
    source = {"report": [line], "from_private_well": True}
    treatment = treated(house, {"source": source, "mash_water": "10 L"})
    assert codes(treatment, "cautions") == ["laxative_water", "private_well"]
    assert "magnesium_laxative" in codes(treatment)


def test_a_salt_at_its_cap_says_why_no_more_is_advised(house: House) -> None:
    wanted = {"ions": {"magnesium": "300 mg/L", "sulfate": "1200 mg/L"}}
    body = {**PLAN, "source": PURE, "target": wanted, "salts": ["epsom_salt"]}
    treatment = treated(house, {**body, "mash_water": "10 L"})
    assert exact_g(treatment) == pytest.approx([10.0])
    assert {"salt_at_most", "target_not_reached"} <= set(codes(treatment))
