"""A yes is never wrong: an exact search in small holds, and every packing looked at."""

from __future__ import annotations

import random
from itertools import product
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from crestrail.pricing.loading import answer_load

small = st.lists(
    st.fixed_dictionaries({"size": st.tuples(*[st.integers(1, 4)] * 3), "upright": st.booleans()}),
    min_size=1,
    max_size=3,
)


def ways(size: tuple[int, int, int], upright: bool) -> set[tuple[int, ...]]:
    a, b, c = size
    flat = {(a, b, c), (b, a, c)}
    return flat if upright else flat | {(a, c, b), (c, a, b), (b, c, a), (c, b, a)}


def exact(pieces: list[dict], hold: tuple[int, ...], opening: tuple[int, ...]) -> bool:
    """Whether any packing on whole numbers exists, cell by cell."""

    def go(at: int, full: frozenset) -> bool:
        if at == len(pieces):
            return True
        for w in ways(pieces[at]["size"], pieces[at]["upright"]):
            if w[1] > opening[0] or w[2] > opening[1]:
                continue
            for corner in product(*(range(h - x + 1) for h, x in zip(hold, w, strict=True))):
                sides = (range(c, c + x) for c, x in zip(corner, w, strict=True))
                cells = frozenset(product(*sides))
                if not cells & full and go(at + 1, full | cells):
                    return True
        return False

    return go(0, frozenset())


@settings(max_examples=60, deadline=None)
@given(small, st.tuples(*[st.integers(2, 4)] * 3), st.tuples(*[st.integers(1, 4)] * 2))
def test_a_yes_is_a_yes_of_an_exact_search(pieces: list, hold: tuple, opening: tuple) -> None:
    got = answer_load(pieces, {"hold": hold, "opening": opening})
    if got["fits"] or len(pieces) == 1 or got["why"] == "too_much":
        assert got["fits"] == exact(pieces, hold, opening)
    if got["fits"]:
        assert_can_be_loaded(pieces, got["loaded"], hold, opening)


def assert_can_be_loaded(
    pieces: list[dict[str, Any]], loaded: list[dict[str, Any]], hold: Any, opening: Any
) -> None:
    """One by one: through the opening, nothing in the way, every cell below it floor or full."""
    full: set[tuple[int, int, int]] = set()
    assert sorted(one["piece"] for one in loaded) == list(range(len(pieces)))
    for one in loaded:
        (x, y, z), (a, b, c) = one["at"], one["size"]
        piece = pieces[one["piece"]]
        assert (a, b, c) in ways(tuple(piece["size"]), piece["upright"])
        assert b <= opening[0]
        assert c <= opening[1]
        assert x + a <= hold[0]
        assert y + b <= hold[1]
        assert z + c <= hold[2]
        path = set(product(range(x, hold[0]), range(y, y + b), range(z, z + c)))
        assert not path & full
        below = product(range(x, x + a), range(y, y + b), [z - 1])
        assert z == 0 or set(below) <= full
        full |= set(product(range(x, x + a), range(y, y + b), range(z, z + c)))


def test_300_loads_are_never_a_yes_where_an_exact_search_says_no_and_seldom_too_careful() -> None:
    seed = 20261125
    rng = random.Random(seed)
    careful = fits = 0
    for case in range(300):
        hold = tuple(rng.randrange(3, 6) for _ in range(3))
        opening = (rng.randrange(2, hold[1] + 1), rng.randrange(2, hold[2] + 1))
        pieces = [
            {"size": tuple(rng.randrange(1, 5) for _ in range(3)), "upright": rng.random() < 0.3}
            for _ in range(rng.randrange(2, 5))
        ]
        got = answer_load(pieces, {"hold": hold, "opening": opening})
        if got["fits"]:
            assert_can_be_loaded(pieces, got["loaded"], hold, opening)
            fits += 1
        elif got["why"] == "no_room":
            careful += exact(pieces, hold, opening)
        else:
            assert not exact(pieces, hold, opening), f"seed {seed}, case {case}"
    assert fits > 50
    assert careful <= 0.15 * (fits + careful), f"{careful} too careful, {fits} yes"


def test_bad_input_is_named() -> None:
    car = {"hold": [1800, 1100, 850], "opening": [1050, 750]}
    for pieces, hold in ((None, car), ([None], car), ([{"size": [1, 2, float("nan")]}], car),
                          ([], None), ([{"size": [0, 10**9, 5]}], {"hold": 3})):  # fmt: skip
        answer = answer_load(pieces, hold)
        assert answer["ok"] is False
        assert all(d["path"] and len(d["message"]) > 5 for d in answer["details"])
