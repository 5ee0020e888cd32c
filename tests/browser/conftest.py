"""The page in Debian's chromium, opened from file://, watched for errors and requests.

Only .ci/run runs these (``pytest -m browser``); without the extra ``browser`` they are not even
read. EVENROUND_CHROMIUM and EVENROUND_CHROMEDRIVER name other programs.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from importlib.util import find_spec
from typing import Any

import pytest
from watched import Open, Pages

collect_ignore_glob = [] if find_spec("selenium") else ["test_*.py"]


def program(variable: str, name: str) -> str:
    """A program's path; the test is skipped where it is not installed."""
    found = os.environ.get(variable) or shutil.which(name)
    if not found:
        pytest.skip(f"{name} is not installed")
    return found


@pytest.fixture(scope="session")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Pages:
    """Pages of the three kinds: one size, a family, sizes of which some cannot be made."""
    from page_reading import answers_of, example, with_family

    from evenround.tables.page import page

    bucket = example("bucket")
    stuck = bucket.replace("sector_range = [6, 16]", "sector_range = [8, 8]")
    folder, made = tmp_path_factory.mktemp("pages"), {}
    for name, text in (
        ("garden", example("garden")),
        ("family", with_family(bucket)),
        ("stuck", stuck),
    ):
        made[name] = folder / f"{name}.html"
        made[name].write_text(page(answers_of(text, best=10)), encoding="utf-8")
    return made


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """One browser for all tests."""
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = program("EVENROUND_CHROMIUM", "chromium")
    for flag in ("--headless=new", "--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = program("EVENROUND_CHROMEDRIVER", "chromedriver")
    browser = webdriver.Chrome(options=options, service=Service(driver))
    yield browser
    browser.quit()


@pytest.fixture
def opened(chromium: Any, pages: Pages) -> Open:
    """``opened("garden", width=360, dark=True)``: the browser with that page in it."""

    def load(name: str, *, width: int = 1280, dark: bool = False, script: bool = True) -> Any:
        size = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": False}
        # reduced motion, so that nothing is still scrolling when it is clicked
        features = [
            {"name": "prefers-color-scheme", "value": "dark" if dark else "light"},
            {"name": "prefers-reduced-motion", "value": "reduce"},
        ]
        chromium.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
        chromium.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "", "features": features})
        chromium.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": not script})
        chromium.get("about:blank")
        for kind in ("browser", "performance"):
            chromium.get_log(kind)
        chromium.get(pages[name].as_uri())
        return chromium

    return load
