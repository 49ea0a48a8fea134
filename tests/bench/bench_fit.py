"""How long a price book takes to make and how large it is.

``python tests/bench/bench_fit.py`` prints both for 300 and 5,000 own sales, with as many listings
and twice as many stints: the invented household of the tests, and one of 60 kinds and 35 traits.
"""

from __future__ import annotations

import json
import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from crestrail.pricing.book import build_book
from crestrail.pricing.history import History, Settings
from helpers.pricing_histories import AS_OF, large_past, past

ROUNDS = 5


def line(name: str, history: History) -> str:
    """Median time and size of one household's book."""
    took = []
    for _ in range(ROUNDS):
        begun = time.perf_counter()
        book = build_book(history, Settings(), AS_OF)
        took.append(time.perf_counter() - begun)
    size = len(json.dumps(book, separators=(",", ":")))
    return f"{name:44} {statistics.median(took):6.2f} s {size / 1000:7.1f} kB"


def main() -> None:
    """Both households at both sizes."""
    for sales in (300, 5000):
        print(line(f"{sales} sales, 6 kinds, 5 traits", past(1, sales)))
        print(line(f"{sales} sales, 60 kinds, 35 traits, 40 steps", large_past(sales)))


if __name__ == "__main__":
    main()
