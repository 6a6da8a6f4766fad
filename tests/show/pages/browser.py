"""Chromium without a window, when the machine has it with its driver."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
DRIVER = shutil.which("chromedriver")

needs_browser = pytest.mark.skipif(
    CHROMIUM is None or DRIVER is None,
    reason="chromium and chromedriver are not on the PATH: what a browser shows is left out",
)

FLAGS = (
    "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
    "--disable-component-update", "--no-first-run", "--disable-dev-shm-usage", "--hide-scrollbars",
)  # fmt: skip


class Browser:
    """A page in a browser that has no network."""

    def __init__(self, driver: Any) -> None:
        self.driver = driver

    def open(self, page: Path, part: str = "") -> None:
        """Open a file, wait until it has drawn."""
        self.driver.get(page.resolve().as_uri() + part)
        self.wait("return document.body.dataset.drawn")

    def run(self, script: str, *given: object) -> Any:
        """What a script returns."""
        return self.driver.execute_script(script, *given)

    def wait(self, script: str, seconds: float = 20.0) -> Any:
        """Wait until a script returns something that counts as true."""
        from selenium.webdriver.support.ui import WebDriverWait

        return WebDriverWait(self.driver, seconds, 0.05).until(lambda d: d.execute_script(script))

    def size(self, width: int, height: int) -> None:
        """Set the size of what is seen."""
        told = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", told)

    def complaints(self) -> list[str]:
        """What the console has been told of errors since the last look."""
        return [line["message"] for line in self.driver.get_log("browser") if line["level"] == "SEVERE"]

    def requests(self) -> list[str]:
        """Addresses asked for since the last look, but for the page's own file and what it holds."""
        told = [json.loads(line["message"])["message"] for line in self.driver.get_log("performance")]
        asked = [
            one["params"]["request"]["url"] for one in told if one["method"] == "Network.requestWillBeSent"
        ]
        return [url for url in asked if not url.startswith(("file:", "blob:", "data:"))]


@contextmanager
def browser(width: int = 360, height: int = 740) -> Iterator[Browser]:
    """Start a browser with its network off, and end it."""
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = str(CHROMIUM)
    for flag in FLAGS:
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=Service(DRIVER))
    try:
        driver.execute_cdp_cmd("Network.enable", {})
        driver.execute_cdp_cmd(
            "Network.emulateNetworkConditions",
            {"offline": True, "latency": 0, "downloadThroughput": 0, "uploadThroughput": 0},
        )
        found = Browser(driver)
        found.size(width, height)
        yield found
    finally:
        driver.quit()
