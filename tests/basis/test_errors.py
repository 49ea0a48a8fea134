from __future__ import annotations

import re
from typing import Any

import pytest

from crestrail.basis.errors import ERRORS, BadInput, CrestrailError, detail, message_of
from helpers.vectors import vectors

PLACE = re.compile(r"\{([a-z]+)\}")


@pytest.mark.parametrize("code", ERRORS)
def test_every_code_has_a_message_for_a_person_and_an_http_status(code: str) -> None:
    template, status = ERRORS[code]
    values = dict.fromkeys(PLACE.findall(template), "thing")
    assert re.fullmatch("[a-z][a-z0-9_]*", code)
    assert 400 <= status < 600
    assert "{" not in message_of(code, **values)


def test_an_unknown_code_is_a_programming_error() -> None:
    with pytest.raises(KeyError):
        CrestrailError("no_such_code")


def test_a_message_with_an_unfilled_place_is_a_programming_error() -> None:
    with pytest.raises(KeyError):
        message_of("too_large")


def test_an_error_is_answered_as_code_message_and_details() -> None:
    found: list[dict[str, Any]] = [detail("price", "too_small", min=0)]
    error = CrestrailError("bad_field", found)
    assert error.status == 422
    assert error.as_data() == {
        "code": "bad_field",
        "message": "Some values cannot be taken; see the details",
        "details": [{"path": "price", "code": "too_small", "message": "At least 0"}],
    }


def test_bad_input_is_also_a_value_error() -> None:
    assert isinstance(BadInput("code_check"), ValueError)


def test_the_phone_has_the_same_table() -> None:
    table = {code: [kind.template, kind.status] for code, kind in ERRORS.items()}
    assert vectors("errors")["table"] == table
