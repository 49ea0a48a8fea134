"""A page that holds an open household and nothing else: the data side without a screen."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import BrowserContext, Page

BLANK = "/manifest.webmanifest"
"""Any file of the server's own origin: a page without the app's boot."""

PAIR = """async ({code, options, shift}) => {
  const { pairPhone } = await import('/js/state/households.js');
  const { openHousehold } = await import('/js/state/household.js');
  const identity = await pairPhone({ code, name: 'A phone' });
  const env = shift ? { wall: () => Date.now() + shift } : {};
  window.h = await openHousehold({ ...identity, env, ...options });
  return identity;
}"""

OPEN = """async ({identity, options, shift}) => {
  const { knownHouseholds, rememberHousehold } = await import('/js/state/households.js');
  const { openHousehold } = await import('/js/state/household.js');
  const env = shift ? { wall: () => Date.now() + shift } : {};
  if (identity) rememberHousehold(identity);
  window.h = await openHousehold({ ...knownHouseholds()[0], env, ...options });
}"""

UNPAIRED = """async () => {
  const { openHousehold } = await import('/js/state/household.js');
  const id = '01900000-0000-7000-8000-000000000001';
  window.h = await openHousehold({ id, device: '00000000000000aa', sync: false });
}"""

SAVE = """async ({type, id, fields}) => {
  const when = type === 'piece' && !id ? h.when() : {};
  return (await h.write([{ type, id, fields: { ...when, ...fields } }])).ids[0];
}"""


def paired(context: BrowserContext, url: str, code: str, *, shift: int = 0, **options: Any) -> Page:
    """A page of a newly paired phone; ``shift`` is how wrong its clock is, in ms.

    It syncs only when told, unless ``sync=True``.
    """
    page = context.new_page()
    page.goto(url + BLANK)
    options = {"sync": False} | options
    page.evaluate(PAIR, {"code": code, "options": options, "shift": shift})
    return page


def opened(
    context: BrowserContext,
    url: str,
    identity: dict[str, str] | None = None,
    *,
    shift: int = 0,
    **options: Any,
) -> Page:
    """A further page (tab, or the app opened again) of a phone that is paired already.

    ``identity`` is given where the pairing was done for it.
    """
    page = context.new_page()
    page.goto(url + BLANK)
    options = {"sync": False} | options
    page.evaluate(OPEN, {"identity": identity, "options": options, "shift": shift})
    return page


def unpaired(context: BrowserContext, url: str) -> Page:
    """A page with an open household that has never heard of a home."""
    page = context.new_page()
    page.goto(url + BLANK)
    page.evaluate(UNPAIRED)
    return page


def save(page: Page, type_name: str, id: str | None = None, /, **fields: Any) -> str:
    """Write one record as a screen would; its id."""
    found: str = page.evaluate(SAVE, {"type": type_name, "id": id, "fields": fields})
    return found


def sync(page: Page) -> dict[str, Any]:
    """One full round with home; how things stand after it."""
    found: dict[str, Any] = page.evaluate("async () => { await h.syncNow(); return h.sync; }")
    return found


def status(page: Page) -> dict[str, Any]:
    """How things stand with home."""
    found: dict[str, Any] = page.evaluate("() => h.sync")
    return found


def record(page: Page, type_name: str, id: str) -> dict[str, Any] | None:
    """A live record as screens see it."""
    found: dict[str, Any] | None = page.evaluate("([t, id]) => h.get(t, id)", [type_name, id])
    return found


def titles(page: Page) -> list[str]:
    """The titles of all live pieces, sorted."""
    found: list[str] = page.evaluate("() => h.all('piece').map(p => p.title ?? '').sort()")
    return found


def stored(page: Page, store: str) -> list[Any]:
    """All that an object store holds."""
    found: list[Any] = page.evaluate(
        "name => h.store.read([name], tx => tx.objectStore(name).getAll())", store
    )
    return found


def meta(page: Page, name: str) -> Any:
    """One entry of the phone's own notes."""
    return page.evaluate(
        "name => h.store.read(['meta'], tx => tx.objectStore('meta').get(name))", name
    )


def row(page: Page, type_name: str, id: str) -> dict[str, Any]:
    """A record as it is stored, with its stamps."""
    found: dict[str, Any] = page.evaluate("([t, id]) => h.memory.row(t, id)", [type_name, id])
    return found
