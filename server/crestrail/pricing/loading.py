"""Does a piece still go in: boxes in the hold of a car, lengths in mm.

A yes is a packing that was found, so it is never wrong for boxes; a no may be too careful. The
hold is a box (length, width, height); a piece goes in straight through the opening (width,
height) and may lie in the orientations it can travel in. Cushions, cloths and the wheel arches
are not counted: give the hold as the box that is free of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import permutations
from typing import Any

from crestrail.pricing.find import Problems

Size = tuple[int, int, int]
LONGEST = 20_000
MOST_PIECES = 40


def orientations(size: Size, upright: bool) -> list[Size]:
    """The ways a piece may lie as (length, width, height); ``upright``: its height stays up."""
    ways: list[Size] = sorted({(size[i], size[j], size[k]) for i, j, k in permutations(range(3))})
    length, width, height = size
    turned = {(length, width, height), (width, length, height)}
    return [w for w in ways if not upright or w in turned]


def _free(at: Size, size: Size, placed: Sequence[tuple[Size, Size]]) -> bool:
    return all(
        any(at[k] + size[k] <= p[k] or p[k] + s[k] <= at[k] for k in range(3)) for p, s in placed
    )


def _corners(placed: Sequence[tuple[Size, Size]]) -> Iterator[Size]:
    """Places to try, from the front and bottom: every crossing of the sides of what is in."""
    sides = [sorted({0, *(p[k] + s[k] for p, s in placed)}) for k in range(3)]
    for x in sides[0]:
        for z in sides[2]:
            for y in sides[1]:
                yield (x, y, z)


def _place(
    piece: Mapping[str, Any], car: Mapping[str, Any], placed: Sequence[tuple[Size, Size]]
) -> tuple[Size, Size] | None:
    for at in _corners(placed):
        for way in orientations(piece["size"], piece["upright"]):
            passes = way[1] <= car["opening"][0] and way[2] <= car["opening"][1]
            inside = all(at[k] + way[k] <= car["hold"][k] for k in range(3))
            if passes and inside and _free(at, way, placed):
                return at, way
    return None


def pack(
    pieces: Sequence[Mapping[str, Any]], car: Mapping[str, Any]
) -> list[tuple[Size, Size]] | None:
    """A place and a way to lie for every piece, the largest loaded first; None: none found."""
    volumes = [p["size"][0] * p["size"][1] * p["size"][2] for p in pieces]
    order = sorted(range(len(pieces)), key=lambda i: (-volumes[i], i))
    placed: list[tuple[Size, Size]] = []
    for i in order:
        found = _place(pieces[i], car, placed)
        if found is None:
            return None
        placed.append(found)
    return [placed[order.index(i)] for i in range(len(pieces))]


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


def answer_load(pieces: Sequence[Mapping[str, Any]], car: Mapping[str, Any]) -> dict[str, Any]:
    """``{ok, fits, why, places: [{at, size}]}`` for all pieces, the new one among them.

    ``pieces`` are ``{size: [length, width, height], upright}``, ``car`` is ``{hold: [length,
    width, height], opening: [width, height]}``. ``why`` is ``too_large:INDEX`` where one does
    not go in even into the empty hold, ``no_room`` where no packing was found, or None.
    """
    problems = Problems()
    read_car = {
        "hold": _sizes(car.get("hold"), "hold", 3, problems),
        "opening": _sizes(car.get("opening"), "opening", 2, problems),
    }
    read = [
        {
            "size": _sizes(p.get("size"), f"pieces.{i}.size", 3, problems),
            "upright": bool(p.get("upright")),
        }
        for i, p in enumerate(pieces)
    ]
    if len(read) > MOST_PIECES:
        problems.add("pieces", "too_big", max=MOST_PIECES)
    if problems.details:
        return {"ok": False, "details": problems.details}
    for i, piece in enumerate(read):
        if _place(piece, read_car, []) is None:
            return {"ok": True, "fits": False, "why": f"too_large:{i}", "places": []}
    placed = pack(read, read_car)
    if placed is None:
        return {"ok": True, "fits": False, "why": "no_room", "places": []}
    places = [{"at": list(at), "size": list(size)} for at, size in placed]
    return {"ok": True, "fits": True, "why": None, "places": places}
