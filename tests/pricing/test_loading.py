"""A yes is never wrong: an exact search in a small hold, and every packing looked at."""

from __future__ import annotations

from itertools import product

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
    if got["fits"] or len(pieces) == 1:
        assert got["fits"] == exact(pieces, hold, opening)
