"""Salts, acid and dilution through the service, against worked plans."""

import pytest

from api.house import House
from api.water_cases import PER_G, PLAN, PURE, SALTS, SOURCE, codes, exact_g, treated


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
