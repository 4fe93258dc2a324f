"""Tabs with controls of their own: made when one is first opened, drawn anew when it is opened after a change."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import ipywidgets as w

from maker_kit.errors import MakerKitError
from maker_kit.workbook.panels.call import CallPanel
from maker_kit.workbook.panels.screen import Screen
from maker_kit.workbook.shown.sentences import fault_box, headless

Make = Callable[[], w.Widget]


class LatePart(w.VBox):
    """A part of a page that is made when it is first shown.

    Parameters
    ----------
    make : callable
        Gives what stands in it; a fault is shown in its place, or raised where nobody is looking.
    """

    def __init__(self, make: Make) -> None:
        self._make: Make | None = make
        self._stale = False
        super().__init__(layout={"width": "100%"})

    @property
    def part(self) -> Any:
        """What stands in it; made now, if it was not yet."""
        self.bring()
        return self.children[0]

    def bring(self) -> None:
        """Make it, or draw it anew if something changed since it was last seen."""
        if self._make is not None:
            make, self._make = self._make, None
            try:
                self.children = [make()]
            except MakerKitError as error:
                if headless():
                    raise
                self.children = [w.HTML(fault_box(str(error)))]
        elif self._stale and isinstance(self.children[0], CallPanel):
            self.children[0].redraw()
        self._stale = False

    def changed(self, *, seen: bool) -> None:
        """Something that it shows has changed: draw it anew, or when it is opened next if it is out of sight."""
        self._stale = True
        if seen or (headless() and self._make is None):
            self.bring()


class LateTabs(w.Tab):
    """Tabs of which only the one in sight costs anything.

    Parameters
    ----------
    name : str
        Class of the tabs in the page.
    parts : Mapping of str to callable
        Title → what gives the tab's content.
    first : int
        Which is open at the start.
    """

    def __init__(self, name: str, parts: Mapping[str, Make], first: int = 0) -> None:
        self.parts = {title: LatePart(make) for title, make in parts.items()}
        super().__init__([*self.parts.values()], titles=tuple(parts), selected_index=first, layout={"width": "100%"})
        self.add_class(name)
        self.observe(self._opened, names="selected_index")
        for index, part in enumerate(self.parts.values()):
            if headless() or index == first:
                part.bring()

    def redraw(self, *_: Any) -> None:
        """Something that all of them show has changed."""
        for index, part in enumerate(self.parts.values()):
            part.changed(seen=index == self.selected_index)

    def _opened(self, *_: Any) -> None:
        if self.selected_index is not None:
            [*self.parts.values()][self.selected_index].bring()


def tabs_under(name: str, row: w.Widget, tabs: LateTabs) -> w.VBox:
    """A page of tabs under what they share; ``name`` is its class in the page."""
    whole = w.VBox([row, tabs], layout={"width": "100%"})
    whole.add_class(name)
    whole.tabs = tabs
    return whole


class LateScreen(Screen):
    """A screen whose first tab is open, and that may have, behind its own tabs, others with controls of their own.

    Parameters
    ----------
    *args
        As `Screen` takes them.
    more : Mapping of str to callable, optional
        Title → what gives the tab's content.
    **stands
        As `Screen` takes them.
    """

    def __init__(self, *args: Any, more: Mapping[str, Make] | None = None, **stands: Any) -> None:
        self.behind = {title: LatePart(make) for title, make in (more or {}).items()}
        super().__init__(*args, **stands)
        self.tabs.selected_index = 0
        self._opened()  # tabs open their first one as soon as they have content
        if headless():
            for part in self.behind.values():
                part.bring()

    def stand(self, rows: list[Any], below: list[Any]) -> list[Any]:
        """As a screen stands, with the other tabs behind its own."""
        stands = super().stand(rows, below)
        self.tabs.children = (*self.tabs.children, *self.behind.values())
        self.tabs.titles = (*self._tabs, *self.behind)
        return stands

    def _opened(self, *_: Any) -> None:
        super()._opened()
        past = (self.tabs.selected_index or 0) - len(self._tabs)
        if self.tabs.selected_index is not None and past >= 0:
            [*self.behind.values()][past].bring()
