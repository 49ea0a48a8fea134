"""``GET /api/price-book``: the numbers that phones price with offline."""

from __future__ import annotations

from flask import Blueprint, Response, current_app, jsonify, request

from crestrail.api import auth
from crestrail.services.price_book import Shelf

bp = Blueprint("price_book", __name__, url_prefix="/api")


@bp.get("/price-book")
def get_book() -> Response:
    """The book; a phone that has this version already gets 304."""
    shelf: Shelf = current_app.extensions["crestrail_shelf"]
    version, book = shelf.book(auth.caller().household, auth.now())
    response = jsonify(book)
    response.set_etag(version, weak=True)
    response.headers["Cache-Control"] = "private, no-cache"
    response.make_conditional(request)
    return response
