"""Film and loss from real yields. Expected values: numpy's least squares, the law itself, and cases by hand."""

from __future__ import annotations

import numpy as np
import pytest
from demo_workshop import demo
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.bench.yields import BatchYield, propose_loss, yields_of
from maker_kit.errors import QuantityError
from maker_kit.workbook.bench_book import BenchBook

FILL = 196.0


def batches(counts, film=12.0, loss=2.5, off=()) -> list[BatchYield]:
    rows = []
    for k, n in enumerate(counts):
        more = off[k] if k < len(off) else 0.0
        rows.append(BatchYield(f"B{k}", film + n * FILL * (1 + loss / 100) + more, n, n * FILL))
    return rows


def test_exact_yields_give_back_the_law_they_were_made_by() -> None:
    found = propose_loss(batches([4, 8, 12]))
    assert found.film_g == pytest.approx(12.0, abs=1e-6)
    assert found.loss_percent == pytest.approx(2.5, abs=1e-8)
    assert found.rest_g == pytest.approx(0.0, abs=1e-6)


def test_noisy_yields_are_fitted_as_numpy_fits_them() -> None:
    given_yields = batches([4, 6, 8, 12, 10], off=[1.5, -2.0, 0.7, -0.4, 2.2])
    slope, film = np.polyfit([y.filled_g for y in given_yields], [y.made_g for y in given_yields], 1)
    found = propose_loss(given_yields)
    assert found.film_g == pytest.approx(film)
    assert found.loss_percent == pytest.approx(100 * (slope - 1))


@pytest.mark.parametrize(("counts", "code"), [([], "few"), ([4, 8], "few"), ([6, 6, 6, 6], "one_size")])
def test_too_little_is_not_yet(counts, code) -> None:
    found = propose_loss(batches(counts))
    assert (found.film_g, found.loss_percent) == (None, None)
    assert [f.code for f in found.findings] == [f"yield.{code}"]


def test_more_out_than_in_is_looked_at_and_nothing_falls_below_nothing() -> None:
    found = propose_loss(batches([4, 8, 12], film=0.0, loss=0.0, off=[-5, -20, -1]))
    assert [f.code for f in found.findings][:3] == ["yield.more_out"] * 3
    assert found.film_g >= 0
    assert found.loss_percent >= 0


@given(
    st.lists(st.integers(1, 48), min_size=3, max_size=8),
    st.floats(0, 40),
    st.floats(0, 20),
    st.lists(st.floats(-3, 3), min_size=8, max_size=8),
)
def test_no_other_pair_fits_better(counts, film, loss, off) -> None:
    given_yields = batches(counts, film, loss, off)
    found = propose_loss(given_yields)
    if found.film_g is None:
        return

    def miss(f: float, share: float) -> float:
        return sum((y.made_g - f - (1 + share / 100) * y.filled_g) ** 2 for y in given_yields)

    best = miss(found.film_g, found.loss_percent)
    for df, dl in ((0.5, 0), (-0.5, 0), (0, 0.05), (0, -0.05)):
        f, share = found.film_g + df, found.loss_percent + dl
        if f >= 0 and share >= 0:
            assert miss(f, share) >= best - 1e-6


def test_a_batch_without_mass_is_refused() -> None:
    with pytest.raises(QuantityError):
        propose_loss([BatchYield("B", 0.0, 1, 10.0)])


def test_the_logs_batches_have_what_was_weighed_and_filled() -> None:
    book = BenchBook(demo())
    found = {y.batch: y for y in yields_of(book.log, "r2-gel-cream")}
    assert set(found) == {f"R2-0{k}" for k in range(1, 9)}  # today's was not filled yet
    assert found["R2-01"].made_g == pytest.approx(4 * 196 * 1.024 + 12.4, abs=0.01)
    assert found["R2-01"].filled_g == pytest.approx(4 * 196.0)
    book.close()
