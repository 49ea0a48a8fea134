"""Pairing, listing, renaming and revoking devices.

A pairing code is ten Crockford symbols: two find it, eight (40 bits) prove it. It lives ten
minutes, works once, and dies of five wrong tries. A paired device holds a random token; the
server keeps the token's hash only.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from crestrail.basis.errors import CrestrailError
from crestrail.basis.ids import random_symbols, tidy_code
from crestrail.store.db import reading, writing
from crestrail.store.models import Device, PairingCode

CODE_LIFE = timedelta(minutes=10)
MAX_TRIES = 5
SELECTOR = 2
SECRET = 8
SEEN_EVERY = timedelta(minutes=5)


@dataclass(frozen=True, slots=True)
class Caller:
    """Who calls: a device that is, or was, paired with a household."""

    household: str
    device: str
    name: str
    revoked: bool


@dataclass(frozen=True, slots=True)
class Pairing:
    """What a phone sends to be paired; ``replaces`` is a device that this one takes over from."""

    code: str
    device: str
    name: str
    replaces: str | None = None


@dataclass(frozen=True, slots=True)
class NewCode:
    """A fresh pairing code and the moment it dies."""

    code: str
    expires_at: datetime

    @property
    def shown(self) -> str:
        """The code in groups that are easy to read out."""
        return f"{self.code[:2]}-{self.code[2:6]}-{self.code[6:]}"


def make_code(household: str, now: datetime) -> NewCode:
    """A new pairing code for the household; dead ones are swept away."""
    secret = random_symbols(secrets.token_bytes, SECRET)
    expires = now + CODE_LIFE
    with writing() as session:
        session.execute(delete(PairingCode).where(PairingCode.expires_at <= now))
        selector = _free_selector(session, household)
        session.add(
            PairingCode(
                household_id=household,
                selector=selector,
                secret_hash=hash_text(selector + secret),
                expires_at=expires,
                tries=0,
            )
        )
    return NewCode(selector + secret, expires)


def pair(wanted: Pairing, now: datetime) -> tuple[Caller, str]:
    """Spend a code: the device is paired and gets a token, which replaces any older one.

    Raises ``bad_code`` or ``code_spent``. A wrong try counts, so it is committed.
    """
    code = tidy_code(wanted.code)
    with writing() as session:
        spent = _spend(session, code, now)
        if isinstance(spent, PairingCode):
            return _admit(session, spent, wanted, now)
    raise CrestrailError(spent)


def find_caller(tokens: list[str]) -> Caller | None:
    """The device that holds one of these tokens; a paired one before a revoked one."""
    hashes = [hash_text(token) for token in tokens]
    with reading() as session:
        found = session.scalars(select(Device).where(Device.token_hash.in_(hashes))).all()
        callers = [Caller(d.household_id, d.id, d.name, d.revoked_at is not None) for d in found]
    return min(callers, key=lambda caller: caller.revoked, default=None)


def list_devices(household: str) -> list[Device]:
    """All devices of the household, the oldest first."""
    with reading() as session:
        query = select(Device).where(Device.household_id == household)
        found = list(session.scalars(query.order_by(Device.created_at, Device.id)))
        session.expunge_all()
    return found


def rename(household: str, device: str, name: str) -> None:
    """Give a device another name; ``not_found`` for a device of somebody else."""
    with writing() as session:
        _of(session, household, device).name = name


def revoke(household: str, device: str, now: datetime) -> None:
    """Take a device off the household; its token no longer opens anything."""
    with writing() as session:
        found = _of(session, household, device)
        found.revoked_at = found.revoked_at or now


def note_seen(caller: Caller, now: datetime) -> None:
    """Remember that the device called; written at most every five minutes."""
    with reading() as session:
        seen = _of(session, caller.household, caller.device).seen_at
    if abs(now - seen) >= SEEN_EVERY:
        with writing() as session:
            _of(session, caller.household, caller.device).seen_at = now


def hash_text(text: str) -> str:
    """SHA-256 in hexadecimal; enough for random secrets, which cannot be guessed by words."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def _of(session: Session, household: str, device: str) -> Device:
    found = session.get(Device, (household, device))
    if found is None:
        raise CrestrailError("not_found")
    return found


def _free_selector(session: Session, household: str) -> str:
    taken = set(
        session.scalars(select(PairingCode.selector).where(PairingCode.household_id == household))
    )
    while (selector := random_symbols(secrets.token_bytes, SELECTOR)) in taken:
        pass
    return selector


def _spend(session: Session, code: str, now: datetime) -> PairingCode | str:
    """The live code that was typed, taken out of use; else the error code, the try counted."""
    query = select(PairingCode).where(PairingCode.selector == code[:SELECTOR])
    candidates = session.scalars(query.with_for_update()).all()
    proof = hash_text(code)
    for candidate in candidates:
        if hmac.compare_digest(candidate.secret_hash, proof):
            if candidate.expires_at <= now or candidate.tries >= MAX_TRIES:
                return "code_spent"
            session.delete(candidate)
            return candidate
    for candidate in candidates:
        candidate.tries += 1
    return "bad_code"


def _admit(
    session: Session, code: PairingCode, wanted: Pairing, now: datetime
) -> tuple[Caller, str]:
    household = code.household_id
    token = secrets.token_urlsafe(32)
    device = session.get(Device, (household, wanted.device))
    if device is None:
        device = Device(household_id=household, id=wanted.device, created_at=now)
        session.add(device)
    device.name = wanted.name
    device.token_hash = hash_text(token)
    device.seen_at = now
    device.revoked_at = None
    _retire(session, household, wanted, now)
    return Caller(household, wanted.device, wanted.name, revoked=False), token


def _retire(session: Session, household: str, wanted: Pairing, now: datetime) -> None:
    if wanted.replaces and wanted.replaces != wanted.device:
        old = session.get(Device, (household, wanted.replaces))
        if old is not None:
            old.revoked_at = old.revoked_at or now
