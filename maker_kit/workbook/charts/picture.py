"""A chart as a picture: drawn on a figure that is kept, never through pyplot, with its key numbers as words."""

from __future__ import annotations

import functools
import io
import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.ticker import FuncFormatter
from PIL import Image

from maker_kit.workbook.amounts import short
from maker_kit.workbook.charts.glyphs import boxed
from maker_kit.workbook.charts.style import STILL

DPI = 100
WIDTH_IN = 9.4
MOST_TITLE = 40
"""How many letters of a recipe's title begin a picture's."""
Height = float | Callable[[Any], float]


@dataclass(frozen=True)
class Of:
    """What a picture shows, and the recipe or the batch that it is of: its title and its words begin with that.

    Attributes
    ----------
    recipe : str
    shown : object
        What the chart draws.
    """

    recipe: str
    shown: Any


def _parts(result: Any) -> tuple[str, Any]:
    """The recipe, where one is named, and what is drawn."""
    return (result.recipe, result.shown) if isinstance(result, Of) else ("", result)


class Picture:
    """A figure kept alive and redrawn in place.

    The axes stay, with their ticks and spines, which take longest to make; whatever a drawing put on them is taken off
    before the next. Their words (title, names of the axes and of the ticks) take longest to draw: they are kept as
    paper on which the rest is drawn, and drawn afresh when one of them, a limit or the size differs (matplotlib's
    blitting).

    Parameters
    ----------
    draw : callable
        ``draw(result, ax) -> ax``; sets all that it needs of the axes, since the last drawing's ticks, limits and words
        are still there.
    width_in : float
        Width [inch].
    height_in : float or callable
        Height [inch], or a function of the result that gives it.
    """

    def __init__(self, draw: Callable[[Any, Axes], Axes], width_in: float = WIDTH_IN, height_in: Height = 4.0) -> None:
        self._draw = draw
        self._width = width_in
        self._height = height_in
        self._figure = Figure(dpi=DPI)
        self._canvas = FigureCanvasAgg(self._figure)
        self._axes: Axes | None = None
        self._paper: tuple[object, Any] = (None, None)  # what stood on the paper, and the paper itself
        self._lock = threading.Lock()

    def png(self, result: Any) -> bytes:
        """The picture of a result, as PNG bytes. Safe to call from several threads."""
        recipe, result = _parts(result)
        with self._lock:
            self._figure.set_size_inches(self._width, self._height(result) if callable(self._height) else self._height)
            axes, self._axes = self._axes or self._figure.add_subplot(), None
            _take_off(axes)
            try:
                self._draw(result, axes)
                if recipe:
                    _name(axes, recipe)
                _as_typed(axes)
                self._draw_on_paper(axes)
            except BaseException:
                self._figure.delaxes(axes)  # half a drawing is never drawn upon
                self._paper = None, None
                raise
            self._axes = axes
            stream = io.BytesIO()
            width, height = self._canvas.get_width_height()
            Image.frombuffer("RGBA", (width, height), self._canvas.buffer_rgba()).convert("RGB").save(
                stream, "PNG", compress_level=1, dpi=(DPI, DPI)
            )
            return stream.getvalue()

    def _draw_on_paper(self, axes: Axes) -> None:
        """Draw what was put on the axes, on paper that is drawn only where its words differ from the last."""
        drawn = [*(one for one in _put_on(axes) if one.get_gid() != STILL), *axes.spines.values()]
        stands = (*self._figure.get_size_inches(), *_words_of(axes))
        if self._paper[0] == stands:
            self._canvas.restore_region(self._paper[1])
        else:
            for artist in drawn:
                artist.set_animated(True)
            self._canvas.draw()
            self._paper = stands, self._canvas.copy_from_bbox(self._figure.bbox)
        renderer = self._canvas.get_renderer()
        for artist in sorted(drawn, key=lambda one: one.get_zorder()):
            artist.draw(renderer)


def _put_on(axes: Axes) -> list[Artist]:
    """What a drawing put on the axes and their figure, in the order in which it was put there."""
    kinds = (axes.lines, axes.patches, axes.collections, axes.images, axes.texts, axes.artists)
    ours = {id(artist) for kind in kinds for artist in kind}
    legend = axes.get_legend()
    put = [artist for artist in axes.get_children() if id(artist) in ours]
    return [*put, *([legend] if legend else []), *axes.figure.legends]


def _words_of(axes: Axes) -> tuple[object, ...]:
    """All that stands on the paper of a drawing: place, limits, ticks and words, each with its look."""
    titles = [part for part in axes.get_children() if isinstance(part, Text) and part not in axes.texts]
    still = [text for text in axes.texts if text.get_gid() == STILL]
    told: list[object] = [axes.get_position().bounds, axes.get_xlim(), axes.get_ylim(), axes.axison]
    for text in (*titles, axes.xaxis.label, axes.yaxis.label, *still):
        place = None if text in titles else (text.get_horizontalalignment(), text.get_position())
        told.append((text.get_text(), text.get_fontsize(), text.get_color(), text.get_parse_math(), place))
    for axis in (axes.xaxis, axes.yaxis):
        places = axis.get_majorticklocs()
        told.append((tuple(places), tuple(axis.get_major_formatter().format_ticks(places))))
        told.append((axis.get_visible(), axis.get_scale(), repr(axis.get_tick_params())))
        told.append(tuple(axis.get_minorticklocs()))
    return tuple(told)


def _name(axes: Axes, recipe: str) -> None:
    """Begin the title with a recipe."""
    title = axes.get_title(loc="left")
    words = next(part for part in axes.get_children() if isinstance(part, Text) and part.get_text() == title)
    words.set_text(f"{short(recipe, MOST_TITLE)}: {title[:1].lower()}{title[1:]}")
    words.set_parse_math(False)


def _take_off(axes: Axes) -> None:
    """Remove what a drawing put on the axes and their figure."""
    axes.containers.clear()
    for artist in _put_on(axes):
        artist.remove()
    axes.relim()
    axes.autoscale(True)


def _as_typed(axes: Axes) -> None:
    """Keep every name as it was typed: a "$" in it is not the start of a formula, and what no letter stands for is a
    box.
    """
    legends = [legend for legend in (axes.get_legend(), *axes.figure.legends) if legend]
    ticks = [tick.label1 for axis in (axes.xaxis, axes.yaxis) for tick in axis.get_major_ticks()]
    for axis in (axes.xaxis, axes.yaxis):
        named = axis.get_major_formatter()
        if isinstance(named, FuncFormatter) and not isinstance(named, _Boxed):  # ticks that were given their words
            axis.set_major_formatter(_Boxed(named))
    said = [part for part in axes.get_children() if isinstance(part, Text)]  # titles among them
    said += [axes.xaxis.label, axes.yaxis.label, *ticks, *(text for each in legends for text in each.get_texts())]
    for text in said:
        text.set_parse_math(False)
        words = text.get_text()
        if (shown := boxed(words)) != words:
            text.set_text(shown)


class _Boxed(FuncFormatter):
    """Words of ticks with a box for what no letter stands for."""

    def __init__(self, named: FuncFormatter) -> None:
        super().__init__(lambda value, place: boxed(named(value, place)))


class Still:
    """A picture that a notebook shows, with words that stand for it where pictures are not shown.

    Parameters
    ----------
    png : bytes
    words : str
        Its key numbers.
    """

    def __init__(self, png: bytes, words: str) -> None:
        self._png = png
        self._words = words

    def _repr_png_(self) -> tuple[bytes, dict[str, str]]:
        return self._png, {"alt": self._words}

    def __repr__(self) -> str:
        return self._words


@dataclass(frozen=True)
class Chart:
    """A kind of picture: how it is drawn, how it is said in words, and how high it is.

    Attributes
    ----------
    draw : callable
        ``draw(result, ax) -> ax``.
    words : callable
        ``words(result) -> str``: its key numbers.
    height_in : float or callable
        Height [inch], or a function of the result that gives it.
    width_in : float
        Width [inch].
    """

    draw: Callable[[Any, Axes], Axes]
    words: Callable[[Any], str]
    height_in: Height = 4.0
    width_in: float = WIDTH_IN

    def picture(self) -> Picture:
        """A figure for it that is kept and redrawn."""
        return Picture(self.draw, self.width_in, self.height_in)

    def told(self, result: Any) -> str:
        """The words of a result, which begin with the recipe it is of, where one is named."""
        recipe, shown = _parts(result)
        return f"{recipe}: {self.words(shown)}" if recipe else self.words(shown)

    def still(self, result: Any, of: str = "") -> Still:
        """The picture of a result with its words, which begin with what it is of."""
        result = Of(of, result) if of else result
        return Still(kept_picture(self).png(result), self.told(result))


@functools.lru_cache(maxsize=32)
def kept_picture(chart: Chart) -> Picture:
    """One figure for all the pictures of a chart: a process that writes many reports, or opens a screen again, draws
    each many times, and its axes take longest to make.
    """
    return chart.picture()
