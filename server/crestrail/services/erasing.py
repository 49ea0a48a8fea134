"""What goes with an erased record: its history, its refused changes, its pictures.

Old backups and files that were handed out keep what they hold; nothing here can reach them.
"""

from __future__ import annotations

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from crestrail.store.models import History, Photo, Record, Refused


def erase_traces(session: Session, household: str, record: Record) -> None:
    """Delete every value of the record that lies outside it. The record itself is the caller's."""
    for table in (History, Refused):
        session.execute(
            delete(table).where(
                table.household_id == household,
                table.type == record.type,
                table.record_id == record.id,
            )
        )
    sha256 = (record.fields or {}).get("sha256")
    if record.type == "photo" and sha256:
        _forget_picture(session, household, record.id, sha256)


def orphaned_pictures(session: Session, household: str, hashes: list[str]) -> list[str]:
    """Those of the hashes that no row knows any more: their files may go after the commit."""
    known = select(Photo.sha256).where(Photo.household_id == household, Photo.sha256.in_(hashes))
    return sorted(set(hashes) - set(session.scalars(known)))


def looks_about(session: Session, household: str, type: str, id: str) -> list[Record]:
    """The looks that show values of a record; they are erased with it."""
    query = select(Record).where(
        Record.household_id == household,
        Record.type == "look",
        Record.erased.is_(False),
        Record.fields["about_id"].as_string() == id,
        Record.fields["about_type"].as_string() == type,
    )
    return list(session.scalars(query))


def _forget_picture(session: Session, household: str, id: str, sha256: str) -> None:
    """Drop the picture's row unless another record shows the same picture."""
    query = select(Record.id).where(
        Record.household_id == household,
        Record.type == "photo",
        Record.id != id,
        Record.erased.is_(False),
        Record.fields["sha256"].as_string() == sha256,
    )
    if session.scalar(query.limit(1)) is None:
        session.execute(
            delete(Photo).where(Photo.household_id == household, Photo.sha256 == sha256)
        )
