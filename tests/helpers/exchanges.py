"""Round trips in short, for the tests of syncing."""

from __future__ import annotations

import threading
from random import Random
from typing import Any

from crestrail.basis.clock import to_ms
from helpers import app as apps
from helpers.app import Client, Home
from helpers.simulated_phone import SimulatedPhone


def outcomes(answer: dict[str, Any]) -> list[str]:
    return [outcome["outcome"] for outcome in answer["outcomes"]]


def all_pages(phone: Client, limit: int, cursor: str | None = None) -> list[dict[str, Any]]:
    rows, more = [], True
    while more:
        answer = phone.sync(cursor=cursor, limit=limit)
        rows += answer["records"]
        assert answer["cursor"] != cursor or not answer["more"]
        cursor, more = answer["cursor"], answer["more"]
    return rows


def simulated(home: Home, client: Client, off_ms: int = 0) -> SimulatedPhone:
    """A simulated phone behind a client's cookie."""
    return SimulatedPhone(
        client.device, client.household, lambda: to_ms(home.clock.now()), Random(7), off_ms
    )


def settle(client: Client, phone: SimulatedPhone, most: int = 30) -> int:
    """Round trips until nothing is left to send or to read; how many resets there were."""
    resets = 0
    for _ in range(most):
        asked = phone.request()
        answer = client.web.post_json(apps.PATH, asked, expect_errors=True)
        if answer.status_int == 409 and answer.json["code"] == "clock_ahead":
            phone.clock_ahead(answer.json["details"][0]["clock"])
            continue
        assert answer.status_int == 200, answer.json
        phone.receive(asked, answer.json)
        resets += answer.json["reset"]
        if not phone.outbox and not answer.json["more"]:
            return resets
    raise AssertionError("the phone never came to rest")


def same(client: Client, phone: SimulatedPhone) -> bool:
    """Whether phone and server hold the same."""
    return {row["id"]: row for row in phone.rows.values()} == client.rows()


def phone_again(phone: Client) -> Client:
    """The same browser once more, for another thread."""
    twin = Client(phone.home, phone.device, phone.household)
    twin.web.cookiejar = phone.web.cookiejar
    return twin


def in_threads(work: list[Any]) -> None:
    """Run all at once; an exception in one of them is raised here."""
    errors: list[BaseException] = []

    def guarded(one: Any) -> None:
        try:
            one()
        except BaseException as error:
            errors.append(error)

    threads = [threading.Thread(target=guarded, args=(one,)) for one in work]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    assert not errors, errors
