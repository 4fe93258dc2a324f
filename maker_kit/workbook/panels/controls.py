"""The pieces every panel is made of: sliders, fields, places for words and pictures. Each has a layout of its own.

A layout that several controls share breaks them when the page is loaded again; so what is kept here are plain values.
"""

from __future__ import annotations

import html
import math
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import ipywidgets as w

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.names import name_key, near_miss
from maker_kit.numbers import number_text, typed_number
from maker_kit.workbook.charts.picture import DPI, Chart, kept_picture
from maker_kit.workshop import Workshop

LABEL = "11em"
"""How much room the words before a field take."""
SLIDER = ("9.3em", "13.5em", "6.5em")
"""Room of a slider beside a picture: the words before its box, the box with them, the slider."""
OUT_OF_SIGHT = "position:absolute; width:1px; height:1px; overflow:hidden; clip-path:inset(50%)"
"""How words stand that only a screen reader tells."""
FIELD = "28em"
"""Room of a field beside a picture."""


def look(width: str = "34em", label: str = LABEL) -> dict[str, Any]:
    """How wide a field stands, and the words before it: to be given to one control."""
    return {"style": {"description_width": label}, "layout": {"width": width, "max_width": "100%"}}


_AS_WORDS = str.maketrans({"$": "＄", "\\": "＼"})


def as_words(text: str) -> str:
    """A name beside a control, which ipywidgets sets as a formula between dollar signs: with signs that look like them
    and set nothing.
    """
    return text.translate(_AS_WORDS)


class Slider:
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
    css : str
        Class of its row in the page.
    hint : str
        Stands in brackets behind the unit.
    widths : tuple of str
        Of the words before the box, of the box with them, and of the slider.

    Raises
    ------
    QuantityError
        If the value lies outside the range; it is never moved to its end in silence.
    """

    def __init__(
        self,
        name: str,
        unit: str,
        value: float,
        low: float,
        high: float,
        step: float,
        *,
        whole: bool = False,
        css: str = "",
        hint: str = "",
        widths: tuple[str, str, str] = (LABEL, "18em", "22em"),
    ) -> None:
        if not low <= value <= high:
            meaning = f" ({unit})" if unit else ""
            raise QuantityError(f'"{name}" is set to {value:g}, and here it goes from {low:g} to {high:g}{meaning}')
        self.name, self._digits, self._writing = name, None if whole else 6, False
        slide = w.IntSlider if whole else w.FloatSlider
        limits = {"min": low, "max": high, "step": step, "value": value}
        self.slider = slide(**limits, readout=False, layout={"width": widths[2], "min_width": "5em"})
        self.box = w.Text(
            number_text(self.value), description=as_words(name), continuous_update=False, **look(widths[1], widths[0])
        )
        self.unit = w.Label(as_words(f"{unit} ({hint})".strip() if hint else unit))
        self.said = w.HTML(layout={"display": "none"})
        self.slider.observe(self._moved, names="value")
        self.box.observe(self._typed, names="value")
        self.row = w.VBox([w.HBox([self.box, self.slider, self.unit], layout={"width": "100%"}), self.said])
        if css:
            self.row.add_class(css)
        self.rows = (self.row,)

    @property
    def value(self) -> float:
        """The number, free of the dust that a slider's steps leave."""
        return round(self.slider.value, self._digits)

    def stands_at(self, value: float) -> bool:
        """Whether it stands at a value, as far as it can: the page moves a handle to the nearest step by itself."""
        low, step = self.slider.min, self.slider.step
        nearest = low + math.floor((value - low) / step + 0.5) * step
        return self.value in {round(value, self._digits), round(nearest, self._digits)}

    def reach(self, value: float, low: float, high: float, step: float) -> None:
        """Another range and value; the widest of old and new is set first, so that no value is cut on the way."""
        self.slider.max, self.slider.min = max(self.slider.max, high), min(self.slider.min, low)
        self.slider.step, self.slider.value = step, value
        self.slider.min, self.slider.max = low, high
        self._moved()

    def _moved(self, *_: Any) -> None:
        """Write the slider's number into the box; what was wrong there is forgotten."""
        self._writing = True
        try:
            self.box.value = number_text(self.value)
        finally:
            self._writing = False
        self._say("")

    def _typed(self, *_: Any) -> None:
        """Take a typed number, with a point or a comma; what is none, or out of range, is said and changes nothing."""
        if self._writing:
            return
        low, high = self.slider.min, self.slider.max
        reach = f"{number_text(low)} to {number_text(high)}"
        try:
            number = typed_number(self.box.value, self.name, number_text(high))
        except QuantityError as error:
            self._say(str(error))
            return
        if not low <= number <= high or (self._digits is None and number.denominator != 1):
            whole = "a whole number from " if self._digits is None else ""
            self._say(f"{self.name}: {whole}{reach}")
            return
        self.slider.value = int(number) if self._digits is None else float(number)
        self._moved()

    def _say(self, words: str) -> None:
        self.said.value = f'<span style="color:#a33" role="alert">▲ {html.escape(words)}</span>' if words else ""
        self.said.layout.display = None if words else "none"

    def enable(self, on: bool) -> None:
        """Let it be moved, or not."""
        self.slider.disabled = self.box.disabled = not on

    def watch(self, call: Callable[[Any], None]) -> None:
        """Call whenever the number changes."""
        self.slider.observe(call, names="value")


def counter(name: str, unit: str, value: int, most: int = 48, low: int = 1, **more: Any) -> Slider:
    """A slider for whole things, from `low` to `most` or to where it begins."""
    return slider_to(most, name, unit, value, low, 1, whole=True, **more)


def slider_to(most: float, name: str, unit: str, value: float, low: float, step: float, **more: Any) -> Slider:
    """A slider that goes to `most`, or as far as it begins."""
    return Slider(name, unit, value, low, max(most, value), step, **more)


def field(description: str, value: str = "", placeholder: str = "", **more: Any) -> w.Text | w.Textarea:
    """A line to type into, or several where their number is given as `rows`."""
    given = {"value": value, "placeholder": placeholder, "continuous_update": False, **look(), **more}
    return (w.Textarea if "rows" in more else w.Text)(description=as_words(description), **given)


def dropdown(description: str, options: Iterable[Any], value: str, **more: Any) -> w.Dropdown:
    """A choice that begins with one of its options, whatever its capitals.

    Parameters
    ----------
    description : str
    options : iterable of str or (str, str)
        Values, or what is shown and the value.
    value : str
    **more
        How it stands; as `look` says unless given.

    Raises
    ------
    UnknownNameError
        If the value is none of the options; the nearest is given.
    """
    options = list(options)
    values = [option if isinstance(option, str) else option[1] for option in options]
    found = next((v for v in values if name_key(v) == name_key(value)), None)
    if found is None:
        raise UnknownNameError(
            f'"{value}" is none of what can be chosen as "{description}": {near_miss(value, values)}'
        )
    return w.Dropdown(options=options, value=found, description=as_words(description), **{**look(), **more})


def recipe_choice(workshop: Workshop, recipe: str, description: str = "recipe", **more: Any) -> w.Dropdown:
    """The workshop's recipes by title, beginning with one by its name, or with the first where none is named.

    Raises
    ------
    UnknownNameError
        If there is none of that name, or none at all.
    """
    titles = [(made.title, made.name) for made in workshop.recipes.values()]
    first = workshop.recipe(recipe or next(iter(workshop.recipes), "")).name
    return dropdown(description, titles, first, **{**look(FIELD, "4em"), **more})  # a short word: titles are long


class PictureBox:
    """A picture that is redrawn in place, and beside it, out of sight, what it tells: an ``Image`` takes no words.

    Parameters
    ----------
    chart : Chart
    name : str
        Class of the picture in the page.
    """

    def __init__(self, chart: Chart, name: str) -> None:
        self._picture, self._words = kept_picture(chart), chart.told
        self._shown: Any = None
        place = {
            "max_width": "100%",
            "width": f"{DPI * chart.width_in:.0f}px",
            "height": "auto",
            "object_fit": "contain",
        }
        self.image = w.Image(format="png", layout=place)
        self.image.add_class(name)
        self.told = w.HTML(layout={"height": "0px", "margin": "0", "overflow": "hidden"})
        self.box = w.VBox([self.image, self.told], layout={"width": "100%"})

    def show(self, result: Any) -> None:
        """Draw a result, or take up no room where there is none; the one that was drawn last is not drawn again."""
        if result is not None and result is not self._shown and result != self._shown:
            self.image.value = self._picture.png(result)
            self._shown = result
            label = html.escape(self._words(result), quote=True)
            self.told.value = f'<span role="img" aria-label="{label}" style="{OUT_OF_SIGHT}"></span>'
        for part in (self.image, self.told):
            part.layout.display = "none" if result is None else None


def text_box(name: str) -> w.HTML:
    """A place for words and tables, found in the page by its class; it takes up no room while it is empty."""
    box = w.HTML(layout={"width": "100%", "display": "none"})
    box.add_class(name)

    def filled(*_: Any) -> None:
        box.layout.display = None if box.value else "none"

    box.observe(filled, names="value")
    return box


def watch(control: Any, call: Callable[..., None]) -> None:
    """Call whenever a control changes: a field, or something of several."""
    if isinstance(control, w.Widget):
        control.observe(call, names="value")
    else:
        control.watch(call)


def button(words: str, pressed: Callable[..., None]) -> w.Button:
    """A button that calls one function."""
    made = w.Button(description=words, layout={"width": "14em"})
    made.on_click(pressed)
    return made


def row(children: Sequence[w.Widget]) -> w.HBox:
    """Controls beside each other, as far as there is room."""
    return w.HBox(children, layout={"flex_flow": "row wrap"})


def sentence(text: str) -> str:
    """Words as HTML, with everything escaped."""
    return f'<p style="margin:.2em 0">{html.escape(text)}</p>'
