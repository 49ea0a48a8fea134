"""A browser may clear what is kept: it is said before, where it can happen, and after, once."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from helpers import story
from helpers.desk import DeskHome
from helpers.scanning import added, piece, write

PERSISTED = "() => Promise.resolve(%s)"
STORAGE = "Object.defineProperty(navigator, 'storage', { get: () => (%s) });"
INSTALLED = "Object.defineProperty(navigator, 'standalone', { get: () => true });"
MAY_GET_LOST = "What is not yet at home may get lost"
CLEARED = "This browser has cleared what was kept here."
EVERYTHING = "() => document.querySelector('crest-shell')?.household?.all('piece').length"
HOME_MARKS = "() => Object.keys(localStorage).filter((name) => name.startsWith('crestrail.home.'))"

ASKED = """async () => {
  const screen = document.querySelector('household-sync');
  await screen.askLasting();
  await screen.updateComplete;
}"""
"""The browser has said whether it keeps things, and the screen shows what follows."""

SAID = """async () => {
  await document.querySelector('crest-shell').updateComplete;
  await document.querySelector('crest-toast').updateComplete;
}"""
"""What the start of the app has to say stands on the screen."""

Paired = Callable[[str], Page]


@pytest.fixture
def paired(phone: BrowserContext, home: DeskHome) -> Paired:
    """Pairs a phone whose browser is changed by a script; everything is at home."""

    def one(script: str) -> Page:
        phone.add_init_script(script)
        page = added(phone.new_page(), home)
        story.everything_home(page)
        return page

    return one


@pytest.mark.parametrize(
    "script",
    [
        STORAGE % "{ persist: async () => false, persisted: async () => false }",
        STORAGE % "{ persist: () => Promise.reject(Error()), persisted: () => Promise.reject() }",
        STORAGE % "undefined",
    ],
    ids=["refused", "failing", "absent"],
)
def test_unsent_work_that_the_browser_may_clear_is_said_until_it_is_home(
    paired: Paired, phone: BrowserContext, script: str
) -> None:
    page = paired(script)
    story.go(page, "household/sync")
    expect(page.get_by_text("Changes not yet at home")).to_be_visible()
    expect(page.get_by_text(MAY_GET_LOST)).to_have_count(0)
    phone.set_offline(True)
    write(page, piece("Not sent"))
    expect(page.get_by_text(MAY_GET_LOST)).to_be_visible()
    phone.set_offline(False)
    page.get_by_role("button", name="Send now").tap()
    expect(page.get_by_text(MAY_GET_LOST)).to_have_count(0)


@pytest.mark.parametrize(
    "script",
    [STORAGE % "{ persist: async () => true, persisted: async () => true }", INSTALLED],
    ids=["promised", "installed"],
)
def test_nothing_is_said_where_the_browser_keeps_it(
    paired: Paired, phone: BrowserContext, script: str
) -> None:
    page = paired(script)
    story.go(page, "household/sync")
    unsent = page.locator("dt:text('Changes not yet at home') + dd")
    expect(unsent).to_have_text("0")
    phone.set_offline(True)
    write(page, piece("Not sent"))
    expect(unsent).to_have_text("1")
    page.evaluate(ASKED)
    expect(page.get_by_text(MAY_GET_LOST)).to_have_count(0)


def test_a_database_that_was_cleared_is_said_once_and_fetched_again(
    phone: BrowserContext, paired: Paired, home: DeskHome
) -> None:
    page = paired("")
    write(page, piece("Sent before"))
    story.everything_home(page)
    assert len(page.evaluate(HOME_MARKS)) == 1
    page.reload()
    page.wait_for_function(EVERYTHING)
    page.evaluate(SAID)
    expect(page.get_by_text(CLEARED)).to_have_count(0)

    page.goto(home.url + "/manifest.webmanifest")
    wanted = {"origin": home.url, "storageTypes": "indexeddb"}
    phone.new_cdp_session(page).send("Storage.clearDataForOrigin", wanted)
    page.goto(home.url)
    expect(page.get_by_role("status").get_by_text(CLEARED)).to_be_visible()
    page.wait_for_function(EVERYTHING)
    story.everything_home(page)
    assert story.one(page, "piece")["title"] == "Sent before"

    page.reload()
    page.wait_for_function(EVERYTHING)
    page.evaluate(SAID)
    expect(page.get_by_text(CLEARED)).to_have_count(0)
    assert len(page.evaluate(HOME_MARKS)) == 1
