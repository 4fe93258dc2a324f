"""Keeping what was tried, under a panel: its table as CSV, and its changed recipe in the maker's own workshop; closed until it is wanted."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import ipywidgets as w

from maker_kit.workbook.panels.call import FIELD
from maker_kit.workbook.panels.controls import guarded, sentence, text_box


def keeping(
    name: str,
    table: Callable[[str], str],
    file: str,
    recipe: Callable[[str, str, str], str] | None = None,
    source: str = "",
    which: Sequence[w.Widget] = (),
) -> w.VBox:
    """The two ways to keep what is shown.

    Parameters
    ----------
    name : str
        Class of the panel it belongs to; what is said stands in ``NAME-kept``, a fault in ``NAME-kept-fault``.
    table : callable
        ``table(file) -> sentence``.
    file : str
        File name that is proposed.
    recipe : callable, optional
        ``recipe(short name, title, source) -> sentence``.
    source : str
        Source that is proposed.
    which : sequence of ipywidgets.Widget
        What else says which recipe is kept.

    Returns
    -------
    ipywidgets.VBox
    """
    fault, said = text_box(f"{name}-kept-fault"), text_box(f"{name}-kept")
    path = w.Text(value=file, description="file name", **FIELD)
    boxes, titles = (
        [w.VBox([path, _button("save the table as CSV", lambda: table(path.value), fault, said)])],
        ["keep the table"],
    )
    if recipe is not None:
        short, title, found = (
            w.Text(value=value, description=what, **FIELD)
            for what, value in (("short name", ""), ("title", ""), ("where it is from", source))
        )
        button = _button(
            "save as a recipe",
            lambda: recipe(short.value.strip(), title.value.strip(), found.value.strip()),
            fault,
            said,
        )
        boxes.append(w.VBox([*which, short, title, found, button]))
        titles.append("keep the changed recipe")
    folded = w.Accordion(boxes, selected_index=None)
    for at, words in enumerate(titles):
        folded.set_title(at, words)
    both = w.VBox([folded, fault, said])
    both.add_class(f"{name}-keeping")
    return both


def _button(words: str, keep: Callable[[], str], fault: w.HTML, said: w.HTML) -> w.Button:
    def pressed() -> None:
        said.value = ""
        said.value = sentence(keep())

    button = w.Button(description=words, layout=w.Layout(width="14em"))
    button.on_click(guarded(pressed, fault))
    return button
