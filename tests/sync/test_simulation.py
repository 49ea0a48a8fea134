"""Many phones, a bad network and wrong clocks, drawn from a seed; a failure names its seed."""

from __future__ import annotations

import pytest

from helpers.simulation import Simulation


@pytest.mark.parametrize("seed", range(3))
def test_I3_in_the_quiet_all_are_equal_and_no_write_is_lost(seed: int, database_url: str) -> None:
    Simulation(seed, database=database_url).run()


def test_I12_the_same_seed_is_the_same_run() -> None:
    first, second, other = (Simulation(seed, steps=60).run() for seed in (3, 3, 4))
    assert first.trace == second.trace
    assert first.digest == second.digest != other.digest
