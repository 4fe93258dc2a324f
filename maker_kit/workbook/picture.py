"""A chart as a picture: drawn on a figure that is kept, never through pyplot, with its key numbers as words beside it."""

from __future__ import annotations

import io
import threading
from collections.abc import Callable
from typing import Any

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

DPI = 100


class Picture:
    """A figure kept alive and redrawn in place.

    Parameters
    ----------
    draw : callable
        ``draw(result, ax) -> ax``.
    width_in : float
        Width [inch].
    height_in : float or callable
        Height [inch], or a function of the result that gives it.
    """

    def __init__(self, draw: Callable[[Any, Axes], Axes], width_in: float = 9.0, height_in: float | Callable[[Any], float] = 4.0) -> None:
        self._draw = draw
        self._width = width_in
        self._height = height_in
        self._figure = Figure(dpi=DPI)
        self._canvas = FigureCanvasAgg(self._figure)
        self._lock = threading.Lock()

    def png(self, result: Any) -> bytes:
        """The picture of a result, as PNG bytes. Safe to call from several threads."""
        with self._lock:
            for old in self._figure.axes:
                self._figure.delaxes(old)  # unlike clear(), which first makes them anew
            self._figure.set_size_inches(self._width, self._height(result) if callable(self._height) else self._height)
            self._draw(result, self._figure.add_subplot())
            for text in self._figure.findobj(Text):
                text.set_parse_math(False)  # a "$" in a name is a "$", not the start of a formula
            stream = io.BytesIO()
            self._figure.savefig(stream, format="png", pil_kwargs={"compress_level": 1})
            return stream.getvalue()


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
