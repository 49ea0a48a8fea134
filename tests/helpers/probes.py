"""Every call of the API, found in the application's own map, with something to fill it with."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flask import Flask

UNSAFE = ("POST", "PUT", "PATCH", "DELETE")


@dataclass(frozen=True)
class Call:
    """One method of one rule; ``rule`` still has its places ``<name>``."""

    method: str
    rule: str
    endpoint: str
    places: tuple[str, ...]

    def path(self, **values: str) -> str:
        """The address with the places filled; ``x`` where no value is given."""
        text = self.rule
        for place in self.places:
            start = text.index("<")
            text = text[:start] + values.get(place, "x") + text[text.index(">") + 1 :]
        return text


def calls(app: Flask) -> Iterator[Call]:
    """All calls of the application but the automatic HEAD and OPTIONS."""
    for rule in sorted(app.url_map.iter_rules(), key=lambda rule: (rule.rule, rule.endpoint)):
        places = tuple(name for is_place, name in rule._trace if is_place)
        for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"}):
            yield Call(method, rule.rule, rule.endpoint, places)
