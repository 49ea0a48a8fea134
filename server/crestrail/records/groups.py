"""Stamp groups: which fields are written, stamped and merged together.

A field that this version does not know is a group of its own name. That is why a field added
to the schema later never joins a group that exists already.
"""

from __future__ import annotations

from functools import cache

from crestrail.records.schema import fields_of


@cache
def groups_of(type_name: str) -> dict[str, tuple[str, ...]]:
    """The groups of a record type with their fields' names; KeyError for an unknown type."""
    groups: dict[str, tuple[str, ...]] = {}
    for name, field in fields_of(type_name).items():
        groups[field.stamp_group] = (*groups.get(field.stamp_group, ()), name)
    return groups


@cache
def _group_by_field(type_name: str) -> dict[str, str]:
    return {name: field.stamp_group for name, field in fields_of(type_name).items()}


def group_of(type_name: str, field_name: str) -> str:
    """The group that a field is stamped with."""
    return _group_by_field(type_name).get(field_name, field_name)


def names_in(type_name: str, group: str) -> tuple[str, ...]:
    """The fields of a group; a group that is not known is the one field of its name."""
    return groups_of(type_name).get(group, (group,))


def is_quiet(type_name: str, group: str) -> bool:
    """Whether a conflict in the group goes to the history only."""
    known = fields_of(type_name)
    return all(name in known and known[name].quiet for name in names_in(type_name, group))
