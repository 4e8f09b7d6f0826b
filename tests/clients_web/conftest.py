"""The club's site in a real browser."""

from collections.abc import Iterator
from typing import Any

import pytest

from clients_web.club_site import BROWSER_ARGUMENTS, CHROMIUM, ClubSite, club_site


@pytest.fixture(scope="session")
def club(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ClubSite]:
    with club_site(tmp_path_factory.mktemp("club")) as found:
        yield found


@pytest.fixture(scope="module")  # not longer: only one driver may run at a time
def browser() -> Iterator[Any]:
    playwright = pytest.importorskip("playwright.sync_api", reason="Playwright is not installed")
    if not CHROMIUM.exists():
        pytest.skip(f"no browser: there is no {CHROMIUM}")
    with playwright.sync_playwright() as running:
        opened = running.chromium.launch(executable_path=CHROMIUM, args=BROWSER_ARGUMENTS)
        yield opened
        opened.close()


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """A page of a browser that has been nowhere; a fault in a page's script fails the test."""
    context = browser.new_context(viewport={"width": 900, "height": 900})
    opened = context.new_page()
    faults: list[str] = []
    opened.on("pageerror", lambda fault: faults.append(str(fault)))
    opened.set_default_timeout(30_000)
    yield opened
    context.close()
    assert faults == []
