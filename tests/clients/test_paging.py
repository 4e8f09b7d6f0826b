from itertools import islice

import pytest

from clients.flaky import Flaky
from wortwright_client import Client

NAMES = ("Ada Millrace", "Ben Weir", "Cleo Lock", "Dan Sluice", "Eve Race")


@pytest.fixture
def brewers(club: Client) -> set[str]:
    return {club.create_brewer({"name": name}).id for name in NAMES}


@pytest.mark.parametrize("page_size", [1, 2, 5, 6, None])
def test_list_gives_everything_once_whatever_the_page(
    club: Client, brewers: set[str], page_size: int | None
) -> None:
    found = [brewer.id for brewer in club.list_brewers(page_size=page_size)]
    assert len(found) == len(NAMES)
    assert set(found) == brewers


def test_pages_are_asked_for_as_they_are_needed(
    club: Client, flaky: Flaky, brewers: set[str]
) -> None:
    flaky.requests.clear()
    listed = club.list_brewers(page_size=2)
    asked = []
    for count in (0, 2, 1):
        assert len(list(islice(listed, count))) == count
        asked.append(len(flaky.requests))
    assert asked == [0, 1, 2]


def test_filter_and_units_hold_on_every_page(club: Client, flaky: Flaky) -> None:
    for name in NAMES:
        club.create_recipe(
            {
                "owner": "club",
                "name": name,
                "volume": "20 L",
                "original_gravity": 1.044,
                "grist": [{"name": "Pale ale malt", "mass": "4 kg"}],
            }
        )
    units = {recipe.volume.unit for recipe in club.list_recipes(page_size=2, units="imperial")}
    assert units == {"imp gal"}
