"""What became of each value, and what could not be taken."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from crestrail.api import auth
from crestrail.services import history, refusals

bp = Blueprint("records", __name__, url_prefix="/api")


@bp.get("/history/<type>/<id>")
def get_history(type: str, id: str) -> dict[str, Any]:
    """Every value that a record ever had, newest first."""
    return {"entries": history.of_record(auth.caller().household, type, id)}


@bp.get("/refused")
def get_refused() -> dict[str, Any]:
    """The changes that were refused, with the reasons, newest first."""
    return {"refused": refusals.all_of(auth.caller().household)}
