"""Looking at a change before it is taken: is it one, and is every value in it right?"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from crestrail.basis.errors import CrestrailError, Detail, detail
from crestrail.basis.ids import is_id
from crestrail.records.groups import group_of
from crestrail.records.merge import ERASED
from crestrail.records.schema import BY_NAME
from crestrail.records.stamps import is_stamp
from crestrail.records.values import check_fields


@dataclass(frozen=True)
class Incoming:
    """A change as it came: ``body`` is whatever was sent, ``digest`` names it."""

    body: Any

    @property
    def written(self) -> str:
        """The change as ASCII JSON text, always the same for the same change."""
        return json.dumps(self.body, sort_keys=True, separators=(",", ":"))

    @cached_property
    def digest(self) -> str:
        """SHA-256 of the written change."""
        return hashlib.sha256(self.written.encode("ascii")).hexdigest()

    @property
    def key(self) -> Any:
        """The change's key as it was sent; None where there is none."""
        return self.body.get("key") if isinstance(self.body, Mapping) else None

    @property
    def type(self) -> str:
        """The record type named, or an empty text."""
        return self._text("type")

    @property
    def id(self) -> str:
        """The record's id, or an empty text."""
        found = self._text("id")
        return found if is_id(found) else ""

    @property
    def is_erasure(self) -> bool:
        """Whether the record is to be erased."""
        return isinstance(self.body, Mapping) and self.body.get("erase") is True

    def as_change(self) -> dict[str, Any]:
        """What the merge sees of a change that was checked: what the contract names, no more."""
        names = ("erase",) if self.is_erasure else ("fields", "bases")
        return {n: self.body[n] for n in ("type", "id", "stamps", *names) if self.body.get(n)}

    @property
    def stamps(self) -> list[str]:
        """Every proper stamp in the change."""
        stamps = self.body.get("stamps") if isinstance(self.body, Mapping) else None
        values = stamps.values() if isinstance(stamps, Mapping) else ()
        return [stamp for stamp in values if is_stamp(stamp)]

    def _text(self, name: str) -> str:
        value = self.body.get(name) if isinstance(self.body, Mapping) else None
        return value if isinstance(value, str) else ""


def check(change: Incoming, creating: bool) -> None:
    """Raise ``bad_field`` with every fault of a change, or ``unknown_type``."""
    if not isinstance(change.body, Mapping):
        raise CrestrailError("bad_field", [detail("", "wrong_type", expected="an object")])
    if is_id(change.key) and change.id and change.type not in BY_NAME:
        found = [detail("type", "unknown_type", name=change.type[:40])]
        raise CrestrailError("unknown_type", found, name=change.type[:40])
    findings = _check_names(change)
    if not findings:
        findings = _check_erasure(change) if change.is_erasure else _check_write(change, creating)
    if findings:
        raise CrestrailError("bad_field", findings)


def _check_names(change: Incoming) -> list[Detail]:
    found = []
    if not is_id(change.key):
        found.append(detail("key", "wrong_type", expected="an id (UUID, lower case)"))
    if not change.id:
        found.append(detail("id", "wrong_type", expected="an id (UUID, lower case)"))
    if change.type not in BY_NAME:
        found.append(detail("type", "unknown_type", name=change.type[:40]))
    if change.body.get("erase", False) not in (True, False, None):
        found.append(detail("erase", "wrong_type", expected="true or false"))
    if not isinstance(change.body.get("stamps"), Mapping):
        found.append(detail("stamps", "wrong_type", expected="an object"))
    return found


def _check_erasure(change: Incoming) -> list[Detail]:
    stamps = change.body["stamps"]
    if set(stamps) == {ERASED} and is_stamp(stamps[ERASED]):
        return []
    return [detail(f"stamps.{ERASED}", "bad_stamp")]


def _check_write(change: Incoming, creating: bool) -> list[Detail]:
    body = change.body
    found = check_fields(change.type, body.get("fields"), creating=creating)
    return found or _check_groups(change.type, body["fields"], body["stamps"], body.get("bases"))


def _check_groups(
    type: str, fields: Mapping[str, Any], stamps: Mapping[str, Any], bases: Any
) -> list[Detail]:
    """Every value has its group's stamp, every stamp a value, and bases are stamps or null."""
    groups = {group_of(type, name) for name in fields}
    found = [detail(f"stamps.{g}", "no_stamp", group=g) for g in sorted(groups - set(stamps))]
    for group, stamp in stamps.items():
        if group not in groups:
            found.append(detail(f"stamps.{group[:60]}", "required"))
        elif not is_stamp(stamp):
            found.append(detail(f"stamps.{group}", "bad_stamp"))
    if not groups:
        found.append(detail("fields", "required"))
    return found + _check_bases(bases)


def _check_bases(bases: Any) -> list[Detail]:
    if bases is None:
        return []
    if not isinstance(bases, Mapping):
        return [detail("bases", "wrong_type", expected="an object")]
    return [
        detail(f"bases.{group[:60]}", "bad_stamp")
        for group, stamp in bases.items()
        if stamp is not None and not is_stamp(stamp)
    ]
