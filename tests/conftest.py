"""What all tests share: slow sweeps run only when asked for, and the browser must be there."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser

NOT_WANTED = (
    # The list under the address bar: two pages of the browser's own for each window, dearer than most of ours.
    "WebUIOmniboxPopup", "WebUIOmniboxFullPopup", "WebUIOmniboxAimPopup", "AimEnabled",
    # What Playwright leaves out: of two such lists the browser heeds the last one only.
    "AvoidUnnecessaryBeforeUnloadCheckSync", "DestroyProfileOnBrowserClose", "HttpsFirstBalancedModeAutoEnable",
    "HttpsUpgrades", "LensOverlay", "MediaRouter", "NetworkTimeServiceQuerying", "OptimizationHints", "PaintHolding",
    "PreconnectToSearch", "ThirdPartyStoragePartitioning",
)  # fmt: skip
BROWSER_FLAGS = [
    f"--disable-features={','.join(NOT_WANTED)}",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--enable-unsafe-swiftshader",
]

PATIENCE_MS = 20_000
"""So long may a page take to show something, several processes of tests beside: nothing is proven by less [ms]."""

# What a test judges is not kept for other tests: it may have been judged by parts that were changed for the test.
os.environ["QUINCUNX_ANSWERS"] = "none"

# A board of a test judges what is tried by itself, except where its processes are what is tested.
os.environ["QUINCUNX_JUDGES"] = "0"

# What is advised depends on the month it is; no test is to change with the calendar.
os.environ["QUINCUNX_TODAY"] = "2026-11-28"

# Sentences are folded to a terminal that says how wide it is; a test that looks at that says so itself.
os.environ.pop("COLUMNS", None)

# As the program itself does, before NumPy loads: the linear algebra's own threads only wait on each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# No test depends on how fast this machine is; where others check, none depends on chance.
settings.register_profile("quincunx", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("quincunx")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave slow tests out, unless ``-m`` or ``QUINCUNX_SLOW=1`` asks for them."""
    if config.option.markexpr or os.environ.get("QUINCUNX_SLOW") == "1":
        return
    slow = [item for item in items if item.get_closest_marker("slow")]
    config.hook.pytest_deselected(items=slow)
    items[:] = [item for item in items if item not in slow]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium without a window; where there is none the test fails and says what to do."""
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=PATIENCE_MS)
    program = os.environ.get("QUINCUNX_CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
    if program is None:
        pytest.fail("no Chromium found: run ./run test, or set QUINCUNX_CHROMIUM to its program")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=BROWSER_FLAGS)
        yield browser
        browser.close()
