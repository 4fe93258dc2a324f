"""Controls that call one function when they change, and show its words and its picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as w

from maker_kit.errors import MakerKitError, UnknownNameError, near_miss
from maker_kit.workbook.panels.controls import Level, PictureBox, guarded, text_box
from maker_kit.workbook.picture import Picture

FIELD = {"style": {"description_width": "11em"}, "layout": {"width": "34em"}}
"""How wide a field stands, and the words before it; each field makes a layout of its own of it, since one that is shared breaks them when the page is loaded again."""


def dropdown(description: str, options: Sequence[Any], value: str, **field: Any) -> w.Dropdown:
    """A choice that begins with one of its options, whatever its capitals.

    Parameters
    ----------
    description : str
    options : sequence of str or (str, str)
        Values, or what is shown and the value.
    value : str
    **field
        How it stands; as `FIELD` unless given.

    Raises
    ------
    UnknownNameError
        If the value is none of the options; the nearest is given.
    """
    values = [option if isinstance(option, str) else option[1] for option in options]
    found = next((v for v in values if v.casefold() == value.strip().casefold()), None)
    if found is None:
        msg = f'"{value}" is none of what can be chosen as "{description}": {near_miss(value, values)}'
        raise UnknownNameError(msg)
    return w.Dropdown(options=options, value=found, description=description, **(field or FIELD))


class CallPanel(w.VBox):
    """Controls that call one function when they change; a fault takes the old words and the old picture away, so that nothing stale stands beside it.

    Parameters
    ----------
    name : str
        Class of the panel in the page; its words are ``NAME-words``, its picture ``NAME-picture``.
    controls : sequence of Level or ipywidgets.Widget
    call : callable
        Gives the words as HTML and what the picture shows; None leaves the picture as it is.
    picture : Picture, optional
    rows : sequence of ipywidgets.Widget, optional
        How the controls stand in the page; one below the other unless given.
    below : sequence of ipywidgets.Widget
        What stands under the words.
    """

    def __init__(self, name: str, controls: Sequence[Any], call: Callable[[], tuple[str, Any]], picture: Picture | None = None, rows: Sequence[Any] | None = None, below: Sequence[Any] = ()) -> None:
        self.controls: tuple[Any, ...] = ()
        self.fault, self.words = text_box(f"{name}-fault"), text_box(f"{name}-words")
        self.picture = PictureBox(picture, f"{name}-picture") if picture else None
        self._call = call
        self.redraw = guarded(self._show, self.fault)
        self.redraw()
        self.watch(controls)
        shown = rows if rows is not None else [control.row if isinstance(control, Level) else control for control in controls]
        super().__init__([*shown, self.fault, *([self.picture.image] if self.picture else []), self.words, *below])
        self.add_class(name)

    def watch(self, controls: Sequence[Any]) -> None:
        """Call whenever one of these changes, too."""
        self.controls = (*self.controls, *controls)
        for control in controls:
            if isinstance(control, Level):
                control.watch(self.redraw)
            else:
                control.observe(self.redraw, names="value")

    def _show(self) -> None:
        try:
            words, shown = self._call()
        except MakerKitError:
            self.words.value = ""
            self._picture_stands(False)
            raise
        self.words.value = words
        if self.picture is not None and shown is not None:
            self.picture.show(shown)
            self._picture_stands(True)

    def _picture_stands(self, stands: bool) -> None:
        if self.picture is not None:
            self.picture.image.layout.display = None if stands else "none"
