"""The maker's folder of tables, read and checked as a whole."""

from maker_kit.formula.container import Container
from maker_kit.formula.step import Step
from maker_kit.workshop.csv.writing import write_table
from maker_kit.workshop.loading import find_folder, find_tables, find_workshop, load_workshop
from maker_kit.workshop.making import demo_folder, new_workshop
from maker_kit.workshop.things import (
    Avoided,
    Kit,
    Settings,
    ShopProduct,
    ShopSize,
    Swap,
    WantedThickness,
)
from maker_kit.workshop.workshop import CheckReport, Workshop

__all__ = [
    "Avoided",
    "CheckReport",
    "Container",
    "Kit",
    "Settings",
    "ShopProduct",
    "ShopSize",
    "Step",
    "Swap",
    "WantedThickness",
    "Workshop",
    "demo_folder",
    "find_folder",
    "find_tables",
    "find_workshop",
    "load_workshop",
    "new_workshop",
    "write_table",
]
