"""Controls beside a result: a slider moves, one function of a room is called, one picture and its words change."""

from maker_kit.workbook.panels.formula import formula_panel
from maker_kit.workbook.panels.make_or_buy import make_or_buy_panel
from maker_kit.workbook.panels.together import together_panel

__all__ = ["formula_panel", "make_or_buy_panel", "together_panel"]
