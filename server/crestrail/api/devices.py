"""Pairing and the list of devices."""

from __future__ import annotations

from typing import Any

import qrcode
from flask import Blueprint, Response, jsonify
from qrcode.image.svg import SvgPathImage

from crestrail.api import auth, bodies, limits
from crestrail.api.schemas import NameBody, PairBody
from crestrail.services import devices, households
from crestrail.services.devices import Pairing
from crestrail.store.models import Device

bp = Blueprint("devices", __name__, url_prefix="/api")


@bp.post("/pair")
def pair() -> Response:
    """Spend a pairing code; the answer sets the device's cookie."""
    limits.count_try("pair", auth.now())
    wanted = Pairing(**bodies.load(PairBody()))
    caller, token = devices.pair(wanted, auth.now())
    response = jsonify(
        household=caller.household,
        household_name=households.name_of(caller.household),
        origin=auth.origin(),
        device=caller.device,
        name=caller.name,
    )
    auth.set_cookie(response, caller.household, token)
    return response


@bp.post("/pairing-codes")
def make_code() -> dict[str, Any]:
    """A new code, as text, link and QR."""
    code = devices.make_code(auth.caller().household, auth.now())
    url = f"{auth.origin()}/pair#{code.shown}"
    drawing = qrcode.make(url, image_factory=SvgPathImage).to_string(encoding="unicode")
    return {"code": code.shown, "url": url, "expires_at": code.expires_at, "qr": drawing}


@bp.get("/devices")
def list_devices() -> dict[str, Any]:
    """All devices of the household."""
    caller = auth.caller()
    found = devices.list_devices(caller.household)
    return {"devices": [_as_data(device, caller.device) for device in found]}


@bp.patch("/devices/<device>")
def rename(device: str) -> dict[str, Any]:
    """Give a device another name."""
    name = bodies.load(NameBody())["name"]
    devices.rename(auth.caller().household, device, name)
    return {"id": device, "name": name}


@bp.delete("/devices/<device>")
def revoke(device: str) -> dict[str, Any]:
    """Take a device off the household."""
    devices.revoke(auth.caller().household, device, auth.now())
    return {"id": device, "revoked": True}


def _as_data(device: Device, own: str) -> dict[str, Any]:
    return {
        "id": device.id,
        "name": device.name,
        "created_at": device.created_at,
        "seen_at": device.seen_at,
        "revoked_at": device.revoked_at,
        "this": device.id == own,
    }
