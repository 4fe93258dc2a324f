"""Controls that call one function when they change, and places that show what it gives."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

import ipywidgets as w

from maker_kit.errors import MakerKitError
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.panels.controls import PictureBox, button, sentence, text_box, watch
from maker_kit.workbook.shown.answers import answer, stops_banner
from maker_kit.workbook.shown.sentences import fault_box, headless

Shown = Mapping[str, Any]
"""Name of a place to what it shows, or a function that gives it: a result of a picture (None: no picture), or words."""
TOLD = {"answer": answer, "stops": stops_banner}
"""Places with a look of their own: the answer is given as a sentence, the stops as the findings they are among."""


class CallPanel(w.VBox):
    """Controls that call one function when they change; a fault takes the old words and pictures away.

    Parameters
    ----------
    name : str
        Class of the panel in the page; a place has the class ``NAME-PLACE`` ("-" for "_"), the fault ``NAME-fault``.
    controls : sequence of Slider, RecipeSliders or ipywidgets.Widget
    call : callable
        Gives what each place shows; a place that it does not name stays as it is.
    places : Mapping of str to (Chart or None)
        From top to bottom: a chart for a picture, None for words and tables. Each is an attribute of the panel.
        A chart alone stands for ``picture`` above ``words``, and nothing for ``words`` alone.
    rows : sequence of ipywidgets.Widget, optional
        How the controls stand in the page; one below the other unless given.
    below : sequence of ipywidgets.Widget
        What stands under the places.
    """

    def __init__(
        self,
        name: str,
        controls: Sequence[Any],
        call: Callable[[], Shown],
        places: Mapping[str, Chart | None] | Chart | None = None,
        rows: Sequence[Any] | None = None,
        below: Sequence[Any] = (),
    ) -> None:
        self.controls: tuple[Any, ...] = ()
        self.fault, self._call = text_box(f"{name}-fault"), call
        if not isinstance(places, Mapping):
            places = {"picture": places, "words": None} if places else {"words": None}
        self.places = {}
        for place, chart in places.items():
            css = f"{name}-{place.replace('_', '-')}"
            self.places[place] = PictureBox(chart, css) if chart else text_box(css)
            setattr(self, place, self.places[place])
        self.redraw = guarded(self._redraw, self.fault)
        self.redraw()
        self.watch(controls)
        super().__init__(self.stand([*(_rows(controls) if rows is None else rows)], [*below]))
        self.add_class(name)

    def stand(self, rows: list[Any], below: list[Any]) -> list[Any]:
        """How controls, fault and places stand in the page: one below the other."""
        return [*rows, self.fault, *map(self.widget, self.places), *below]

    def widget(self, place: str) -> w.Widget:
        """What stands in the page for a place."""
        box = self.places[place]
        return box.box if isinstance(box, PictureBox) else box

    def watch(self, controls: Sequence[Any]) -> None:
        """Call whenever one of these changes, too."""
        self.controls = (*self.controls, *controls)
        for control in controls:
            watch(control, self.redraw)

    def show(self, shown: Shown) -> None:
        """Show something in each place that is named; what comes first is in the page while the next is worked out."""
        for place, result in shown.items():
            box, found = self.places[place], result() if callable(result) else result
            if isinstance(box, PictureBox):
                box.show(found)
            else:
                box.value = as_html(TOLD[place](found) if found and place in TOLD else found)

    def _redraw(self) -> None:
        try:
            self.show(self._call())
        except MakerKitError:
            self.show({place: None if isinstance(box, PictureBox) else "" for place, box in self.places.items()})
            raise


def result_panel(
    name: str,
    controls: Sequence[Any],
    result: Callable[[], Any],
    sheets: Iterable[Callable[[Any], Any]],
    chart: Chart | None = None,
    **stands: Any,
) -> CallPanel:
    """Controls, one function, and its result as a picture and as tables.

    Parameters
    ----------
    name : str
    controls : sequence of Slider, RecipeSliders or ipywidgets.Widget
    result : callable
    sheets : iterable of callable
        Each makes a table of the result.
    chart : Chart, optional
        What it looks like.
    **stands
        `rows` and `below` of `CallPanel`.
    """

    def call() -> Shown:
        found = result()
        words = {"words": tuple(sheet(found) for sheet in sheets)}
        return {"picture": found, **words} if chart else words

    return CallPanel(name, controls, call, chart, **stands)


def as_html(shown: Any) -> str:
    """Words (as HTML already), a table, or several of them, as HTML."""
    if isinstance(shown, tuple):
        return "".join(map(as_html, shown))
    return shown if isinstance(shown, str) else shown.html()


def _rows(controls: Iterable[Any]) -> list[w.Widget]:
    return [row for control in controls for row in ((control,) if isinstance(control, w.Widget) else control.rows)]


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


def keep_button(words: str, keep: Callable[[], str], fault: w.HTML, said: w.HTML) -> w.Button:
    """A button that keeps something, and says where it went, or what is wrong."""

    def pressed() -> None:
        said.value = ""
        said.value = sentence(keep())

    return button(words, guarded(pressed, fault))
