"""What is dropped as beaten is beaten by something that is kept, whatever the numbers."""

from __future__ import annotations

import numpy as np
import pytest

from maker_kit.buying.curve.undominated import undominated


@pytest.mark.parametrize("dimensions", range(5))
@pytest.mark.parametrize("size", [1, 2, 40, 129, 500])
def test_what_is_dropped_is_beaten_by_what_is_kept(size: int, dimensions: int) -> None:
    rng = np.random.default_rng(100 * size + dimensions)
    for groups, costs, most in ((1, 5, 3), (4, 10**9, 1000), (20, 50, 10**6), (3, 10**15, 1)):
        group = rng.integers(0, groups, size) * 10**6
        cost = rng.integers(-costs, costs, size)
        dims = [rng.integers(0, most + 1, size) for _ in range(dimensions)]
        kept = undominated(group, cost, dims)
        rows = np.stack([cost, *dims], axis=1)
        assert len(set(kept.tolist())) == len(kept)
        assert (np.diff(group[kept]) >= 0).all()
        for k in np.setdiff1d(np.arange(size), kept):
            assert ((group[kept] == group[k]) & (rows[kept] <= rows[k]).all(axis=1)).any()


def test_without_dimensions_one_a_group_stays_and_with_one_few_are_compared_exactly() -> None:
    group, cost, dim = np.array([0, 0, 1, 1, 1]), np.array([5, 4, 3, 3, 9]), np.array([1, 7, 2, 2, 0])
    assert sorted(cost[undominated(group, cost, [])].tolist()) == [3, 4]
    assert sorted(undominated(group, cost, [dim]).tolist()) == [0, 1, 2, 4]


def test_of_nothing_nothing_stays() -> None:
    assert not len(undominated(np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64), [np.zeros(0, dtype=np.int64)]))
