"""A household's everything in one file, and back.

The file is a ZIP: a header, one file of JSON lines for each table, the pictures, and the
household's name and port on the home network where it has them, which phones and printed tags
know it by. Pairing codes, certificates and their keys stay out. What is restored gets a new
epoch, so that phones notice and push again what the backup lacks; what was erased since stays
erased. A restore cannot bring back values that were written and replaced after the backup was
made, nor pictures that no phone holds any more.
"""

from __future__ import annotations

import json
import re
import zipfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Table, delete, insert, select
from sqlalchemy.orm import Session

from crestrail.basis.clock import from_text, to_text
from crestrail.basis.errors import CrestrailError
from crestrail.services.writer import Writer
from crestrail.store.changes import Commit, lock, new_name
from crestrail.store.columns import Instant
from crestrail.store.db import Base, reading, writing
from crestrail.store.models import Device, Household, PairingCode, Record
from crestrail.store.photos import PhotoFiles
from crestrail.store.upgrade import copy_aside, current_revision

FORM = 1
HEADER = "crestrail-backup.json"
ADDRESS = "lan.json"
"""In the archive as in the data folder; only what ``_ADDRESS_PARTS`` names goes along."""
_ADDRESS_PARTS = ("name", "port", "trust_port")
_PHOTO = re.compile(r"photos/([0-9a-f-]{36})/[0-9a-f]{2}/([0-9a-f]{64})(\.thumb)?")
_BATCH = 500

Erased = tuple[str, str, str]
"""Household, type and id of an erased record."""


def back_up(
    target: Path, files: PhotoFiles, now: datetime, data: Path | None = None
) -> dict[str, int]:
    """Write everything to a new file; how many rows and pictures. The file must not exist yet.

    ``data`` is the folder in which the address on the home network is kept.
    """
    header = {"crestrail_backup": FORM, "made": to_text(now), "revision": current_revision()}
    counts = {"rows": 0, "pictures": 0}
    with zipfile.ZipFile(target, "x", zipfile.ZIP_DEFLATED, strict_timestamps=False) as archive:
        archive.writestr(HEADER, json.dumps(header))
        with reading() as session:
            _one_state(session)
            for table in _tables():
                with archive.open(f"tables/{table.name}.jsonl", "w") as out:
                    for row in _rows(session, table):
                        out.write(json.dumps(row).encode("ascii") + b"\n")
                        counts["rows"] += 1
        for path in sorted(files.root.rglob("*")):
            name = f"photos/{path.relative_to(files.root).as_posix()}"
            if path.is_file() and _PHOTO.fullmatch(name):
                archive.write(path, name)
                counts["pictures"] += 1
        if data is not None:
            counts |= _add_address(archive, data / ADDRESS)
    return counts


def restore(
    source: Path, files: PhotoFiles, now: datetime, data: Path | None = None
) -> dict[str, int]:
    """Put a backup in the place of everything there is; raises ``bad_json`` for another file.

    A SQLite database is copied aside first. All or nothing, but for pictures, which only add.
    The address on the home network is put into the folder ``data`` only where none is there.
    """
    with _opened(source) as archive:
        copy_aside(f"before-restore-{now:%Y%m%dT%H%M%S}")
        with writing() as session:
            erased, revoked = _erased_now(session), _revoked_now(session)
            rows = sum(_refill(session, archive, table) for table in _emptied(session))
            session.flush()
            _begin_anew(session, erased, now)
            _revoke_again(session, revoked)
        pictures = [name for name in archive.namelist() if _PHOTO.fullmatch(name)]
        for name in pictures:
            files.save(files.root / name.removeprefix("photos/"), archive.read(name))
        counts = {"rows": rows, "pictures": len(pictures)}
        if data is not None:
            counts |= _bring_address(archive, data / ADDRESS)
    return counts


def _add_address(archive: zipfile.ZipFile, file: Path) -> dict[str, int]:
    try:
        kept = json.loads(file.read_text())
        parts = {name: kept[name] for name in _ADDRESS_PARTS}
    except (OSError, ValueError, KeyError, TypeError):
        return {}
    archive.writestr(ADDRESS, json.dumps(parts, indent=2) + "\n")
    return {"home network address": 1}


def _bring_address(archive: zipfile.ZipFile, file: Path) -> dict[str, int]:
    if ADDRESS not in archive.namelist():
        return {}
    try:
        with file.open("xb") as out:
            out.write(archive.read(ADDRESS))
    except FileExistsError:
        return {}
    return {"home network address": 1}


def _opened(source: Path) -> zipfile.ZipFile:
    try:
        archive = zipfile.ZipFile(source)
        header = json.loads(archive.read(HEADER))
        if header["crestrail_backup"] == FORM and header["revision"] == current_revision():
            return archive
        archive.close()
    except (OSError, zipfile.BadZipFile, KeyError, ValueError) as error:
        reason = f"{source} is no backup of Crestrail ({error})"
        raise CrestrailError("bad_json", reason=reason) from error
    reason = f"{source} was made by another version of Crestrail; restore it with that one"
    raise CrestrailError("bad_json", reason=reason)


def _tables() -> list[Table]:
    """All tables that are backed up, those that others point to first."""
    return [t for t in Base.metadata.sorted_tables if t.name != PairingCode.__tablename__]


def _emptied(session: Session) -> list[Table]:
    """All tables, emptied."""
    for table in reversed(Base.metadata.sorted_tables):
        session.execute(delete(table))
    session.expunge_all()
    return _tables()


def _one_state(session: Session) -> None:
    """On PostgreSQL let all statements see one state; SQLite does so by itself."""
    if session.get_bind().dialect.name == "postgresql":
        session.connection(execution_options={"isolation_level": "REPEATABLE READ"})


def _rows(session: Session, table: Table) -> Iterator[dict[str, Any]]:
    for row in session.execute(select(table)).mappings():
        yield {
            name: to_text(value) if isinstance(value, datetime) else value
            for name, value in row.items()
        }


def _refill(session: Session, archive: zipfile.ZipFile, table: Table) -> int:
    moments = [c.name for c in table.columns if isinstance(c.type, Instant)]
    count, batch = 0, []
    with archive.open(f"tables/{table.name}.jsonl") as lines:
        for line in lines:
            row = json.loads(line)
            row |= {name: from_text(row[name]) for name in moments if row[name]}
            if table.name == "history":
                del row["number"]
            batch.append(row)
            count += 1
            if len(batch) == _BATCH:
                session.execute(insert(table), batch)
                batch = []
    if batch:
        session.execute(insert(table), batch)
    return count


def _erased_now(session: Session) -> list[Erased]:
    query = select(Record.household_id, Record.type, Record.id).where(Record.erased.is_(True))
    return [(row[0], row[1], row[2]) for row in session.execute(query)]


def _revoked_now(session: Session) -> list[Device]:
    devices = list(session.scalars(select(Device).where(Device.revoked_at.is_not(None))))
    session.expunge_all()
    return devices


def _revoke_again(session: Session, revoked: list[Device]) -> None:
    """A phone that was removed since the backup stays removed: it may be in other hands."""
    for device in revoked:
        held = session.get(Device, (device.household_id, device.id))
        if held is not None and held.revoked_at is None:
            held.revoked_at = device.revoked_at


def _begin_anew(session: Session, erased: list[Erased], now: datetime) -> None:
    """A new epoch for each household, and erasures that the backup did not know."""
    for id in session.scalars(select(Household.id)).all():
        home = lock(session, id)
        home.epoch = new_name()
        writer = Writer(Commit(session, home, now))
        for household, type, record_id in erased:
            record = writer.find(type, record_id) if household == id else None
            if household == id and (record is None or not record.erased):
                writer.erase(type, record_id)
        writer.close()
