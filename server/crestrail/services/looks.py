"""What stands under "needs settling": written with the change that gives rise to it.

A look's id follows from what it is about, so the same cause never makes two.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any
from uuid import UUID, uuid5

from crestrail.basis.clock import to_text
from crestrail.records.merge import Conflict, Merged, changed_after_deleted, write_of
from crestrail.records.rules import broken_rules
from crestrail.records.schema import fields_of
from crestrail.records.stages import sale_standing
from crestrail.records.values import written_size
from crestrail.services.writer import Writer

Fields = Mapping[str, Any]
OBJECT_MAX = fields_of("look")["kept"].max or 0


def raise_looks(writer: Writer, before: Fields, merged: Merged, conflicts: list[Conflict]) -> None:
    """Write every look that a change to a record gives rise to; ``before`` are its old fields."""
    for conflict in conflicts:
        if not conflict.quiet:
            _both_edited(writer, merged.record, conflict)
    if merged.record.get("erased") or not merged.winners:
        return
    type = merged.record["type"]
    if merged.record["fields"].get("deleted") is True:
        _changed_after_deleted(writer, merged)
        _WHEN_DELETED.get(type, _nothing)(writer, before, merged.record)
        return
    _rules(writer, before, merged)
    _CROSS.get(type, _nothing)(writer, before, merged.record)


def _raise(writer: Writer, reason: str, about: Fields, identity: list[str]) -> None:
    """Write a look once; ``identity`` tells it from others of the same reason."""
    seed = json.dumps([reason, about["about_type"], about["about_id"], *identity])
    id = str(uuid5(UUID(writer.home.id), seed))
    if writer.find("look", id) is None:
        shown = {name: _fitting(value) for name, value in about.items()}
        at = to_text(writer.commit.now)
        writer.say("look", id, {"at": at, "reason": reason, **shown})


def _fitting(value: Any) -> Any:
    """A value that a look can hold; one that is too large is left to the history."""
    too_large = isinstance(value, dict) and written_size(value) > OBJECT_MAX
    return {"too_large": True} if too_large else value


def _about(record: Mapping[str, Any], group: str, message: str) -> dict[str, Any]:
    return {
        "about_type": record["type"],
        "about_id": record["id"],
        "about_group": group,
        "message": message,
    }


def _both_edited(writer: Writer, record: Mapping[str, Any], found: Conflict) -> None:
    about = _about(record, found.group, "Changed on two devices; the later value stands.") | {
        "kept": found.kept.values | {"stamp": found.kept.stamp},
        "other": found.other.values | {"stamp": found.other.stamp},
    }
    _raise(writer, "both_edited", about, [found.group, found.kept.stamp, found.other.stamp])


def _changed_after_deleted(writer: Writer, merged: Merged) -> None:
    record = merged.record
    deleted = record["stamps"]["deleted"]
    for group in changed_after_deleted(record):
        about = _about(record, group, "Changed after it was deleted; it stays deleted.") | {
            "kept": {"deleted": True, "stamp": deleted},
            "other": write_of(record, group).values,
        }
        _raise(writer, "changed_after_deleted", about, [group, deleted])


def _rules(writer: Writer, before: Fields, merged: Merged) -> None:
    """Rules that hold no longer; one that was broken before has its look already."""
    record = merged.record
    old = {code for code, _ in broken_rules(record["type"], before)}
    newest = max(write.stamp for write in merged.winners)
    for code, message in broken_rules(record["type"], record["fields"]):
        if code not in old:
            _raise(writer, "rule", _about(record, code, message), [code, newest])


def _two_sales(writer: Writer, before: Fields, record: Mapping[str, Any]) -> None:
    """A piece can be sold again only after it came back into stock."""
    _look_at_each(writer, _named("piece_id", before, record))


def _stands_again(writer: Writer, before: Fields, record: Mapping[str, Any]) -> None:
    """A sale whose return is gone, or names another sale, counts again."""
    sales = [writer.find("sale", id) for id in sorted(_named("sale_id", before, record))]
    _look_at_each(writer, {sale.fields["piece_id"] for sale in sales if sale and not sale.erased})


def _named(name: str, before: Fields, record: Mapping[str, Any]) -> set[str]:
    """The ids in a field, as it was and as it is."""
    return {id for id in (before.get(name), record["fields"].get(name)) if id}


def _same_piece(writer: Writer, _before: Fields, record: Mapping[str, Any]) -> None:
    """Two records that were sold each may turn out to be one piece."""
    ends = {record["fields"].get("duplicate_id"), record["fields"].get("survivor_id")}
    if all(ends):
        _look_at_sales(writer, ends)


def _told_apart(writer: Writer, before: Fields, record: Mapping[str, Any]) -> None:
    """Each of the two is looked at by itself again: another sale of it may be the first now."""
    for name in ("duplicate_id", "survivor_id"):
        _look_at_each(writer, _named(name, before, record))


def _look_at_each(writer: Writer, pieces: set[str]) -> None:
    """The sales of each piece by itself."""
    for piece in sorted(pieces):
        _look_at_sales(writer, {piece})


def _look_at_sales(writer: Writer, ids: set[str]) -> None:
    """Every sale but the first of one piece, whichever of its records the sales name."""
    pieces = _known_as(writer, ids)
    sales = [sale for id in sorted(pieces) for sale in writer.having("sale", "piece_id", id)]
    if len(sales) < 2:
        return
    returns = [r for sale in sales for r in writer.having("return", "sale_id", sale["id"])]
    standing = sale_standing(sales, returns)
    for extra in standing.in_question:
        kept = standing.live or extra
        about = {
            "about_type": "piece",
            "about_id": min(kept["piece_id"], extra["piece_id"]),
            "message": "Sold twice; the earlier sale counts until this is settled.",
            "kept": {"sale_id": kept["id"]},
            "other": {"sale_id": extra["id"]},
        }
        _raise(writer, "two_sales", about, sorted([kept["id"], extra["id"]]))


def _known_as(writer: Writer, ids: set[str]) -> set[str]:
    """All ids of the pieces, over any chain of records that say they are the same."""
    found, waiting = set(ids), set(ids)
    while waiting:
        one = waiting.pop()
        for end, other in (("duplicate_id", "survivor_id"), ("survivor_id", "duplicate_id")):
            pairs = writer.having("same_as", end, one)
            waiting |= {pair[other] for pair in pairs if pair.get(other)} - found
            found |= waiting
    return found


def _two_bindings(writer: Writer, _before: Fields, record: Mapping[str, Any]) -> None:
    """One label can stand on one piece only."""
    code = record["fields"].get("code")
    if not code:
        return
    tags = [tag for tag in writer.having("tag", "code", code) if tag.get("piece_id")]
    others = [tag for tag in tags if tag["id"] != record["id"]]
    own = next((tag for tag in tags if tag["id"] == record["id"]), None)
    for other in others if own else []:
        if own and other["piece_id"] != own["piece_id"]:
            about = _about(record, "", "One label is bound to two pieces.") | {
                "kept": {"tag_id": other["id"], "piece_id": other["piece_id"]},
                "other": {"tag_id": own["id"], "piece_id": own["piece_id"]},
            }
            pair = sorted([own["id"], other["id"]])
            _raise(writer, "two_bindings", about | {"about_id": pair[0]}, pair)


def _nothing(writer: Writer, before: Fields, record: Mapping[str, Any]) -> None:
    """Most types have no rule across records."""


_WHEN_DELETED = {"sale": _two_sales, "return": _stands_again, "same_as": _told_apart}
_CROSS = {
    "sale": _two_sales, "return": _stands_again, "same_as": _same_piece, "tag": _two_bindings,
}  # fmt: skip
