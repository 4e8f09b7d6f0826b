from concurrent.futures import ThreadPoolExecutor

import pytest

from factories import recipe
from usecases.house import House
from wortwright.store.stored import NotFoundError, StaleVersionError
from wortwright.usecases.recipes import delete_recipe, get_recipe, list_recipes, replace_recipe


def test_of_writers_who_read_the_same_version_one_wins(house: House) -> None:
    stored = house.recipe()

    def write(number: int) -> bool:
        try:
            replace_recipe(house.work, stored.id, stored.version, recipe(f"Beer {number}"))
        except StaleVersionError:
            return False
        return True

    with ThreadPoolExecutor(4) as pool:
        won = list(pool.map(write, range(8)))
    assert won.count(True) == 1
    now = get_recipe(house.database, house.caller, stored.id)
    assert now.version == stored.version + 1
    assert now.value.name == f"Beer {won.index(True)}"


def test_a_change_keeps_the_day_of_making_and_notes_its_own(house: House) -> None:
    stored = house.recipe()
    changed = replace_recipe(house.work, stored.id, 1, recipe("Other"))
    assert changed.created_at == stored.created_at
    assert changed.updated_at > stored.updated_at


def test_what_another_has_changed_is_not_deleted(house: House) -> None:
    stored = house.recipe()
    replace_recipe(house.work, stored.id, 1, recipe("Other"))
    with pytest.raises(StaleVersionError):
        delete_recipe(house.work, stored.id, 1)
    delete_recipe(house.work, stored.id, 2)
    with pytest.raises(NotFoundError):
        get_recipe(house.database, house.caller, stored.id)


def test_a_list_is_stable_while_it_grows(house: House) -> None:
    first = [house.recipe().id for _ in range(3)]
    page = list_recipes(house.database, house.caller, None, 2)
    house.recipe()
    rest = list_recipes(house.database, house.caller, page.items[-1].id, 2)
    assert [one.id for one in (*page.items, *rest.items)] == first[::-1]
    assert (page.has_more, rest.has_more) == (True, False)
