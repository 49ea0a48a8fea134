"""``GET /api/hello``: that this is Crestrail, what time it is, and who is asking."""

from __future__ import annotations

from importlib.metadata import version
from typing import Any

from flask import Blueprint, request

from crestrail.api import auth
from crestrail.basis.clock import to_ms, to_text
from crestrail.services import households

bp = Blueprint("hello", __name__, url_prefix="/api")


@bp.get("/hello")
def hello() -> dict[str, Any]:
    """The health answer; what concerns the household only for a paired device."""
    caller = auth.known_caller()
    known = caller if caller and not caller.revoked else None
    ends = auth.settings().certificate_ends() if request.is_secure else None
    return {
        "app": "crestrail",
        "version": version("crestrail"),
        "clock": to_ms(auth.now()),
        "origin": auth.origin(),
        "sample": auth.settings().sample,
        "certificate_ends": ends and to_text(ends),
        "household": known and known.household,
        "household_name": known and households.name_of(known.household),
        "device": known and known.device,
    }
