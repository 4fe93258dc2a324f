"""What the notebooks call for a recipe before the bench: any text, what is there, a short bottle, a swap, clashes, the avoid-list; preservatives along the pH."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date

import pandas as pd

from maker_kit.errors import NoticeError
from maker_kit.findings import know, look
from maker_kit.formula.changes.in_hand import InHand, no_help
from maker_kit.formula.density import density_of
from maker_kit.formula.notes.avoid import check_avoided
from maker_kit.formula.notes.clashes import clashes
from maker_kit.formula.pasted.percents import PercentRecipe, to_percent
from maker_kit.formula.pasted.recipe_text import RecipeText, read_recipe_text
from maker_kit.formula.preservation.ph_reading import PhReading, check_reading, judge_reading
from maker_kit.formula.preservation.ph_strip import ph_strip
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import Recipe
from maker_kit.plan.stock import CostedWays, fills, stock_of_kit
from maker_kit.plan.swap import SwapPlan
from maker_kit.workbook.charts import stock_and_ph as charts_life
from maker_kit.workbook.charts.picture import Picture, Still
from maker_kit.workbook.keep import own_folder, plainly
from maker_kit.workbook.shown.answers import read_answers
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet
from maker_kit.workshop import Workshop
from maker_kit.workshop.saving import save_recipe


def frame_sheet(frame: pd.DataFrame, digits: int = 2, right: Iterable[str] = ()) -> Sheet:
    """Any table: numbers with so many decimals, words to the left, but for the columns that are to stand to the right."""
    shown = frame.copy()
    left = []
    for column in frame.columns:
        if pd.api.types.is_bool_dtype(frame[column].dtype):
            shown[column] = ["yes" if value else "no" for value in frame[column]]
            left.append(column)
        elif pd.api.types.is_float_dtype(frame[column].dtype):
            shown[column] = [("" if pd.isna(value) else f"{value:.{digits}f}") for value in frame[column]]
        elif pd.api.types.is_integer_dtype(frame[column].dtype):
            shown[column] = [("" if pd.isna(value) else str(value)) for value in frame[column]]
        else:
            shown[column] = ["" if value is None or value is pd.NA else str(value) for value in frame[column]]
            left.append(column)
    return Sheet(shown, left=[column for column in left if column not in set(right)])


def read_text(workshop: Workshop, text: str, answers: str = "") -> RecipeText:
    """A recipe in any mess, read; answers are one a line, ``question = answer``."""
    return read_recipe_text(text, workshop.ingredients, read_answers(answers))


def text_sheet(parsed: RecipeText) -> Sheet:
    """Every line of the text as it was read."""
    return frame_sheet(parsed.to_frame())


def questions_sheet(parsed: RecipeText) -> Sheet:
    """What has to be answered before there are percentages."""
    frame = parsed.questions_frame()
    return (
        frame_sheet(frame)
        if len(frame)
        else Sheet(pd.DataFrame({"asked": ["nothing is left to ask"]}), left=("asked",))
    )


def percent_sheet(parsed: RecipeText) -> Sheet:
    """The recipe in percent with its sums before and after, or what still has to be answered."""
    if parsed.questions:
        return Sheet(
            pd.DataFrame(
                {
                    "percentages": [
                        f"{'1 question is' if len(parsed.questions) == 1 else f'{len(parsed.questions)} questions are'} open; the percentages come when all is answered"
                    ]
                }
            ),
            left=("percentages",),
        )
    return frame_sheet(percents(parsed).to_frame(), 4)


def percents(parsed: RecipeText) -> PercentRecipe:
    """The recipe in percent. Raises RecipeError while a question is open."""
    return to_percent(parsed)


def save_text(workshop: Workshop, parsed: RecipeText, name: str, title: str, source: str, like: str) -> str:
    """Keep an answered recipe as a file of the maker's own workshop, with its source and today's date; says where it went.

    Parameters
    ----------
    workshop : Workshop
    parsed : RecipeText
    name, title, source : str
        Short name of the recipe, its title, and where it was found.
    like : str
        A recipe whose container, place on the body and the rest it takes over, until they are changed in recipes.csv.

    Returns
    -------
    str

    Raises
    ------
    NoticeError
        If the workshop is the demo's, which stays as it is, or no recipe is chosen that it is kept like.
    MakerKitError
        If a question is open, or as `maker_kit.workshop.saving.save_recipe` does.
    """
    folder = own_folder(workshop)
    if not like:
        msg = "choose the recipe it is kept like: that decides where it goes, whether it is rinsed off or left on, its container and its fill, and so which limits it is judged by"
        raise NoticeError(msg)
    with plainly():
        saved = save_recipe(folder, name, title or name, percents(parsed), source, date.today(), like=like)
    return f"saved as recipes/{saved.name}.csv; look through its row in recipes.csv, then at its limits in 01_formula"


def sums_sheet(parsed: RecipeText) -> Sheet:
    """The sums before and after."""
    if parsed.questions:
        return Sheet(pd.DataFrame({"sums": ["they come with the percentages"]}), left=("sums",))
    return frame_sheet(percents(parsed).sums_frame(), 4)


def stock_of(workshop: Workshop, kit: str, have: str) -> dict[str, float | str]:
    """What is there: a kit's content, and amounts of one's own over it.

    Parameters
    ----------
    workshop : Workshop
    kit : str
        Name of a kit, or a part of it; empty for none.
    have : str
        Lines ``Propanediol = 32 g``, or with ";" between them; empty for none.
    """
    stock: dict[str, float | str] = dict(stock_of_kit(workshop, kit)) if kit else {}
    stock |= read_answers(have.replace(";", "\n"), "Propanediol = 32 g")
    if not stock:
        msg = "nothing is named that is there: name a kit, or write lines such as: Propanediol = 32 g"
        raise NoticeError(msg)
    return stock


def fills_sheet(there: InHand) -> Sheet:
    """How many containers each thing fills, and what runs out first."""
    return frame_sheet(there.to_frame())


def more_sheet(there: InHand) -> Sheet:
    """What one more pack of the scarcest would give; packs that give no container more are left out, and where all are, it says why."""
    frame, units = there.packs_to_frame(), {row.item: row.unit for row in there.rows}
    frame["content"] = [f"{pack.amount:g} {units.get(pack.item, '')}".strip() for pack in there.packs_that_help]
    none = (
        no_help(there.runs_out_first, there.more_packs)
        if there.more_packs
        else f"no pack of {there.runs_out_first} is on sale by itself"
    )
    return (
        frame_sheet(frame, right=("content", "price"))
        if len(frame)
        else Sheet(pd.DataFrame({"one more pack": [none]}), left=("one more pack",))
    )


def reach_picture(there: InHand, makes: int) -> Still:
    """How far each thing reaches, as bars."""
    return Still(
        Picture(charts_life.draw_reach, 9.4, charts_life.reach_height).png((there, makes)),
        charts_life.words_of_reach(there),
    )


def ways_sheet(ways: CostedWays) -> Sheet:
    """The four ways on from a short bottle, side by side; where nothing is short, that it is enough."""
    if not ways.ways:
        return findings_sheet(ways.bottle.findings)
    costs = {
        f"{what} {ways.currency}": f"{what} [{ways.currency}]" for what in ("still to pay", "used up", "used up, each")
    }
    frame = ways.to_frame().rename(columns={"batch g": "batch [g]", "new flags": "new notes", **costs})
    frame["new notes"] = [re.sub(r"; (?=(?:stop|look|know): )", "\n", notes) for notes in frame["new notes"]]
    return frame_sheet(frame, right=costs.values())


def ways_percents_sheet(ways: CostedWays) -> Sheet:
    """The percentages of each way."""
    return frame_sheet(ways.bottle.percents(), 3)


def swap_sheet(planned: SwapPlan) -> Sheet:
    """What a swap changes: levels, density, allergens, findings before and after, cost."""
    return frame_sheet(planned.to_frame())


def clashes_sheet(workshop: Workshop, recipe: Recipe) -> Sheet:
    """Known clashes in a recipe; says so where the table names none."""
    none = know(
        "clash.note",
        recipe.title,
        "The small table of clashes names none in this recipe. It is a table of practice, not of all that can go wrong.",
    )
    return findings_sheet(clashes(recipe, workshop.container(recipe.container).kind) or (none,))


def avoid_sheet(workshop: Workshop, recipe: Recipe) -> Sheet:
    """Whether something on the avoid-list is in a recipe, inside bought mixtures too."""
    return findings_sheet(check_avoided(recipe, workshop.avoid, workshop.ingredients).findings)


def ph_strip_picture(recipe: Recipe) -> Still:
    """Which share of each preservative is awake from pH 3 to 9."""
    strip = ph_strip(recipe)
    words = (
        "; ".join(f"{row.acid}: {row.share_percent:.1f} % at pH {row.ph:g}" for row in strip.at_reading())
        or "no reading, or no acid preservative"
    )
    return Still(Picture(charts_life.draw_ph_strip, 9.4, 4.0).png(strip), words)


def preservation_sheet(recipe: Recipe) -> Sheet:
    """All that is to be said of a recipe's preservation; a stop stands first and nothing hides it."""
    return findings_sheet(judge_preservation(recipe))


def reading_of(ph: float, tool: str, temperature: str, read_on: date | None = None) -> PhReading | None:
    """A reading of the pH with its tool and the temperature of the sample; none where the tool was not noted, since how far it may be off is unknown then.

    Parameters
    ----------
    ph : float
    tool : {'', 'strip', 'meter'}
    temperature : str
        As typed [°C]; empty where it was not noted.
    read_on : date, optional
        The day it was read; today unless given.

    Returns
    -------
    PhReading or None

    Raises
    ------
    NoticeError
        If the temperature is no number.
    QuantityError
        As `maker_kit.formula.preservation.ph_reading.check_reading` does.
    """
    plain = temperature.strip().replace(",", ".").removesuffix("C").removesuffix("°").strip()
    try:
        warm = float(plain) if plain else None
    except ValueError as error:
        msg = f'"{temperature.strip()}" is no temperature: write a number of °C such as 21, or leave it empty'
        raise NoticeError(msg) from error
    return check_reading(PhReading(ph, tool, warm, read_on or date.today())) if tool else None


def reading_sheet(recipe: Recipe, reading: PhReading | None) -> Sheet:
    """How a reading stands to the recipe's band with all its possible error, and at which temperature it was read."""
    if reading is not None:
        return findings_sheet(judge_reading(recipe, (reading,)))
    text = "With which tool the pH was read is not noted, so how far it may be off is unknown."
    return findings_sheet(
        (
            look(
                "preservation.unknown",
                "pH",
                text,
                level="unknown",
                next_step="note the tool and the temperature of the sample",
                source="common practice, no source",
            ),
        )
    )


def density_sheet(recipe: Recipe) -> Sheet:
    """The recipe's measured density beside the additive rule."""
    return findings_sheet(density_of(recipe).findings)


def in_hand(workshop: Workshop, recipe: str, stock: Mapping[str, float | str]) -> InHand:
    """What is there, against a recipe."""
    return fills(workshop, recipe, stock)
