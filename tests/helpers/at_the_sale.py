"""A person with a phone at the sale: opening the pad, tapping chips, reading the card."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from helpers import browser as browsers
from helpers.desk import DeskHome


def add_phone(context: BrowserContext, server: DeskHome) -> Page:
    """The app on a phone that was just added to the household, its numbers on it."""
    page = context.new_page()
    page.set_default_timeout(10_000)
    server.admit(context)
    return opened(page, server)


def opened(page: Page, server: DeskHome) -> Page:
    """The pad, on a phone that has the household's numbers."""
    page.goto(f"{server.url}/#/sale")
    page.wait_for_function("() => document.querySelector('crest-shell')?.household?.book")
    page.locator(".sale-form label.chip").first.wait_for()
    return page


@contextmanager
def household_phone(browser: Browser, server: DeskHome) -> Iterator[HouseholdPhone]:
    """One phone that was added to the household; pages are opened on it."""
    with browsers.phone(browser) as context:
        add_phone(context, server).close()
        yield HouseholdPhone(server, context)


@dataclass(frozen=True)
class HouseholdPhone:
    """A household's server and a phone of it."""

    server: DeskHome
    context: BrowserContext

    @contextmanager
    def page(self) -> Iterator[Page]:
        """The pad with nothing half-typed on it."""
        page = self.context.new_page()
        page.set_default_timeout(10_000)
        opened(page, self.server)
        yield page
        page.evaluate(FORGET)
        page.close()


FORGET = """async () => {
  localStorage.removeItem('crestrail.cover');
  await document.querySelector('crest-shell').household.saveDraft('at-the-sale', null);
}"""


class Thumb:
    """Taps on the pad and counts them."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.taps = 0

    def tap(self, target: Locator) -> None:
        """One tap."""
        target.tap()
        self.taps += 1

    def chip(self, legend: str, label: str) -> None:
        """A chip in the group of that name."""
        group = self.page.get_by_role("group", name=legend, exact=True)
        self.tap(group.locator("label.chip", has_text=label).first)

    def button(self, name: str) -> None:
        """A button by its name."""
        self.tap(self.page.get_by_role("button", name=name, exact=True))

    def more(self, legend: str) -> None:
        """The whole list of a group."""
        group = self.page.get_by_role("group", name=legend, exact=True)
        self.tap(group.get_by_role("button", name="More"))

    def keys(self, amount: str) -> None:
        """An amount on the number pad."""
        pad = self.page.get_by_role("group", name="Number pad")
        for key in amount:
            name = "Point" if key == "." else key
            self.tap(pad.get_by_role("button", name=name, exact=True))

    def ask(self, amount: str) -> None:
        """What they ask, and done."""
        self.tap(self.page.get_by_label("They ask"))
        self.keys(amount)
        self.button("Done")


def card(page: Page) -> Locator:
    """The card with the answer."""
    return page.get_by_role("region", name="Answer")


def number(page: Page) -> Locator:
    """What stands big on the card."""
    return page.locator(".sale-card .card-number")


def records(page: Page, type: str) -> list[dict[str, Any]]:
    """The live records of a type on this phone."""
    found: list[dict[str, Any]] = page.evaluate(
        "type => document.querySelector('crest-shell').household.all(type)", type
    )
    return found


def write(page: Page, *changes: dict[str, Any]) -> list[str]:
    """Save records as a screen would, at this moment; their ids."""
    ids: list[str] = page.evaluate(
        """async (changes) => {
          const { household } = document.querySelector('crest-shell');
          return (await household.write(changes.map(({ now, ...change }) => ({
            ...change, fields: { ...(now ? household.when() : {}), ...change.fields },
          })))).ids;
        }""",
        list(changes),
    )
    return ids


def later(page: Page, *finds: dict[str, Any]) -> list[str]:
    """Finds of today that were left for later; their ids."""
    at = page.evaluate("() => document.querySelector('crest-shell').household.when().at")
    return write(
        page,
        *(
            {"type": "piece", "now": True, "fields": {"kind": "stool", "later_at": at, **find}}
            for find in finds
        ),
    )


def told(page: Page, text: str) -> None:
    """The message bar says so."""
    expect(page.locator("crest-toast")).to_contain_text(text)
