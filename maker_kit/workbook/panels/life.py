"""The small panels for a recipe before the bench, under one name for the notebooks."""

from maker_kit.workbook.panels.life_awake import awake_panel
from maker_kit.workbook.panels.life_short import short_panel, swap_panel
from maker_kit.workbook.panels.life_text import text_panel
from maker_kit.workbook.panels.life_thickness import thickness_panel

__all__ = ["awake_panel", "short_panel", "swap_panel", "text_panel", "thickness_panel"]
