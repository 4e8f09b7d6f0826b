"""Take pictures of the example site: ``python tests/clients_web/screenshots.py FOLDER``."""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from playwright.sync_api import sync_playwright

from clients_web.club_site import BROWSER_ARGUMENTS, CHROMIUM, RECIPES, WIDTHS, club_site


def take(folder: Path) -> None:
    """Take one picture of each recipe at each width."""
    with (
        tempfile.TemporaryDirectory() as made_in,
        club_site(Path(made_in)) as club,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=BROWSER_ARGUMENTS)
        page = browser.new_page()
        for recipe in RECIPES:
            page.goto(club.recipe(recipe))
            page.locator("wortwright-recipe .verdict").wait_for()
            for width in WIDTHS:
                page.set_viewport_size({"width": width, "height": 900})
                page.screenshot(path=folder / f"{recipe}-{width}.png", full_page=True)
        browser.close()


if __name__ == "__main__":
    wanted = Path(sys.argv[1])
    wanted.mkdir(parents=True, exist_ok=True)
    take(wanted)
