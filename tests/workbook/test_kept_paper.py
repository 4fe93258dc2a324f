"""Pictures on kept paper: nothing of an earlier drawing stays, and it looks as the library draws it at once."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from demo_workshop import demo
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from PIL import Image

from maker_kit.plan import curve_view, make_plan
from maker_kit.workbook.charts.make_or_buy import CURVE
from maker_kit.workbook.charts.picture import DPI, WIDTH_IN, Picture

PAPERS: tuple[Callable[[Axes], object], ...] = (
    lambda ax: ax.set_title("another title", loc="left"),
    lambda ax: ax.set_title("Title", loc="left", color="red"),
    lambda ax: ax.set_title("Title", loc="left", fontsize=14),
    lambda ax: ax.set_xlabel("another name"),
    lambda ax: ax.set_ylabel("up"),
    lambda ax: ax.set_xlim(0, 7),
    lambda ax: ax.set_ylim(0, 7),
    lambda ax: ax.set_xticks([1, 2], ["one", "two"]),
    lambda ax: ax.set_yticks([1, 2]),
    lambda ax: ax.tick_params(axis="y", length=0),
    lambda ax: ax.tick_params(labelsize=12),
    lambda ax: ax.grid(axis="x", color="red"),
    lambda ax: ax.spines["left"].set_visible(False),
    lambda ax: ax.figure.subplots_adjust(left=0.3),
    lambda ax: ax.set_yscale("log"),
    lambda ax: ax.plot([1, 2], [2, 5], linewidth=3, color="red", label="a line") and ax.legend(),
    lambda ax: ax.text(1, 1, "words"),
    lambda ax: ax.invert_yaxis(),
    lambda ax: ax.xaxis.label.set_horizontalalignment("right"),
    lambda ax: ax.xaxis.set_major_formatter("{x:.2f}"),
)


@given(st.lists(st.integers(0, len(PAPERS)), min_size=2, max_size=4))
@settings(max_examples=12)
def test_no_word_of_an_earlier_drawing_stays_on_the_paper(order: list[int]) -> None:
    def plain(ax: Axes) -> Axes:
        ax.set_yscale("linear")
        ax.set_xlim(0, 10)
        ax.set_ylim(0, 9)
        ax.set_xticks([0, 5, 10])
        ax.set_yticks([0, 9])
        ax.xaxis.set_major_formatter("{x:.0f}")
        ax.tick_params(labelsize=9)
        ax.tick_params(axis="y", length=3)
        ax.grid(visible=False)
        ax.spines["left"].set_visible(True)
        ax.figure.subplots_adjust(left=0.1)
        ax.set_title("Title", loc="left", color="black", fontsize=11)
        ax.set_xlabel("across", horizontalalignment="center")
        ax.set_ylabel("")
        ax.axhspan(2, 4, color="green")
        return ax

    def draw(which: int, ax: Axes) -> Axes:
        plain(ax)
        if which < len(PAPERS):
            PAPERS[which](ax)
        return ax

    kept, seen = Picture(draw), {}
    for which in order:
        seen[which] = kept.png(which)
        assert seen[which] == Picture(draw).png(which)
    assert len(set(seen.values())) == len(seen)


def test_what_is_drawn_on_kept_paper_is_what_the_library_draws_at_once() -> None:
    kept = CURVE.picture()
    view = curve_view(make_plan(demo(), "r1b-hand-wash"), 12)
    shown = replace(view, mark=5)
    kept.png(view)
    figure = Figure(figsize=(WIDTH_IN, CURVE.height_in(shown)), dpi=DPI)
    CURVE.draw(shown, figure.add_subplot())
    at_once = io.BytesIO()
    figure.savefig(at_once, dpi=DPI)
    ours, theirs = (
        np.asarray(Image.open(io.BytesIO(png)).convert("RGB"), dtype=int)
        for png in (kept.png(shown), at_once.getvalue())
    )
    assert np.mean(abs(ours - theirs).max(axis=2) > 40) < 0.001
