"""Tags to print: one as a picture, many as a sheet of labels."""

from __future__ import annotations

import secrets
from typing import Any

from flask import Blueprint, Response, request
from marshmallow import ValidationError, fields, validate, validates_schema

from crestrail.api import auth, bodies
from crestrail.api.schemas import Body, Many, Text, Whole, plain
from crestrail.basis.errors import BadInput, CrestrailError
from crestrail.basis.ids import new_tag_code, parse_tag_code
from crestrail.services import tags
from crestrail.services.label_sheets import Label, Sheet, sheet_pdf

bp = Blueprint("tags", __name__, url_prefix="/api")

MOST_LABELS = 300


def _tag_code(text: str) -> None:
    """Refuse what is no tag code; hyphens and lower case are read as a person types them."""
    try:
        parse_tag_code(text)
    except BadInput as error:
        raise ValidationError(error.message) from None


class LabelBody(Body):
    """One label of a sheet: a tag that is bound (or will be), and the piece's title."""

    code = Text(required=True, validate=[validate.Length(max=40), plain, _tag_code])
    title = Text(load_default="", validate=[validate.Length(max=200), plain])


class SheetBody(Body):
    """``POST /api/tag-sheets``: labels for known tags, and blank ones with codes made here."""

    tags = Many(
        fields.Nested(LabelBody), load_default=list, validate=validate.Length(max=MOST_LABELS)
    )
    blank = Whole(load_default=0, validate=validate.Range(0, MOST_LABELS))
    paper = Text(load_default="letter", validate=validate.Length(max=40))
    layout = Text(load_default="wide", validate=validate.Length(max=40))

    @validates_schema
    def something_to_print(self, data: dict[str, Any], **_: Any) -> None:
        """An empty sheet is a mistake that is better said than printed."""
        if not data["tags"] and not data["blank"]:
            raise ValidationError("Name at least one tag, or ask for blank ones", "tags")


@bp.get("/tags/<code>.png")
def picture(code: str) -> Response:
    """One tag as a PNG."""
    try:
        kept = parse_tag_code(code)
    except BadInput as error:
        found = {"path": "code", "code": error.code, "message": error.message}
        raise CrestrailError("bad_field", [found]) from None
    return Response(tags.tag_png(tags.tag_url(_origin().url, kept), kept), mimetype="image/png")


@bp.post("/tag-sheets")
def sheet() -> Response:
    """Labels as a PDF, in the order they were named, blank ones last."""
    wanted = bodies.load(SheetBody())
    origin = _origin()
    named = [(parse_tag_code(tag["code"]), tag["title"]) for tag in wanted["tags"]]
    blank = [(new_tag_code(secrets.token_bytes), "") for _ in range(wanted["blank"])]
    labels = [Label(code, tags.tag_url(origin.url, code), title) for code, title in named + blank]
    form = Sheet(wanted["paper"], wanted["layout"], _note(origin))
    answer = Response(sheet_pdf(labels, form), mimetype="application/pdf")
    answer.headers["Content-Disposition"] = 'attachment; filename="crestrail-tags.pdf"'
    return answer


def _origin() -> tags.Origin:
    return tags.origin_for_tags(auth.settings().origin or None, request.host_url)


def _note(origin: tags.Origin) -> str:
    """What has to be said at the foot of a sheet."""
    sample = "Invented sample: nobody's real pieces. " if auth.settings().sample else ""
    return sample + origin.note
