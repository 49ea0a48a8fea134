"""Changes that could not be taken are kept whole, with the reason, and never thrown away."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from crestrail.basis.errors import CrestrailError
from crestrail.basis.ids import is_id
from crestrail.services.incoming import Incoming
from crestrail.store.db import reading
from crestrail.store.models import Refused

_CHUNK = 500


@dataclass(frozen=True, slots=True)
class Refusal:
    """A change that could not be taken: which device pushed it, when, and why not."""

    device: str
    change: Incoming
    why: CrestrailError
    at: datetime


def keep(session: Session, household: str, refusal: Refusal) -> None:
    """Remember a refused change; the same again changes nothing."""
    change, why = refusal.change, refusal.why
    if session.get(Refused, (household, change.digest)) is not None:
        return
    session.add(
        Refused(
            household_id=household,
            digest=change.digest,
            key=change.key if is_id(change.key) else "",
            type=change.type if change.type.isascii() and change.type.isprintable() else "",
            record_id=change.id,
            device=refusal.device,
            at=refusal.at,
            code=why.code,
            message=_storable(why.message),
            details=_storable(why.details),
            body=change.written,
        )
    )


def known(session: Session, household: str, digests: list[str]) -> set[str]:
    """Those of the digests that stand among the refused changes."""
    found: set[str] = set()
    for start in range(0, len(digests), _CHUNK):
        query = select(Refused.digest).where(
            Refused.household_id == household,
            Refused.digest.in_(digests[start : start + _CHUNK]),
        )
        found.update(session.scalars(query))
    return found


def settle(session: Session, household: str, change: Incoming) -> None:
    """Forget the refusal of a change that is taken after all."""
    kept = session.get(Refused, (household, change.digest))
    if kept is not None:
        session.delete(kept)


def all_of(household: str) -> list[dict[str, Any]]:
    """The refused changes of the household, newest first."""
    with reading() as session:
        query = select(Refused).where(Refused.household_id == household)
        found = session.scalars(query.order_by(Refused.at.desc(), Refused.digest))
        return [
            {
                "key": kept.key,
                "device": kept.device,
                "at": kept.at,
                "code": kept.code,
                "message": kept.message,
                "details": kept.details,
                "change": json.loads(kept.body),
            }
            for kept in found
        ]


def _storable(value: Any) -> Any:
    """A finding without the characters that a database refuses, which a bad name may hold."""
    if isinstance(value, str):
        return value.replace("\0", "?").encode("utf-8", "replace").decode("utf-8")
    if isinstance(value, Mapping):
        return {_storable(key): _storable(inner) for key, inner in value.items()}
    return [_storable(inner) for inner in value] if isinstance(value, list | tuple) else value
