from __future__ import annotations

from typing import Any

import pytest

from crestrail.records.rules import RULES, broken_rules
from crestrail.records.schema import BY_NAME, fields_of
from helpers.vectors import vectors

CASES = vectors("rules")["cases"]


@pytest.mark.parametrize(("type_name", "fields", "codes"), CASES, ids=str)
def test_what_does_not_fit_together_is_named(
    type_name: str, fields: dict[str, Any], codes: list[str]
) -> None:
    found = broken_rules(type_name, fields)
    assert [code for code, _ in found] == codes
    assert all(message.endswith((".", "?")) for _, message in found)


def test_every_rule_is_broken_by_some_case() -> None:
    broken = {(t, code) for t, _, codes in CASES for code in codes}
    assert {(t, rule.code) for t, rules in RULES.items() for rule in rules} <= broken


def test_rules_are_about_types_that_there_are() -> None:
    assert set(RULES) <= set(BY_NAME)


def test_the_cases_use_fields_that_there_are() -> None:
    for type_name, fields, _ in CASES:
        assert set(fields) <= set(fields_of(type_name))
