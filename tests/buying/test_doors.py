"""The room's inner doors: the curve is entered by its solver alone, and the basket's record stands below what talks
about it.
"""

from __future__ import annotations

import ast

import house


def test_nobody_outside_the_curve_takes_anything_of_it_but_its_solver() -> None:
    inside = "maker_kit.buying.curve"
    for name, path in house.modules().items():
        if name.startswith("buying.curve"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith((f"{inside}.", inside)):
                if node.module in ("maker_kit.buying.curve_point",):
                    continue
                taken = [alias.name for alias in node.names]
                assert (node.module, taken) == (f"{inside}.solver", ["CurveSolver"]), name


def test_the_basket_knows_neither_its_rivals_nor_its_reasons() -> None:
    edges = house.graph()
    assert not edges["buying.basket.basket"] & {"buying.basket.rivals", "buying.basket.reasons", "buying.costing"}
    assert "buying.basket.reasons" not in edges["buying.basket.rivals"]
