"""The app's update: a new version waits, old and new never mix, a broken one changes nothing.

A copy of the client is served, so that a test can publish the next version of it.
"""

from __future__ import annotations

import importlib.util
import shutil
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from helpers.live import LiveServer

ROOT = Path(__file__).resolve().parents[2]


def precache_maker() -> ModuleType:
    """The script that lists the files of a version."""
    spec = importlib.util.spec_from_file_location("make_precache", ROOT / ".ci/make_precache.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class Client:
    """A copy of the client's files, of which versions can be published."""

    LATE = "/js/late.js"
    """A module that nothing imports at the start, as screens are loaded later."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        shutil.copytree(ROOT / "web", folder)
        self.index = (folder / "index.html").read_text()

    def publish(self, version: int) -> None:
        """Change two files, as any version does, and list all anew."""
        mark = f'<meta name="test-version" content="{version}">\n</head>'
        (self.folder / "index.html").write_text(self.index.replace("</head>", mark))
        (self.folder / self.LATE[1:]).write_text(f"export const version = {version};\n")
        (self.folder / "precache.js").write_text(precache_maker().text(self.folder))

    def break_off(self) -> None:
        """A version that is half copied: one file is not there, though it is listed."""
        (self.folder / self.LATE[1:]).unlink()

    def mix(self) -> None:
        """A version of which one file is already that of the next."""
        (self.folder / self.LATE[1:]).write_text("export const version = 'another';\n")


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Client:
    return Client(tmp_path_factory.mktemp("client") / "web")


@pytest.fixture(scope="module")
def one_server(copy: Client, tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveServer]:
    data = tmp_path_factory.mktemp("update") / "data"
    with LiveServer(data, env={"CRESTRAIL_WEB": str(copy.folder)}) as server:
        yield server


@pytest.fixture
def client(copy: Client) -> Client:
    """The first version is published."""
    copy.publish(1)
    return copy


@pytest.fixture
def server(client: Client, one_server: LiveServer) -> LiveServer:
    """It runs, whatever the test before did to it."""
    if not one_server.runs:
        one_server.start()
    return one_server


@pytest.fixture
def first_visit(server: LiveServer, phone: BrowserContext) -> Page:
    """The app with version 1, opened for the first time on a phone and by now kept there."""
    page = phone.new_page()
    page.goto(server.url)
    page.wait_for_function("() => navigator.serviceWorker.controller?.state === 'activated'")
    assert version_of(page) == (1, 1)
    return page


@pytest.fixture
def page(first_visit: Page) -> Page:
    """The app with version 1, opened from what is kept on the phone."""
    first_visit.reload()
    first_visit.get_by_role("heading").first.wait_for()
    return first_visit


def version_of(page: Page) -> tuple[int, int]:
    """The version of the page, and of a module it loads now."""
    shown = page.locator('meta[name="test-version"]').get_attribute("content")
    late = page.evaluate("async url => (await import(url)).version", Client.LATE)
    return int(shown or 0), int(late)


def look_for_update(page: Page) -> str:
    """Let the browser look; how far the new version came: ``installed`` or ``redundant``."""
    return str(
        page.evaluate(
            """async () => {
              const registration = await navigator.serviceWorker.getRegistration();
              const found = new Promise((resolve) => {
                registration.addEventListener('updatefound', () => {
                  const worker = registration.installing;
                  worker.addEventListener('statechange', () => {
                    if (['installed', 'redundant'].includes(worker.state)) resolve(worker.state);
                  });
                });
              });
              await registration.update();
              return await found;
            }"""
        )
    )


def caches_of(page: Page) -> list[str]:
    """The names of the kept versions."""
    return list(page.evaluate("() => caches.keys()"))


def test_a_new_version_waits_and_the_old_one_goes_on_whole(
    page: Page, client: Client, server: LiveServer
) -> None:
    client.publish(2)
    assert look_for_update(page) == "installed"
    page.reload()
    assert version_of(page) == (1, 1)
    server.kill()
    page.reload()
    assert version_of(page) == (1, 1)
    assert len(caches_of(page)) == 2


def test_the_new_version_takes_over_on_the_persons_word_and_the_old_one_is_dropped(
    page: Page, client: Client, server: LiveServer
) -> None:
    client.publish(2)
    assert look_for_update(page) == "installed"
    page.get_by_role("button", name="Restart now").click()
    expect(page.locator('meta[name="test-version"]')).to_have_attribute("content", "2")
    assert version_of(page) == (2, 2)
    server.kill()
    page.reload()
    assert version_of(page) == (2, 2)
    assert len(caches_of(page)) == 1


def test_a_page_open_since_the_first_visit_takes_the_new_version_too(
    first_visit: Page, client: Client
) -> None:
    client.publish(2)
    assert look_for_update(first_visit) == "installed"
    first_visit.get_by_role("button", name="Restart now").click()
    expect(first_visit.locator('meta[name="test-version"]')).to_have_attribute("content", "2")
    assert version_of(first_visit) == (2, 2)


def test_later_keeps_the_old_version_until_the_next_start(page: Page, client: Client) -> None:
    client.publish(2)
    assert look_for_update(page) == "installed"
    page.get_by_role("button", name="Later", exact=True).click()
    assert version_of(page) == (1, 1)
    page.reload()
    expect(page.get_by_role("button", name="Restart now")).to_be_visible()


@pytest.mark.parametrize("fault", ["break_off", "mix"])
def test_a_broken_new_version_leaves_the_old_one(
    page: Page, client: Client, server: LiveServer, fault: str
) -> None:
    kept = caches_of(page)
    client.publish(2)
    getattr(client, fault)()
    assert look_for_update(page) == "redundant"
    expect(page.get_by_role("button", name="Restart now")).to_have_count(0)
    assert caches_of(page) == kept
    server.kill()
    page.reload()
    assert version_of(page) == (1, 1)


def test_after_a_broken_version_a_good_one_is_taken(page: Page, client: Client) -> None:
    client.publish(2)
    client.break_off()
    assert look_for_update(page) == "redundant"
    client.publish(3)
    assert look_for_update(page) == "installed"
    page.get_by_role("button", name="Restart now").click()
    expect(page.locator('meta[name="test-version"]')).to_have_attribute("content", "3")
    assert len(caches_of(page)) == 1


def test_every_tab_changes_together(page: Page, phone: BrowserContext, client: Client) -> None:
    other = phone.new_page()
    other.goto(page.url)
    client.publish(2)
    assert look_for_update(page) == "installed"
    page.get_by_role("button", name="Restart now").click()
    for tab in (page, other):
        expect(tab.locator('meta[name="test-version"]')).to_have_attribute("content", "2")
        assert version_of(tab) == (2, 2)


def test_the_worker_never_answers_for_the_api(page: Page, server: LiveServer) -> None:
    server.kill()
    page.reload()
    failed = page.evaluate("() => fetch('/api/hello').then(() => false, () => true)")
    assert failed
    assert version_of(page) == (1, 1)
