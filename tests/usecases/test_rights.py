"""The table of the contract: who may do what."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any
from uuid import UUID

import pytest

from factories import SETUP, recipe, session
from usecases.house import House
from wortwright.records.brewer import Brewer
from wortwright.records.session import Reading, Stage
from wortwright.store.stored import NotFoundError
from wortwright.usecases import brew_days, brewers, recipes, scalings, sessions, setups
from wortwright.usecases.callers import Caller, KeyKind
from wortwright.usecases.rights import NotAllowedError
from wortwright.usecases.scalings import ScalingAsked

READING = Reading(Stage.MID_BOIL, gravity=1.043)

Act = Callable[["Things", Caller], Any]


class Things:
    """One of everything, a brewer's own and the club's."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.brewer_id: UUID = house.brewer.id
        self.setup = house.setup()
        self.recipe = house.recipe(house.brewer.id)
        self.club_recipe = house.recipe()
        self.session = sessions.create_session(house.work, self.setup.id, None, session())
        asked = ScalingAsked(self.setup.id, self.recipe.id)
        self.scaling = scalings.create_scaling(house.work, asked)


@pytest.fixture
def things(house: House) -> Things:
    return Things(house)


READS: dict[str, Act] = {
    "brewer": lambda t, c: brewers.get_brewer(t.house.database, c, t.brewer_id),
    "setup": lambda t, c: setups.get_setup(t.house.database, c, t.setup.id),
    "recipe": lambda t, c: recipes.get_recipe(t.house.database, c, t.recipe.id),
    "session": lambda t, c: sessions.get_session(t.house.database, c, t.session.id),
    "scaling": lambda t, c: scalings.get_scaling(t.house.database, c, t.scaling.id),
    "scale": lambda t, c: scalings.compute_scaling(
        t.house.database, c, ScalingAsked(t.setup.id, t.recipe.id)
    ),
    "reading": lambda t, c: brew_days.add_reading(t.house.working(c), t.session.id, READING),
}
OWN_WRITES: dict[str, Act] = {
    "rename": lambda t, c: brewers.replace_brewer(
        t.house.working(c), t.brewer_id, 1, Brewer("Ada M.")
    ),
    "setup": lambda t, c: setups.create_setup(t.house.working(c), t.brewer_id, SETUP),
    "recipe": lambda t, c: recipes.create_recipe(t.house.working(c), t.brewer_id, recipe()),
    "change recipe": lambda t, c: recipes.replace_recipe(
        t.house.working(c), t.recipe.id, 1, recipe("Other")
    ),
    "session": lambda t, c: sessions.create_session(
        t.house.working(c), t.setup.id, None, session()
    ),
    "close": lambda t, c: sessions.close_session(t.house.working(c), t.session.id),
    "drop scaling": lambda t, c: scalings.delete_scaling(t.house.working(c), t.scaling.id, 1),
}
CLUB_WRITES: dict[str, Act] = {
    "brewer": lambda t, c: brewers.create_brewer(t.house.working(c), Brewer("Bo Weir")),
    "club recipe": lambda t, c: recipes.create_recipe(t.house.working(c), None, recipe()),
    "change club recipe": lambda t, c: recipes.replace_recipe(
        t.house.working(c), t.club_recipe.id, 1, recipe("Other")
    ),
}


def allowed(act: Act, things: Things, caller: Caller) -> bool:
    try:
        act(things, caller)
    except (NotAllowedError, NotFoundError):
        return False
    return True


@pytest.mark.parametrize(
    ("kind", "reads", "writes", "runs_club"),
    [
        (KeyKind.CLUB, True, True, True),
        (KeyKind.BREWER, True, True, False),
        (KeyKind.PAGE, True, False, False),
        (KeyKind.LINK, False, False, False),
    ],
)
def test_each_kind_of_key_may_do_what_the_contract_says(
    things: Things, kind: KeyKind, reads: bool, writes: bool, runs_club: bool
) -> None:
    caller = things.house.caller
    if kind is not KeyKind.CLUB:
        caller = replace(caller, kind=kind, brewer_id=things.brewer_id)
    for acts, may in ((READS, reads), (OWN_WRITES, writes), (CLUB_WRITES, runs_club)):
        found = {name: allowed(act, things, caller) for name, act in acts.items()}
        assert found == dict.fromkeys(acts, may)


def test_another_brewer_finds_nothing_but_the_clubs_recipes(things: Things) -> None:
    other = brewers.create_brewer(things.house.work, Brewer("Bo Weir"))
    caller = things.house.as_brewer(brewer_id=other.id)
    for act in (*READS.values(), *OWN_WRITES.values()):
        with pytest.raises(NotFoundError):
            act(things, caller)
    read = recipes.get_recipe(things.house.database, caller, things.club_recipe.id)
    assert read == things.club_recipe


def test_another_club_finds_nothing_at_all(things: Things) -> None:
    stranger = House(things.house.database, "Weir Street").caller
    for act in (*READS.values(), *OWN_WRITES.values(), CLUB_WRITES["change club recipe"]):
        with pytest.raises(NotFoundError):
            act(things, stranger)


def test_deleting_a_brewer_takes_everything_of_theirs_and_nothing_else(things: Things) -> None:
    key = things.house.as_brewer()
    house = things.house
    brewers.delete_brewer(house.work, things.brewer_id, 1)
    for act in READS.values():
        with pytest.raises(NotFoundError):
            act(things, house.caller)
    with pytest.raises(NotFoundError):
        brewers.get_brewer(house.database, key, things.brewer_id)
    kept = recipes.list_recipes(house.database, house.caller, None, 10)
    assert [one.id for one in kept.items] == [things.club_recipe.id]
