from __future__ import annotations

import pytest

from crestrail.records.groups import group_of, groups_of, is_quiet, names_in
from crestrail.records.schema import BY_NAME, RECORD_TYPES, fields_of


@pytest.mark.parametrize("type_name", BY_NAME)
def test_every_field_is_in_exactly_one_group(type_name: str) -> None:
    names = [name for group in groups_of(type_name).values() for name in group]
    assert sorted(names) == sorted(fields_of(type_name))
    for group, members in groups_of(type_name).items():
        assert all(group_of(type_name, name) == group for name in members)


def test_what_belongs_together_is_one_group() -> None:
    assert names_in("sale", "money") == ("price", "fee", "delivery_charged")
    assert names_in("piece", "estimate") == ("likely", "low", "high")
    assert names_in("outing", "when") == ("at", "on")


def test_a_field_of_a_later_version_is_a_group_of_its_own() -> None:
    assert group_of("sale", "of_later") == "of_later"
    assert names_in("sale", "of_later") == ("of_later",)
    assert not is_quiet("sale", "of_later")


def test_only_places_and_orders_are_quiet() -> None:
    quiet = {
        (t.name, group) for t in RECORD_TYPES for group in groups_of(t.name)
        if is_quiet(t.name, group)
    }  # fmt: skip
    assert {name for _, name in quiet} == {"sort", "spot_id", "hand"}


def test_no_group_is_named_as_a_field_outside_it() -> None:
    for record_type in RECORD_TYPES:
        for group, members in groups_of(record_type.name).items():
            assert group in members or group not in fields_of(record_type.name), (
                f"{record_type.name}.{group}"
            )


def test_an_unknown_type_is_a_programming_error() -> None:
    with pytest.raises(KeyError):
        groups_of("no_such_type")
