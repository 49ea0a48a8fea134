"""``POST /api/sync``: one round trip."""

from __future__ import annotations

from flask import Blueprint, Response, current_app, jsonify

from crestrail.api import auth, bodies
from crestrail.api.schemas import SyncBody
from crestrail.basis.errors import CrestrailError
from crestrail.services import devices, price_book
from crestrail.services.exchange import Request, exchange

bp = Blueprint("sync", __name__, url_prefix="/api")


@bp.post("/sync")
def sync() -> Response:
    """Take the phone's changes and hand out what it lacks."""
    caller = auth.caller()
    body = bodies.load(SyncBody())
    if body["household"] != caller.household:
        raise CrestrailError("other_household")
    if body["device"] != caller.device:
        raise CrestrailError("not_paired")
    asked = Request(caller.household, caller.device, body["cursor"], body["changes"], body["limit"])
    answer = exchange(asked, auth.now())
    for sha256 in answer.erased_pictures:
        current_app.extensions["crestrail_photos"].remove(caller.household, sha256)
    devices.note_seen(caller, auth.now())
    response = jsonify(
        household=caller.household,
        clock=answer.clock,
        outcomes=answer.outcomes,
        records=answer.records,
        cursor=answer.cursor,
        more=answer.more,
        reset=answer.reset,
        book=str(price_book.edition(caller.household, auth.now())),
        behind=answer.behind,
    )
    auth.renew_cookie(response, caller)
    return response
