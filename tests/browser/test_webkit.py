"""The app in WebKit, the engine nearest to an iPhone's that runs here.

WebKitGTK's MiniBrowser, driven by selenium on a display of its own (xvfb). It has no fake
camera and says nothing about home-screen apps; those stand on the list of what to try on a
phone.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import warnings
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from selenium import webdriver
from selenium.common.exceptions import TimeoutException
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webdriver import WebDriver
from selenium.webdriver.support.wait import WebDriverWait
from selenium.webdriver.webkitgtk.options import Options
from selenium.webdriver.webkitgtk.service import Service

from helpers import lan
from helpers.live import LiveServer
from helpers.trust import certificate_shown

DRIVER = "/usr/bin/WebKitWebDriver"
SYSTEM_LIST = "/etc/ssl/certs/ca-certificates.crt"
PATIENCE = 40
"""Seconds; two cores are shared by many."""


def mini_browser() -> str:
    """The MiniBrowser that belongs to the driver."""
    found = sorted(Path("/usr/lib").glob("*/webkit2gtk-4.1/MiniBrowser"))
    assert found, "MiniBrowser is missing: install the package webkit2gtk-driver"
    return str(found[0])


@pytest.fixture(scope="module")
def display(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """An X display that nobody sees."""
    xvfb = shutil.which("Xvfb")
    assert xvfb, "Xvfb is missing: install the package xvfb"
    reading, writing = os.pipe()
    process = subprocess.Popen(
        [xvfb, "-displayfd", str(writing), "-screen", "0", "800x1000x24", "-nolisten", "tcp"],
        pass_fds=[writing], stderr=subprocess.DEVNULL,
    )  # fmt: skip
    os.close(writing)
    with os.fdopen(reading) as told:
        number = told.readline().strip()
    yield f":{number}"
    process.terminate()
    process.wait(10)


Start = Callable[..., WebDriver]


@pytest.fixture
def start(display: str, tmp_path: Path) -> Iterator[Start]:
    """Starts MiniBrowsers, each with a home of its own, and ends them after the test."""
    running: list[WebDriver] = []
    home = tmp_path / "webkit"
    home.mkdir()
    env = {**os.environ, "DISPLAY": display, "HOME": str(home), "XDG_RUNTIME_DIR": str(home),
           "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1"}  # fmt: skip

    def launch(program: str = DRIVER) -> WebDriver:
        options = Options()
        options.binary_location = mini_browser()
        options.add_argument("--automation")
        with warnings.catch_warnings():
            # selenium's own driver for WebKitGTK calls what selenium's own core has put aside
            warnings.simplefilter("ignore", DeprecationWarning)
            driver = webdriver.WebKitGTK(options=options, service=Service(program, env=env))
        driver.set_script_timeout(PATIENCE)
        running.append(driver)
        return driver

    yield launch
    for driver in running:
        driver.quit()


def driver_that_trusts(authority: Path, folder: Path) -> str:
    """A driver whose browsers trust an authority, and nothing else.

    WebKitGTK reads the system's list of authorities from a fixed place; in a mount namespace
    of its own the driver sees ours there, and the system's own list stays as it is.
    """
    unshare = shutil.which("unshare")
    assert unshare, "unshare is missing: install the package util-linux"
    script = folder / "driver"
    script.write_text(
        f"#!/bin/sh\nexec {unshare} --map-root-user --mount sh -c "
        f'\'mount --bind {authority} {SYSTEM_LIST} && exec {DRIVER} "$@"\' driver "$@"\n'
    )
    script.chmod(0o755)
    return str(script)


def until(driver: WebDriver, true: Callable[[WebDriver], object], what: str) -> None:
    """Wait for something to come true."""
    WebDriverWait(driver, PATIENCE).until(true, what)


def button(driver: WebDriver, words: str) -> Callable[[WebDriver], object]:
    """Finds a button by its words, once it is there."""
    path = f"//button[contains(normalize-space(.), '{words}')]"
    return lambda _driver: next(iter(driver.find_elements(By.XPATH, path)), None)


def pair(driver: WebDriver, origin: str, code: str) -> None:
    """Pair by the link that the server's picture holds."""
    driver.get(f"{origin}/pair#{code}")
    WebDriverWait(driver, PATIENCE).until(button(driver, "Add this"), "no button to pair").click()
    until(driver, lambda d: "#/first-run" in d.current_url, "pairing led nowhere")


def home_answers(driver: WebDriver) -> bool:
    """Whether home answers a call."""
    return bool(
        driver.execute_async_script(
            "const done = arguments[0];"
            "fetch('/api/hello').then(() => done(true), () => done(false))"
        )
    )


def worker_rules(driver: WebDriver) -> bool:
    return bool(
        driver.execute_script("return navigator.serviceWorker?.controller?.state === 'activated'")
    )


def until_kept(driver: WebDriver) -> None:
    """Wait until the app is kept for offline; on a busy computer the next start tries again."""
    for _start in range(3):
        with suppress(TimeoutException):
            WebDriverWait(driver, PATIENCE / 2).until(worker_rules)
            return
        driver.refresh()
    raise AssertionError("the worker never took over")


def signed_in(driver: WebDriver) -> bool:
    """Whether the server knows this browser: its cookie came back."""
    return bool(
        driver.execute_async_script(
            "const done = arguments[0];"
            "fetch('/api/hello').then(r => r.json()).then(b => done(b.device !== null))"
        )
    )


def pairs_and_outlives(driver: WebDriver, origin: str, server: LiveServer | lan.Household) -> None:
    """Pair, be known again after a reload, and open with the server killed."""
    pair(driver, origin, server.pairing_code())
    until_kept(driver)
    driver.get(f"{origin}/#/household")
    driver.refresh()
    assert signed_in(driver)
    server.kill()
    driver.refresh()
    until(
        driver,
        lambda d: d.find_elements(By.CSS_SELECTOR, "nav[aria-label='Screens']"),
        "the app did not open without the server",
    )
    assert not home_answers(driver)


def test_it_pairs_by_http_on_the_same_computer_and_opens_with_the_server_killed(
    start: Start, live_server: LiveServer
) -> None:
    """WebKit sends no Secure cookie over http, localhost or not."""
    webkit = start()
    pairs_and_outlives(webkit, live_server.url, live_server)
    names = [cookie["name"] for cookie in webkit.get_cookies()]
    assert all(not name.startswith("__Host-") for name in names)


def test_it_pairs_by_https_under_the_households_authority_and_opens_with_the_server_killed(
    start: Start, tmp_path: Path
) -> None:
    """The name leads to this computer by itself (RFC 6761, 6.3)."""
    with lan.household(tmp_path / "data", "tools.localhost") as home:
        webkit = start(driver_that_trusts(home.setup.files.authority, tmp_path))
        pairs_and_outlives(webkit, home.origin, home)
        (cookie,) = webkit.get_cookies()
        assert cookie["name"].startswith("__Host-crestrail_")
        assert cookie["secure"]


def test_it_refuses_an_authority_that_it_was_not_told_to_trust(
    start: Start, tmp_path: Path
) -> None:
    with lan.household(tmp_path / "data", "tools.localhost") as home:
        webkit = start()
        webkit.get(f"{home.origin}/")
        assert certificate_shown(home.setup.address.port, "tools.localhost")
        assert "Crestrail" not in webkit.page_source
