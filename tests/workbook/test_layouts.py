"""No two controls share a layout or a style: one that is shared, made when a module is fetched, breaks the boxes of a
page that is loaded again.
"""

from __future__ import annotations

import importlib
import pkgutil
from typing import Any

import ipywidgets

from maker_kit import workbook
from maker_kit.workbook.panels.controls import dropdown, text_box


def within(value: Any) -> list[Any]:
    """A value, and what stands in it."""
    if isinstance(value, dict):
        return [value, *(inner for one in value.values() for inner in within(one))]
    if isinstance(value, list | tuple | set):
        return [value, *(inner for one in value for inner in within(one))]
    return [value]


def test_no_module_keeps_a_piece_of_a_control() -> None:
    names = [m.name for m in pkgutil.walk_packages(workbook.__path__, "maker_kit.workbook.")]
    assert len(names) > 20
    kept = [
        (name, word)
        for name in names
        for word, value in vars(importlib.import_module(name)).items()
        if any(isinstance(v, ipywidgets.Widget) for v in within(value))
    ]
    assert not kept


def test_each_control_has_a_layout_and_a_style_of_its_own() -> None:
    boxes = [text_box(name) for name in "ab"]
    fields = [dropdown("which", ["a", "b"], "a") for _ in range(2)]
    assert len({box.layout.model_id for box in (*boxes, *fields)}) == 4
    assert len({field.style.model_id for field in fields}) == 2
    assert {field.layout.width for field in fields} == {"34em"}
