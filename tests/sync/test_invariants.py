"""The invariants of syncing, each by its number, over the real application."""

from __future__ import annotations

from helpers.app import Home


def test_I2_replaying_a_batch_changes_nothing(any_home: Home) -> None:
    phone = any_home.pair()
    batch = [phone.change("spot", {"name": f"Shelf {i}"}) for i in range(5)]
    first = phone.sync(batch)
    before, cursor = phone.rows(), phone.sync()["cursor"]
    for again in (batch, batch[2:], batch[::-1], [*batch, *batch]):
        answer = phone.sync(again, cursor=cursor)
        assert {o["outcome"] for o in answer["outcomes"]} == {"known"}
        assert answer["cursor"] == cursor
        assert answer["records"] == []
    assert {o["outcome"] for o in first["outcomes"]} == {"applied"}
    assert phone.rows() == before
