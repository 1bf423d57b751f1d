"""One JupyterLab for the run, one Chromium for each module."""

from __future__ import annotations

import importlib.util
import os
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from tests.browser.lab import Lab, LabPage, chromium, launch, open_page

if TYPE_CHECKING:
    from playwright.sync_api import Browser


def _missing(what: str) -> None:
    """Fail where the browser is required (CI), and say in the skip what is absent elsewhere."""
    if os.environ.get("CI", "").lower() in {"1", "true", "yes"}:
        pytest.fail(f"{what}; with CI set the browser tests are required", pytrace=False)
    pytest.skip(f"{what}: nothing was tried in a browser")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what needs a browser, so that `-m 'not browser'` leaves it out."""
    for item in items:
        if "page" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """Where Chromium is."""
    if importlib.util.find_spec("playwright") is None:
        _missing("playwright is not installed")
    found = chromium()
    if found is None:
        _missing("no Chromium found (looked for chromium, chromium-browser, google-chrome, and the variable CHROMIUM)")
    assert found is not None
    return found


@pytest.fixture(scope="session")
def lab(chromium_path: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """A JupyterLab on a copy of the project; asked for after the browser, so that a skip starts no server."""
    with Lab(tmp_path_factory.mktemp("lab")) as server:
        yield server


@pytest.fixture(scope="module")
def browser(chromium_path: str) -> Iterator[Browser]:
    """A Chromium; closed with its module, because its event loop would disturb the kernels of later tests."""
    with launch(chromium_path) as running:
        yield running


@pytest.fixture
def page(lab: Lab, browser: Browser) -> Iterator[LabPage]:
    """A fresh page of the JupyterLab."""
    with open_page(lab, browser) as fresh:
        yield fresh
