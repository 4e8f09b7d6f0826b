"""What a laboratory prints of a water is read as it is meant, or refused by name."""

from typing import Any

import pytest

from api.house import House, pointers
from api.water_cases import IONS, PATH, PLAN, SOURCE, codes, treated
from wortwright.api import calculation_examples as examples


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
