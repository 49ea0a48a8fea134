"""Making a household, and finding it."""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import uuid4

from sqlalchemy import select

from crestrail.basis.clock import to_ms
from crestrail.basis.ids import new_device_id, new_id
from crestrail.services.writer import Writer
from crestrail.store.changes import Commit, new_name
from crestrail.store.db import reading, writing
from crestrail.store.models import Household, Record

Seed = tuple[str, dict[str, Any]]
"""A record to begin with: its type and fields."""


@dataclass(frozen=True, slots=True)
class NewHousehold:
    """What a household begins with. ``id`` is drawn where none is given."""

    setting: dict[str, Any]
    seeds: Iterable[Seed] = ()
    id: str = field(default_factory=lambda: str(uuid4()))


def create(wanted: NewHousehold, now: datetime) -> str:
    """Make a household with its setting and its first records; its id.

    The records are ordinary ones, written by the server's own device.
    """
    with writing() as session:
        home = Household(
            id=wanted.id,
            epoch=new_name(),
            counter=0,
            book_seq=0,
            high_stamp="",
            server_device=new_device_id(secrets.token_bytes),
            created_at=now,
            last_commit_at=now,
        )
        session.add(home)
        session.flush()
        writer = Writer(Commit(session, home, now))
        writer.say("setting", home.id, wanted.setting)
        for type, fields in wanted.seeds:
            writer.say(type, new_id(to_ms(now), secrets.token_bytes), fields)
        writer.close()
    return wanted.id


def all_ids() -> list[str]:
    """The ids of all households, the oldest first."""
    with reading() as session:
        return list(session.scalars(select(Household.id).order_by(Household.created_at)))


def name_of(household: str) -> str:
    """The household's name, or an empty text while it has none."""
    with reading() as session:
        setting = session.get(Record, (household, "setting", household))
        return str((setting.fields.get("household_name") if setting else None) or "")
