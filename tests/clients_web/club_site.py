"""The example site and a service that holds the invented club, on ports of this machine."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from clients.served import served

WEB = Path(__file__).parents[2] / "clients" / "web"
CHROMIUM = Path("/usr/bin/chromium")
# Root has no sandbox to put the browser in; it opens pages of this machine only.
BROWSER_ARGUMENTS = ["--no-sandbox", "--disable-gpu"]
WIDTHS = (360, 768, 1200)
RECIPES = ("lock-keepers-bitter", "long-night")

sys.path.append(str(WEB / "example"))

import demo  # noqa: E402
import server  # noqa: E402


@dataclass(frozen=True)
class ClubSite:
    """Where the site and the service are, and the club's key."""

    site: str
    service: str
    key: str = field(repr=False)

    def recipe(self, name: str) -> str:
        """The address of a recipe's page."""
        return f"{self.site}/recipes/{name}"


@contextmanager
def club_site(folder: Path) -> Iterator[ClubSite]:
    """Serve both for a while."""
    with served(server.app) as site:
        app, key = demo.make_service(folder, site)
        with served(app) as service:
            server.app.config.update(SERVICE=service, KEY=key, SITE=site)
            yield ClubSite(site, service, key)
