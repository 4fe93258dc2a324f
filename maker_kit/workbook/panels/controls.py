"""The pieces every panel is made of: a slider with its number box, a picture that is redrawn in place, and a place where a fault becomes a sentence."""

from __future__ import annotations

import html
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as w

from maker_kit.errors import MakerKitError, QuantityError
from maker_kit.workbook.picture import Picture
from maker_kit.workbook.sentences import fault_box, headless

WIDE = {"width": "100%"}  # each box makes a layout of its own of it; one that is shared breaks the boxes when the page is loaded again


class Level:
    """A slider and a number box that hold the same number; the box has the accessible name.

    Parameters
    ----------
    name : str
        What it sets, as the maker reads it.
    unit : str
        What stands behind it: a unit, or what it means.
    value, low, high, step : float
    whole : bool
        Whether it counts whole things.

    Raises
    ------
    QuantityError
        If the value lies outside the range; it is never moved to its end in silence.
    """

    def __init__(self, name: str, unit: str, value: float, low: float, high: float, step: float, *, whole: bool = False) -> None:
        if not low <= value <= high:
            meaning = unit.partition("(")[0].strip()
            msg = f'"{name}" is set to {value:g}, and here it goes from {low:g} to {high:g}' + (f" ({meaning})" if meaning else "")
            raise QuantityError(msg)
        self._digits = 0 if whole else 6
        slide, box = (w.IntSlider, w.BoundedIntText) if whole else (w.FloatSlider, w.BoundedFloatText)
        limits = {"min": low, "max": high, "step": step, "value": value}
        self.slider = slide(**limits, readout=False, layout=w.Layout(width="22em"))
        self.box = box(**limits, description=name, style={"description_width": "11em"}, layout=w.Layout(width="18em"))
        self.unit = w.Label(unit)
        self.link = w.link((self.slider, "value"), (self.box, "value"))
        self.row = w.HBox([self.box, self.slider, self.unit])

    @property
    def value(self) -> float:
        """The number, free of the dust that a slider's steps leave."""
        return round(self.slider.value, self._digits) if self._digits else int(self.slider.value)

    def reach(self, value: float, low: float, high: float, step: float) -> None:
        """Another range and value; the widest of old and new is set first, so that no value is cut on the way."""
        for control in (self.slider, self.box):
            control.max = max(control.max, high)
            control.min = min(control.min, low)
            control.step = step
        self.slider.value = value
        for control in (self.slider, self.box):
            control.min, control.max = low, high

    def enable(self, on: bool) -> None:
        """Let it be moved, or not."""
        self.slider.disabled = self.box.disabled = not on

    def watch(self, call: Callable[[Any], None]) -> None:
        """Call whenever the number changes."""
        self.slider.observe(call, names="value")


class PictureBox:
    """A picture that is redrawn in place.

    Parameters
    ----------
    picture : Picture
    name : str
        Class of the picture in the page.
    """

    def __init__(self, picture: Picture, name: str) -> None:
        self._picture = picture
        self._shown: Any = None
        self.image = w.Image(format="png", layout=w.Layout(max_width="100%", width="940px", height="auto", object_fit="contain"))
        self.image.add_class(name)

    def show(self, result: Any) -> None:
        """Draw a result; the one that was drawn last is not drawn again."""
        if result is not self._shown and result != self._shown:
            self.image.value = self._picture.png(result)
            self._shown = result
        self.image.layout.display = None

    def hide(self) -> None:
        """Take up no room."""
        self.image.layout.display = "none"

    def show_if(self, result: Any) -> None:
        """Draw a result, or take up no room where there is none."""
        if result is None:
            self.hide()
        else:
            self.show(result)


def text_box(name: str) -> w.HTML:
    """A place for words and tables, found in the page by its class."""
    box = w.HTML(layout=WIDE)
    box.add_class(name)
    return box


def sentence(text: str) -> str:
    """Words as HTML, with everything escaped."""
    return f'<p style="margin:.2em 0">{html.escape(text)}</p>'


def cleared(redraw: Callable[[], None], words: Sequence[w.HTML], pictures: Sequence[PictureBox]) -> Callable[[], None]:
    """A redraw that takes words and pictures away where it meets a fault, so that nothing stands there that belongs to older settings."""

    def call() -> None:
        try:
            redraw()
        except MakerKitError:
            for box in words:
                box.value = ""
            for picture in pictures:
                picture.hide()
            raise

    return call


def guarded(redraw: Callable[[], None], fault: w.HTML) -> Callable[..., None]:
    """A redraw that shows a fault as a sentence, or raises it where nobody is looking."""

    def call(*_: Any) -> None:
        try:
            redraw()
            fault.value = ""
        except MakerKitError as error:
            if headless():
                raise
            fault.value = fault_box(str(error))

    return call
