"""The element on a recipe's page of the example site: how tests open it and wait for its plan."""

from typing import Any

from clients_web.club_site import ClubSite

STICK = "Slide to a volume"


def opened(page: Any, club: ClubSite, recipe: str = "long-night") -> Any:
    """Open a recipe's page and give its element, once it shows a plan."""
    page.goto(club.recipe(recipe))
    element = page.locator("wortwright-recipe")
    element.locator(".verdict").wait_for()
    return element


def headed(element: Any, text: str) -> None:
    """Wait until the plan shown is this one."""
    element.get_by_role("heading", name=text, exact=True).wait_for()
