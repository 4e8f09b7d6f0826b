"""Several brews of one recipe through the service."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from api.house import House, pointers
from api.test_blends import PAIR, first, mean
from planning.kit import pot_of

SET = {"setup": PAIR["setup"], "recipe": PAIR["recipe"], "packaged": "27 L", "brews": 3}


def test_a_set_adds_up_what_its_brews_need(house: House) -> None:
    made = house.made("/v1/brew-sets", SET)
    assert (made["to_brew"], made["brewed"], made["schedule"]) == (3, [], [])
    plan = made["plan"]
    assert plan["water"]["packaged"]["value"] == pytest.approx(9.0)
    assert made["grain"]["value"] == pytest.approx(3 * plan["grain"]["value"])
    assert made["hops"][0]["mass"]["value"] == pytest.approx(
        3 * plan["hop_bill"][0]["to_weigh"]["value"]
    )
    assert made["burner_time"]["value"] == 270.0
    assert made["packaged"]["value"] == pytest.approx(27.0)
    assert mean(made["blend"]["original_gravity"]) == pytest.approx(1.062, abs=5e-4)


def test_later_brews_make_up_for_what_the_first_missed(house: House) -> None:
    body = {**SET, "gravity": 1.062, "brewed": [first(1.056)]}
    made = house.made("/v1/brew-sets", body)
    assert made["to_brew"] == 2
    assert made["misses"] == []
    later = mean(made["plan"]["forecast"]["original_gravity"])
    # 9 L of 1.056 with 18 L of the later brews, by a balance of kilograms.
    blend = pot_of(1.056, 9.0).and_also(pot_of(later, 18.0))
    assert blend.gravity == pytest.approx(1.062, abs=5e-4)
    assert later == pytest.approx(1.065, abs=0.001)


def test_later_brews_are_planned_with_what_the_setup_has_learnt(house: House) -> None:
    setup = house.setup()["id"]
    body = {**{k: v for k, v in SET.items() if k != "setup"}, "setup_id": setup}
    before = house.made("/v1/brew-sets", body)["plan"]
    for day in range(1, 5):
        poor = [{"stage": "fermenter", "volume": "21 L", "gravity": 1.035}]
        house.session(setup, brewed_at=f"2026-03-0{day}T10:00:00Z", readings=poor, state="closed")
    after = house.made("/v1/brew-sets", body)["plan"]
    assert after["grain"]["value"] > 1.02 * before["grain"]["value"]


def test_brews_of_a_set_wait_for_a_free_fermenter(house: House) -> None:
    made = house.made("/v1/brew-sets", {**SET, "starts_at": "2026-05-02T09:00:00Z"})
    starts = [
        datetime.fromisoformat(brew["schedule"]["steps"][0]["at"]) for brew in made["schedule"]
    ]
    free = datetime.fromisoformat(made["schedule"][0]["schedule"]["fermenter_free_at"])
    assert starts[1] - starts[0] == timedelta(days=1)
    # The setup has two fermenters.
    assert starts[2] >= free


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"brews": 1, "brewed": [first(1.056)]}, "/brews"),
        ({"packaged": "9 L", "brewed": [first(1.056)]}, "/packaged"),
        ({"brews": 0}, "/brews"),
        ({"brewed": [{"volume": "3 L", "original_gravity": 1.05}]}, "/brewed/0/bitterness"),
    ],
)
def test_a_set_that_leaves_nothing_to_brew_is_refused_by_its_field(
    house: House, change: dict[str, Any], pointer: str
) -> None:
    answer = house.ask("POST", "/v1/brew-sets", {**SET, **change})
    assert answer.status_code == 422
    assert pointer in pointers(answer)
