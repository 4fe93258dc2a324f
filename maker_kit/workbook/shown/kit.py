"""A kit that came, as a maker reads it: needed, listed and on the scale, with what a pack may lack and who says so."""

from __future__ import annotations

from collections.abc import Mapping

import pandas as pd

from maker_kit.formula.changes.received import Received, ReceivedRow
from maker_kit.plan.kit_received import receive_kit
from maker_kit.plan.stock import find_kit
from maker_kit.workbook.charts import split as charts_split
from maker_kit.workbook.charts.picture import Picture, Still
from maker_kit.workbook.shown.answers import read_answers
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet
from maker_kit.workshop import Workshop


def received(
    workshop: Workshop,
    kit: str,
    scale: str | Mapping[str, str],
    labels: str | Mapping[str, str] = "",
    recipe: str = "",
    makes: int | None = None,
) -> Received:
    """A kit against recipe and scale.

    Parameters
    ----------
    workshop : Workshop
    kit : str
        Its name, or a part of it.
    scale, labels : str or Mapping of str to str
        What the scale shows without the pack, and what the packs' labels say: lines ``Propanediol = 28.9``, or with ";" between them, in grams unless a unit is written. What is blank was not weighed or not read.
    recipe : str
        The kit's own unless given.
    makes : int, optional
        Containers wanted; what the kit is said to make unless given.

    Returns
    -------
    Received

    Raises
    ------
    MakerKitError
        If a line is none, and as `maker_kit.plan.kit_received.receive_kit` does.
    """
    return receive_kit(workshop, kit, _slip(scale), _slip(labels), recipe, makes)


def received_sheet(kit: Received) -> Sheet:
    """Every thing with its amounts and comparisons."""
    rows = [
        {
            "what": row.item,
            f"needed for {kit.makes}": _amount(row, row.need, "–"),
            "on the kit list": _amount(row, row.listed, "–"),
            "on its label": _amount(row, row.label, "not read" if row.listed is not None else "–"),
            "on the scale": _amount(
                row, row.found, "–" if row.listed is None else "not weighed" if row.unit == "g" else "not counted"
            ),
            "may lack": _may_lack(row),
            "list against recipe": row.list_to_recipe,
            "scale against pack": row.scale_to_pack,
            "scale against recipe": row.scale_to_recipe,
            "what it may lack is from": row.source if row.listed is not None or row.label is not None else "–",
        }
        for row in kit.rows
    ]
    return Sheet(
        pd.DataFrame(rows),
        left=("what", "list against recipe", "scale against pack", "scale against recipe", "what it may lack is from"),
        widths={"what": "13%", "on its label": "7%", "on the scale": "8%", "what it may lack is from": "22%"},
    )


def came_sheet(workshop: Workshop, kit: str, scale: str, recipe: str = "", makes: int | None = None) -> Sheet:
    """Every thing of a kit that came, as `received_sheet`; where no kit is named, it says so. Recipe and containers are used where the kit names none."""
    if not kit.strip():
        return Sheet(
            pd.DataFrame(
                {
                    "what came": [
                        "no kit is named; write the name of one from kits.csv, and what the scale shows of each thing"
                    ]
                }
            ),
            left=("what came",),
        )
    plan = find_kit(workshop, kit)
    return received_sheet(received(workshop, kit, scale, "", plan.recipe or recipe, plan.makes or makes))


def received_notes(kit: Received) -> Sheet:
    """What to look at, gravest first; what is fine stands in the table alone."""
    return findings_sheet(f for f in kit.findings if f.level != "fine")


def received_picture(kit: Received) -> Still:
    """Three bars a thing: needed, listed, on the scale."""
    return Still(
        Picture(charts_split.draw_received, 9.4, charts_split.received_height).png(kit),
        charts_split.words_of_received(kit),
    )


def _slip(given: str | Mapping[str, str]) -> dict[str, str]:
    lines = read_answers(given.replace(";", "\n")) if isinstance(given, str) else dict(given)
    return {name: amount for name, amount in lines.items() if amount.strip()}


def _amount(row: ReceivedRow, amount: float | None, blank: str) -> str:
    return blank if amount is None else f"{amount:.0f} pieces" if row.unit == "pieces" else f"{amount:.2f} g"


def _may_lack(row: ReceivedRow) -> str:
    if row.unit == "pieces":
        return "0 pieces"
    if row.listed is None and row.label is None:
        return "–"
    return "unknown" if row.may_lack is None else f"{row.may_lack:.2f} g"
