"""One screen: the answer as a sentence, stops as a banner, controls left, pictures right, the rest in tabs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from threading import RLock
from typing import Any

import ipywidgets as w

from maker_kit.errors import MakerKitError
from maker_kit.workbook.charts.picture import Chart
from maker_kit.workbook.panels.call import CallPanel, Shown
from maker_kit.workbook.panels.controls import SLIDER as SLIDER
from maker_kit.workbook.shown.sentences import fault_box, headless

LEFT = "29.5em"
"""Room of the controls."""


class Screen(CallPanel):
    """A panel that stands whole on a laptop's screen; what is in its tabs is worked out when a tab is opened.

    Parameters
    ----------
    name : str
        Class of the panel in the page; a place has the class ``NAME-PLACE``, the tabs ``NAME-tabs``.
    controls : sequence of Slider, RecipeSliders or ipywidgets.Widget
    call : callable
        Gives what each place shows: ``answer`` (a sentence) and ``stops`` (findings), the pictures, and the places of
        the tabs, each of those as a function, so that a closed tab costs nothing.
    pictures : Mapping of str to Chart
        From top to bottom, right of the controls.
    tabs : Mapping of str to str or Mapping of str to (Chart or None)
        Title → its only place, of words and tables, or all its places.
    rows, below : sequence of ipywidgets.Widget
        How the controls stand, and what stands under them.
    left : str
        Room of the controls; what is left is the pictures'.

    Notes
    -----
    What works behind a screen shows what it found while it holds ``telling``, and only if no control has moved since,
    asked while it holds it: a redraw holds it too, so that the page never falls back to what was asked before.
    """

    def __init__(
        self,
        name: str,
        controls: Sequence[Any],
        call: Callable[[], Shown],
        pictures: Mapping[str, Chart],
        tabs: Mapping[str, str | Mapping[str, Chart | None]],
        rows: Sequence[Any] | None = None,
        below: Sequence[Any] = (),
        left: str = LEFT,
    ) -> None:
        self.telling = RLock()
        tabs = {title: {inside: None} if isinstance(inside, str) else inside for title, inside in tabs.items()}
        self._left, self._titles = left, tuple(tabs)
        self._pictures, self._tabs = tuple(pictures), {title: tuple(places) for title, places in tabs.items()}
        self._late: dict[str, Any] = {}
        self.tabs = w.Tab(layout={"width": "100%"})
        self.tabs.add_class(f"{name}-tabs")
        inside = {place: chart for places in tabs.values() for place, chart in places.items()}
        super().__init__(name, controls, call, {"answer": None, "stops": None, **pictures, **inside}, rows, below)
        self.tabs.observe(self._opened, names="selected_index")
        self.layout.width = "100%"

    def stand(self, rows: list[Any], below: list[Any]) -> list[Any]:
        """The answer over the stops, the controls beside the pictures, the tabs under both."""
        left = w.VBox([*rows, *below], layout={"width": self._left, "min_width": "20em", "flex": "0 1 auto"})
        right = w.VBox(
            [self.widget(p) for p in self._pictures], layout={"flex": "1 1 42em", "min_width": "18em", "width": "auto"}
        )
        left.add_class("maker-kit-left")
        right.add_class("maker-kit-pictures")
        self.tabs.children = [w.VBox([self.widget(p) for p in places]) for places in self._tabs.values()]
        self.tabs.titles, self.tabs.selected_index = self._titles, None  # takes titles only for children that it has
        body = w.HBox([left, right], layout={"flex_flow": "row wrap", "width": "100%", "align_items": "flex-start"})
        body.add_class("maker-kit-body")
        return [self.widget("answer"), self.widget("stops"), self.fault, body, self.tabs]

    def show(self, shown: Shown) -> None:
        """Show what is in sight at once; what is in a closed tab waits until it is opened."""
        with self.telling:
            seen = {place: result for place, result in shown.items() if self._in_sight(place)}
            super().show(seen)
            self._late = {
                **{p: r for p, r in self._late.items() if p not in seen},
                **{p: r for p, r in shown.items() if p not in seen},
            }

    def _redraw(self) -> None:
        with self.telling:
            super()._redraw()

    def _in_sight(self, place: str) -> bool:
        if headless():
            return True
        index = self.tabs.selected_index
        hidden = [p for k, places in enumerate(self._tabs.values()) if k != index for p in places]
        return place not in hidden

    def _opened(self, *_: Any) -> None:
        try:
            with self.telling:
                self.show(dict(self._late))
        except MakerKitError as error:
            if headless():
                raise
            self.fault.value = fault_box(str(error))
