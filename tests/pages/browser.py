"""A real browser on the pages: the system's Chromium, driven by Playwright, if both are here."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import pytest

CHROMIUM = "WORTWRIGHT_TEST_CHROMIUM"
PHONE = {"width": 390, "height": 800}


def chromium() -> str:
    """Where the browser is; without one the test is skipped and says why."""
    found = os.environ.get(CHROMIUM) or shutil.which("chromium") or shutil.which("chrome")
    if not found:
        pytest.skip(f"pages are not tried in a browser: no chromium, and {CHROMIUM} names none")
    return found


@contextmanager
def browser() -> Iterator[Any]:
    """Run the browser without a window."""
    reason = "pages are not tried in a browser: playwright is not installed"
    playwright = pytest.importorskip("playwright.sync_api", reason=reason)
    path = chromium()
    with playwright.sync_playwright() as driver:
        # Root, as in a container, has no sandbox to give.
        started = driver.chromium.launch(executable_path=path, args=["--no-sandbox"])
        try:
            yield started
        finally:
            started.close()


@dataclass
class Visit:
    """One page in a browser of its own, and everything it asked for or complained of."""

    page: Any
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)


@contextmanager
def visit(started: Any, **options: Any) -> Iterator[Visit]:
    """Open an empty page that is watched."""
    context = started.new_context(viewport=options.pop("viewport", PHONE), **options)
    seen = Visit(context.new_page())
    seen.page.on("request", lambda request: seen.asked.append(request.url))
    seen.page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    seen.page.on(
        "console",
        lambda said: seen.complaints.append(said.text) if said.type == "error" else None,
    )
    try:
        yield seen
    finally:
        context.close()
