"""The one error family, and the one table of error codes.

Every refusal in Crestrail is a code of ``ERRORS`` with a message for a person and the HTTP
status it is answered with. A code that is not in the table is a programming error (KeyError).
``web/js/basis/errors.js`` holds the same table.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

Detail = dict[str, Any]
"""One finding: ``{path, code, message}``, sometimes with more keys (``clock``)."""


class ErrorKind(NamedTuple):
    """What an error code says (with ``{name}`` places to fill) and its HTTP status."""

    template: str
    status: int


ERRORS: dict[str, ErrorKind] = {
    # a call as a whole
    "bad_json": ErrorKind("The body is not JSON that can be read: {reason}", 400),
    "bad_gzip": ErrorKind("The compressed body cannot be unpacked; send it again", 400),
    "bad_field": ErrorKind("Some values cannot be taken; see the details", 422),
    "bad_cursor": ErrorKind("The cursor is not one that this server gave out", 400),
    "unknown_call": ErrorKind("There is no call {call} here", 404),
    "wrong_method": ErrorKind("{call} cannot be called with {method}", 405),
    "wrong_content_type": ErrorKind("Send the body as {expected}", 415),
    "not_found": ErrorKind("There is no such thing here", 404),
    "not_paired": ErrorKind("This device is not paired with the household; pair it first", 401),
    "revoked": ErrorKind(
        "This device was taken off the household; what it has not sent stays on it", 401
    ),
    "other_household": ErrorKind(
        "These records belong to another household; they stay on the device", 409
    ),
    "clock_ahead": ErrorKind("The device's clock is ahead of home; set it right and resend", 409),
    "too_large": ErrorKind("That is too large: at most {limit}", 413),
    "too_many_tries": ErrorKind("Too many tries; wait {seconds} seconds", 429),
    "bad_code": ErrorKind("That code is not right; look at it again", 403),
    "code_spent": ErrorKind("That code was used or is too old; have a new one shown", 403),
    "wrong_host": ErrorKind("Open Crestrail at {origin}; this address will not do", 421),
    "not_allowed": ErrorKind("That is not allowed here: {reason}", 403),
    "conflict": ErrorKind("That does not go with what is there already: {reason}", 409),
    "disk_full": ErrorKind("The home computer's disk is full; make room, nothing was taken", 507),
    "upgrade_failed": ErrorKind(
        "The database could not be brought up to date and is as it was before. Start the version "
        "you had until now, and report this: {reason}. {copy}",
        500,
    ),
    "internal": ErrorKind("Something went wrong at home; nothing was changed. Try again", 500),
    "not_an_answer": ErrorKind("What answered was not the home computer", 502),
    # photos
    "photo_has_metadata": ErrorKind(
        "The picture still carries camera data; save it anew without it", 422
    ),
    "photo_not_jpeg": ErrorKind("The picture is not a JPEG that can be opened", 422),
    "photo_hash_mismatch": ErrorKind("The picture's bytes are not those it is named for", 422),
    "photo_too_large": ErrorKind("The picture is too large: at most {limit}", 413),
    # a record, a change
    "unknown_type": ErrorKind("There is no record type {name}", 422),
    "bad_name": ErrorKind("Field names are lower-case letters, digits and _, at most 40", 422),
    "too_many_fields": ErrorKind("At most {max} fields", 422),
    "required": ErrorKind("This is needed", 422),
    "no_stamp": ErrorKind("The group {group} has no stamp", 422),
    "bad_stamp": ErrorKind(
        "That is not a stamp: 12 hex digits, 4 and 16, lower case, hyphens between", 422
    ),
    # a value of a field
    "wrong_type": ErrorKind("This has to be {expected}", 422),
    "bad_text": ErrorKind("The text holds characters that cannot be kept (NUL, half a pair)", 422),
    "too_short": ErrorKind("At least {min} characters", 422),
    "too_long": ErrorKind("At most {max} characters", 422),
    "too_small": ErrorKind("At least {min}", 422),
    "too_big": ErrorKind("At most {max}", 422),
    "too_few": ErrorKind("At least {min} entries", 422),
    "too_many": ErrorKind("At most {max} entries", 422),
    "twice": ErrorKind("The same entry stands there twice", 422),
    "unknown_choice": ErrorKind("Choose one of {choices}", 422),
    "too_deep": ErrorKind("Nested too deeply: at most {max} levels", 422),
    "bad_number": ErrorKind("Numbers have to lie within ±9,007,199,254,740,991", 422),
    # typed text
    "bad_money": ErrorKind("“{text}” is not an amount; write it like 12.50 or 1,200", 422),
    "money_two_ways": ErrorKind(
        "“{text}” can be read in two ways; leave out the thousands mark", 422
    ),
    "money_too_large": ErrorKind("“{text}” is larger than any amount taken here", 422),
    "bad_quantity": ErrorKind("“{text}” is not a measure; write it like 30, 30.5 or 30 1/2", 422),
    "bad_instant": ErrorKind("“{text}” is not a moment like 2026-05-01T14:03:00.000Z", 422),
    "bad_date": ErrorKind("“{text}” is not a calendar day like 2026-05-01", 422),
    "bad_zone": ErrorKind("There is no time zone “{text}”; one is for instance Europe/Paris", 422),
    "code_length": ErrorKind("A tag code has 9 letters and digits; this one has {count}", 422),
    "code_symbol": ErrorKind("“{symbol}” is never in a tag code; look again", 422),
    "code_check": ErrorKind("One letter or digit of the code is off; look again", 422),
}


def message_of(code: str, **values: Any) -> str:
    """The message of an error code with its places filled; KeyError for an unknown code."""
    return ERRORS[code].template.format(**values)


def detail(path: str, code: str, **values: Any) -> Detail:
    """One finding about the value at ``path``."""
    return {"path": path, "code": code, "message": message_of(code, **values)}


class CrestrailError(Exception):
    """A refusal: ``code`` of the table, ``message``, HTTP ``status``, ``details``.

    ``values`` fill the places of the message.
    """

    def __init__(self, code: str, details: Iterable[Detail] = (), **values: Any) -> None:
        self.code = code
        self.message = message_of(code, **values)
        self.status = ERRORS[code].status
        self.details = list(details)
        super().__init__(f"{code}: {self.message}")

    def as_data(self) -> dict[str, Any]:
        """The error as the API answers it."""
        return {"code": self.code, "message": self.message, "details": self.details}


class BadInput(CrestrailError, ValueError):
    """Something typed that cannot be read; the message says why and how to write it."""
