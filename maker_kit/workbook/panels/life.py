"""The small panels for a recipe before the bench, under one name for the notebooks."""

from maker_kit.workbook.panels.preservation import preservation_panel
from maker_kit.workbook.panels.stock import short_panel, swap_panel
from maker_kit.workbook.panels.text import text_panel
from maker_kit.workbook.panels.thickness import thickness_panel

__all__ = ["preservation_panel", "short_panel", "swap_panel", "text_panel", "thickness_panel"]
