"""Student's t against scipy.stats."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from maker_kit.student import two_sided_p, two_sided_t


@settings(deadline=None, max_examples=60)
@given(st.integers(1, 300), st.floats(-50, 50))
def test_how_likely_a_value_lies_as_far_out_is_scipys(free: int, t: float) -> None:
    assert two_sided_p(t, free) == pytest.approx(2 * stats.t.sf(abs(t), free), abs=1e-12)


@settings(deadline=None, max_examples=60)
@given(st.integers(1, 120), st.floats(-0.99, 0.9999))
def test_the_t_of_a_trust_is_scipys(free: int, trust: float) -> None:
    assert two_sided_t(free, trust) == pytest.approx(stats.t.ppf((1 + trust) / 2, free), rel=1e-8, abs=1e-12)
