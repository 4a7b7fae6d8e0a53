"""What all tests share: Hypothesis profiles and a real browser."""

import os
import shutil
from pathlib import Path

import pytest
from hypothesis import settings

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
BROWSER_ARGUMENTS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]

# The same examples on every run; `make soak` looks for new ones.
settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("soak", max_examples=2000, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """A test that asks for the browser carries the marker, whether or not it says so."""
    for item in items:
        if "browser" in getattr(item, "fixturenames", ()):
            item.add_marker("browser")


def browser_on_path() -> str | None:
    """The Chromium the tests drive; the names are those of tools/chromium.sh."""
    return next(filter(None, map(shutil.which, BROWSERS)), None)


@pytest.fixture(scope="session")
def browser():
    """One Chromium for the session. Take `page` unless the test needs contexts of its own."""
    from playwright.sync_api import sync_playwright

    path = browser_on_path()
    if path is None:
        pytest.fail(f"No Chromium on PATH (looked for {', '.join(BROWSERS)}): install the package chromium.")
    with sync_playwright() as driver:
        chromium = driver.chromium.launch(executable_path=path, args=BROWSER_ARGUMENTS)
        yield chromium
        chromium.close()


@pytest.fixture
def page(browser):
    """A fresh page. Fails the test on a script error or a request that leaves this machine."""
    context = browser.new_context()
    context.set_default_timeout(10_000)
    fresh = context.new_page()
    troubles: list[str] = []
    fresh.on("pageerror", lambda error: troubles.append(f"script error: {error}"))
    fresh.on("request", lambda request: troubles.extend(_strays(request.url)))
    yield fresh
    context.close()
    assert not troubles, "; ".join(troubles)


def _strays(url: str) -> list[str]:
    local = ("data:", "blob:", "file:", "about:", "http://127.0.0.1:", "http://localhost:")
    return [] if url.startswith(local) else [f"request to {url}"]


@pytest.fixture(scope="session")
def checkout() -> Path:
    """The root of the checkout."""
    return Path(__file__).parents[1]
