"""What pulling 50 changes costs out of 1,000 and out of 100,000 records, in one run.

``python tests/bench/bench_pull.py`` prints the two medians in milliseconds and their ratio.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from helpers import app as apps
from helpers.app import Client, Home

ROUNDS = 15
CHANGED = 50


def fill(client: Client, count: int) -> None:
    """Push so many records in large pushes."""
    for start in range(0, count, 2000):
        size = min(2000, count - start)
        client.sync([client.change("spot", {"name": "Shelf", "note": "x" * 300})
                     for _ in range(size)], limit=1)  # fmt: skip


def last_cursor(client: Client) -> str | None:
    """The cursor behind the newest row."""
    cursor, more = None, True
    while more:
        answer = client.sync(cursor=cursor, limit=1000)
        cursor, more = answer["cursor"], answer["more"]
    return cursor


def pull_ms(home: Home) -> float:
    """The median time of pulling the newest changes of another phone, in milliseconds."""
    reader, writer = home.pair(), home.pair()
    cursor = last_cursor(reader)
    took = []
    for _ in range(ROUNDS):
        writer.sync([writer.change("spot", {"name": "New"}) for _ in range(CHANGED)], limit=1)
        begun = time.perf_counter()
        answer = reader.sync(cursor=cursor)
        took.append((time.perf_counter() - begun) * 1000)
        assert len(answer["records"]) == CHANGED
        cursor = answer["cursor"]
    return statistics.median(took)


def main() -> None:
    """Measure both, and print the ratio."""
    found = {}
    for size in (1_000, 100_000):
        with tempfile.TemporaryDirectory() as folder, apps.opened(Path(folder)) as home:
            fill(home.pair(), size)
            found[size] = pull_ms(home)
            print(f"pulling {CHANGED} of {size:>7,} records: {found[size]:.1f} ms (median)")
    print(f"ratio: {found[100_000] / found[1_000]:.2f}")


if __name__ == "__main__":
    main()
