"""Every value that a record ever had."""

from __future__ import annotations

from typing import Any

from sqlalchemy import select

from crestrail.basis.errors import CrestrailError
from crestrail.basis.ids import is_id
from crestrail.records.schema import BY_NAME
from crestrail.store.db import reading
from crestrail.store.models import History, Record


def of_record(household: str, type: str, id: str) -> list[dict[str, Any]]:
    """The writes of a record, newest stamp first; ``not_found`` where there is no record."""
    if type not in BY_NAME or not is_id(id):
        raise CrestrailError("not_found")
    with reading() as session:
        if session.get(Record, (household, type, id)) is None:
            raise CrestrailError("not_found")
        query = select(History).where(
            History.household_id == household, History.type == type, History.record_id == id
        )
        return [
            {
                "group": entry.group,
                "stamp": entry.stamp,
                "values": entry.values,
                "device": entry.device,
                "at": entry.at,
                "outcome": entry.outcome,
            }
            for entry in session.scalars(query.order_by(History.stamp.desc(), History.group))
        ]
