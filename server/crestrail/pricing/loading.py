"""Does a piece still go in: boxes in the hold of a car, lengths in mm.

A yes is a packing that was found, so it is never wrong for boxes; a no may be too careful. The
hold is a box (length, width, height). Every piece goes in straight through the opening (width,
height), in one of the ways it can travel, and then straight forward to its place past what is in
already; it stands on the floor or wholly on what is below it. Cushions, cloths and wheel arches
are not counted: the hold is the box that is free of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import permutations
from typing import Any

from crestrail.pricing.find import Problems

Size = tuple[int, int, int]
Places = Sequence[tuple[Size, Size]]
LONGEST = 20_000
MOST_PIECES = 40
EVERY_ORDER = 5
"""Up to so many pieces every order of loading is tried."""


def orientations(size: Size, upright: bool) -> list[Size]:
    """The ways a piece may lie as (length, width, height); ``upright``: its height stays up."""
    ways: list[Size] = sorted({(size[i], size[j], size[k]) for i, j, k in permutations(range(3))})
    length, width, height = size
    turned = {(length, width, height), (width, length, height)}
    return [w for w in ways if not upright or w in turned]


def _apart(at: Size, size: Size, other: tuple[Size, Size], k: int) -> bool:
    """Whether two boxes do not overlap along one axis."""
    return at[k] + size[k] <= other[0][k] or other[0][k] + other[1][k] <= at[k]


def _gets_there(at: Size, size: Size, placed: Places) -> bool:
    """Whether nothing that is in stands in its place or in its way from the opening."""
    return all(
        _apart(at, size, p, 1) or _apart(at, size, p, 2) or p[0][0] + p[1][0] <= at[0]
        for p in placed
    )


def _stands(at: Size, size: Size, placed: Places) -> bool:
    """Whether it stands on the floor, or wholly on what is below it."""
    if at[2] == 0:
        return True
    covered = 0
    for below, s in placed:
        if below[2] + s[2] == at[2]:
            sides = [min(at[k] + size[k], below[k] + s[k]) - max(at[k], below[k]) for k in range(2)]
            covered += max(0, sides[0]) * max(0, sides[1])
    return covered == size[0] * size[1]


def _corners(placed: Places, room: Sequence[int]) -> Iterator[Size]:
    """Places to try, from the front and bottom: every crossing of the sides of what is in, no
    further than ``room`` along each axis."""
    sides = [sorted({0, *(p[k] + s[k] for p, s in placed)}) for k in range(3)]
    sides = [[x for x in of_axis if x <= room[k]] for k, of_axis in enumerate(sides)]
    for x in sides[0]:
        for z in sides[2]:
            for y in sides[1]:
                yield (x, y, z)


def _place(
    ways: Sequence[Size], car: Mapping[str, Any], placed: Places
) -> tuple[Size, Size] | None:
    if not ways:
        return None
    room = [car["hold"][k] - min(way[k] for way in ways) for k in range(3)]
    for at in _corners(placed, room):
        for way in ways:
            inside = all(at[k] + way[k] <= car["hold"][k] for k in range(3))
            if inside and _stands(at, way, placed) and _gets_there(at, way, placed):
                return at, way
    return None


def _ways(piece: Mapping[str, Any], car: Mapping[str, Any]) -> list[Size]:
    """The ways in which it passes the opening."""
    ways = orientations(piece["size"], piece["upright"])
    return [w for w in ways if w[1] <= car["opening"][0] and w[2] <= car["opening"][1]]


def _orders(pieces: Sequence[Mapping[str, Any]]) -> Iterator[Sequence[int]]:
    """Orders of loading to try: the large ones first, by several measures; then every order of a
    few, or each of many put first."""
    sizes = [sorted(p["size"]) for p in pieces]
    measures = (
        [s[0] * s[1] * s[2] for s in sizes],
        [s[2] for s in sizes],
        [s[1] * s[2] for s in sizes],
        [p["size"][2] for p in pieces],
    )
    indices = range(len(pieces))
    for measure in measures:
        yield [i for _, i in sorted((-m, i) for i, m in enumerate(measure))]
    if len(pieces) <= EVERY_ORDER:
        yield from permutations(indices)
    else:
        for first in indices:
            yield [first, *(i for i in indices if i != first)]


def pack(
    pieces: Sequence[Mapping[str, Any]], car: Mapping[str, Any]
) -> list[tuple[int, Size, Size]] | None:
    """Pieces in the order of loading, each with its place and way to lie; None: none found."""
    ways = [_ways(p, car) for p in pieces]
    for order in _orders(pieces):
        for turn in (1, -1):
            loaded: list[tuple[int, Size, Size]] = []
            for i in order:
                found = _place(ways[i][::turn], car, [(at, size) for _, at, size in loaded])
                if found is None:
                    break
                loaded.append((i, *found))
            if len(loaded) == len(pieces):
                return loaded
    return None


def _sizes(value: Any, path: str, count: int, problems: Problems) -> tuple[int, ...]:
    given = list(value) if isinstance(value, list | tuple) else []
    if len(given) != count:
        problems.add(path, "required")
        return (1,) * count
    sizes = []
    for k, x in enumerate(given):
        size = problems.whole(x, f"{path}.{k}", (1, LONGEST))
        if x is None or x == "":
            problems.add(f"{path}.{k}", "required")
        sizes.append(size or 1)
    return tuple(sizes)


def _read(pieces: Any, car: Any, problems: Problems) -> tuple[list[dict[str, Any]], dict[str, Any]]:
    given = car if isinstance(car, Mapping) else {}
    read_car = {
        "hold": _sizes(given.get("hold"), "hold", 3, problems),
        "opening": _sizes(given.get("opening"), "opening", 2, problems),
    }
    if not isinstance(pieces, list | tuple):
        problems.add("pieces", "wrong_type", expected="a list")
        return [], read_car
    read = []
    for i, p in enumerate(pieces):
        piece = p if isinstance(p, Mapping) else {}
        size = _sizes(piece.get("size"), f"pieces.{i}.size", 3, problems)
        read.append({"size": size, "upright": bool(piece.get("upright"))})
    if len(read) > MOST_PIECES:
        problems.add("pieces", "too_big", max=MOST_PIECES)
    return read, read_car


def _never(pieces: Sequence[Mapping[str, Any]], car: Mapping[str, Any]) -> str | None:
    """Why it cannot go in whatever is tried."""
    for i, piece in enumerate(pieces):
        if _place(_ways(piece, car), car, []) is None:
            return f"too_large:{i}"
    wanted = sum(p["size"][0] * p["size"][1] * p["size"][2] for p in pieces)
    length, width, height = car["hold"]
    return "too_much" if wanted > length * width * height else None


def answer_load(pieces: Any, car: Any) -> dict[str, Any]:
    """``{ok, fits, why, loaded: [{piece, at, size}]}`` for all pieces, the new one among them.

    ``pieces`` are ``{size: [length, width, height], upright}``, ``car`` is ``{hold: [length,
    width, height], opening: [width, height]}``; ``loaded`` is in the order of loading. ``why`` is
    ``too_large:INDEX`` where one does not go in even into the empty hold, ``too_much`` where all
    take more than the hold, ``no_room`` where no packing was found (there may be one), or None.
    """
    problems = Problems()
    read, read_car = _read(pieces, car, problems)
    if problems.details:
        return {"ok": False, "details": problems.details}
    why = _never(read, read_car)
    packed = None if why else pack(read, read_car)
    if packed is None:
        return {"ok": True, "fits": False, "why": why or "no_room", "loaded": []}
    loaded = [{"piece": i, "at": list(at), "size": list(size)} for i, at, size in packed]
    return {"ok": True, "fits": True, "why": None, "loaded": loaded}
