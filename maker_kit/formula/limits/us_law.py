"""What US law on file says of a recipe: what 21 CFR 700 and 250 bar, and where its colours may go."""

from __future__ import annotations

import re
from collections.abc import Iterable

from maker_kit.findings import Finding, look, stop
from maker_kit.formula.annexes.purpose import serves
from maker_kit.formula.annexes.us import us_rules_of
from maker_kit.formula.annexes.us_colours import UsColour, us_colour
from maker_kit.formula.annexes.verdict import Content
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.naming import colour_index
from maker_kit.numbers import number_text

_US_NAME = re.compile(r"(?i)^\s*(?:ext\.?\s*)?(?:f\s*d\s*&\s*c|d\s*&\s*c|fdc|fd and c|d and c)\b")
"""How the names of certified colours begin in the US (21 CFR 74 and 82): FD&C, D&C, Ext. D&C."""


def us_findings(recipe: Recipe, contents: Iterable[Content]) -> tuple[Finding, ...]:
    """What 21 CFR 700 and 250 say of a recipe, and 73 and 74 of its colours; the others are unknown.

    Parameters
    ----------
    recipe : Recipe
    contents : iterable of Content
        Its substances.

    Returns
    -------
    tuple of Finding
        Codes ``law.us_prohibited`` and ``law.us_restricted``; of colours ``law.us_colour_not_listed``,
        ``law.us_colour_place``, ``law.us_colour_most``, ``law.us_colour_condition``, ``law.us_colour_listed``, and
        ``law.us_colours`` of those that nothing was read of.
    """
    found, contents = [], tuple(contents)
    for content in contents:
        for rule in us_rules_of(content.name, recipe.product_type):
            barred = rule.bars(content, recipe.product_type)
            found.append(
                Finding(
                    "stop" if barred else "look",
                    "law.us_prohibited" if barred else "law.us_restricted",
                    (content.name,),
                    f"{content.name}: {rule.says} ({rule.section}).",
                    level="over" if barred else "unknown",
                    next_step="Leave it out, or ask someone who knows US cosmetics law.",
                    source=f"{rule.section} ({rule.checked})",
                )
            )
    colours = [c for c in contents if _is_colour(c)]
    for content in colours:
        if colour := us_colour(content.name):
            found.append(_listed(content, colour, recipe))
    if unread := [c.name for c in colours if us_colour(c.name) is None]:
        found.append(
            look(
                "law.us_colours",
                unread,
                f"{', '.join(unread)}: whether the US lists it for cosmetics (21 CFR 73, 74 and 82) is not on file: "
                "unknown. What is not listed there is not allowed.",
                subject="US colours",
                level="unknown",
                next_step="Read the lists, or leave it out.",
                source="none on file",
            )
        )
    return tuple(found)


def _listed(content: Content, colour: UsColour, recipe: Recipe) -> Finding:
    """What is on file of one colour for such a product."""
    name = content.name if content.name == colour.us_name else f"{content.name} ({colour.us_name})"
    source = f"{colour.source} ({colour.checked})"
    if not colour.section:
        return stop(
            "law.us_colour_not_listed",
            content.name,
            f"{name}: the US lists it for no cosmetic, so it is not allowed in one.",
            level="over",
            next_step="Leave it out, or take a colour that is listed.",
            source=source,
        )
    lots = " Each lot has to be certified by the FDA." if colour.certified else ""
    step = "Buy it only with the lot number of the FDA's certificate on its label." if colour.certified else ""
    if colour.only:
        return look(
            "law.us_colour_condition",
            content.name,
            f"{name}: the US lists it for these alone: {colour.only} ({colour.section}). Whether this is one, the "
            f"workbook cannot tell.{lots}",
            level="unknown",
            next_step=f"Leave it out where this is none of them. {step}".strip(),
            source=source,
        )
    lips, most = "lips" in (recipe.product_type.places or ("lips",)), colour.most_lips
    if barred := colour.barred_from(recipe.product_type):
        return stop(
            "law.us_colour_place",
            content.name,
            f"{name}: the US does not list it for {', '.join(barred)} ({colour.section}).",
            level="over",
            next_step="Leave it out, or take a colour that is listed for it.",
            source=source,
        )
    if lips and most is not None and (content.high is None or content.at_most > most):
        over = content.at_most > most
        return Finding(
            "stop" if over else "look",
            "law.us_colour_most",
            (content.name,),
            f"{name}: on lips at most {number_text(most)} % of the whole ({colour.section}), and "
            + (f"there can be {number_text(content.at_most)} %." if over else "nobody has told how much is there."),
            level="over" if over else "unknown",
            next_step="Lower it, or ask the supplier how much is inside.",
            limit_percent=float(most),
            source=source,
        )
    return Finding(
        "look" if colour.certified else "know",
        "law.us_colour_listed",
        (content.name,),
        f"{name}: the US lists it for such a product ({colour.section}).{lots}",
        level="note",
        next_step=step,
        source=source,
    )


def _is_colour(content: Content) -> bool:
    known = us_colour(content.name)
    return bool(
        colour_index(content.name)
        or _US_NAME.match(content.name)
        or serves(content, "colour")
        or (known and known.named_by_itself)
    )
