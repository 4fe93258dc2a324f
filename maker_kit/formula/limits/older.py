"""What on file is older than the law or the standard that decides: the maker's own limits, certificates of scents."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from maker_kit import reference
from maker_kit.findings import Finding, know, look
from maker_kit.formula.annexes.state import law_as_of, law_states
from maker_kit.formula.limits.judging import Judgement
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import number_text, ordinal

STATE = "standard_state.csv"
LAW_OF = "EU"
"""The market whose law on file has a date."""


@dataclass(frozen=True)
class StandardState:
    """How new a standard of the trade is known to be.

    Attributes
    ----------
    standard : str
    newest_amendment, year : int
    source, checked : str
    """

    standard: str
    newest_amendment: int
    year: int
    source: str
    checked: str

    @property
    def in_words(self) -> str:
        """``the 51st amendment of the IFRA Standards (2023, read)``."""
        known = f"{self.year}, {self.checked}"
        return f"the {ordinal(self.newest_amendment)} amendment of the {self.standard} ({known})"


@lru_cache(maxsize=1)
def newest_standard() -> StandardState:
    """The newest amendment of the IFRA Standards that is known here."""
    row = reference.rows(STATE, columns=("standard", "newest_amendment", "year", "source", "checked"))[0]
    return StandardState(row["standard"], int(row["newest_amendment"]), int(row["year"]), row["source"], row["checked"])


def older_limits(own: Iterable[Limit], judged: Iterable[Judgement], market: str) -> tuple[Finding, ...]:
    """The maker's own limits that count for a recipe and are older than the law on file, or than the newest amendment
    of the standard.

    A row of the law is held against the day of the law on file; one without a date may be older. A row of a standard
    or certificate is held against the newest amendment of the IFRA Standards where it names one or is by category.

    Parameters
    ----------
    own : iterable of Limit
        The maker's own.
    judged : iterable of Judgement
        How the recipe stands to its limits.
    market : {'EU', 'US'}

    Returns
    -------
    tuple of Finding
        Each a look, ``limit_row.older``, level unknown.
    """
    mine = set(own)
    rows = dict.fromkeys(j.limit for j in judged if j.limit in mine)
    return tuple(finding for limit in rows if (finding := _older(limit, market)) is not None)


def _older(limit: Limit, market: str) -> Finding | None:
    if limit.kind == "law" and market == LAW_OF and limit.region in {"", LAW_OF} and limit.date < law_as_of():
        newest = max(law_states().values(), key=lambda state: state.last_update)
        by = f"the law on file, as of {newest.last_update} (newest amendment {newest.newest_amendment})"
    elif limit.kind in {"standard", "certificate"} and _behind(limit):
        by = newest_standard().in_words
    else:
        return None
    of = " and ".join(filter(None, (limit.amendment, limit.date)))
    stand = f"is of {of}: older than {by}" if limit.date else f"bears no date: it may be older than {by}"
    if not limit.date and limit.amendment:
        stand = f"is of {limit.amendment}: older than {by}" if limit.kind != "law" else stand
    figure = "" if limit.most_percent is None else f", {number_text(limit.most_percent)} %"
    return look(
        "limit_row.older",
        limit.substance,
        f"Your own limit on {limit.substance}{figure} {stand}. What is newer on file is judged beside it.",
        subject=f"limits.csv: {limit.substance}",
        level="unknown",
        next_step="Read it again in what is in force now, and write the new date; or delete the row.",
        source=limit.source_in_words,
    )


def _behind(limit: Limit) -> bool:
    """Whether a row of the standard names an amendment before the newest, or is by category and names none."""
    told = re.search(r"\d+", limit.amendment)
    return int(told[0]) < newest_standard().newest_amendment if told else bool(limit.category)


def older_certificates(recipe: Recipe) -> tuple[Finding, ...]:
    """The scents of a recipe whose newest certificate is older than another certificate of the recipe.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    tuple of Finding
        A look each, ``scent.certificate_older``.
    """
    newest, known = _newest(recipe), newest_standard()
    top = max(newest.values(), default=0)
    return tuple(
        look(
            "scent.certificate_older",
            (name,),
            f"{name}: its newest certificate is of the {ordinal(amendment)} amendment, and another on file is of the "
            f"{ordinal(top)}: a newer amendment may allow less.",
            level="unknown",
            next_step=f"Ask the supplier for a certificate under the {ordinal(max(top, known.newest_amendment))} "
            "amendment.",
            source=f"certificate of {name}, {ordinal(amendment)} amendment",
        )
        for name, amendment in newest.items()
        if amendment < top
    )


def certificates_behind(recipe: Recipe) -> tuple[Finding, ...]:
    """That the newest certificates of a recipe's scents are older than the newest amendment that is known, in one row.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    tuple of Finding
        One that is good to know, ``scent.amendment_older``; none where nothing is older.
    """
    newest, known = _newest(recipe), newest_standard()
    top = max(newest.values(), default=0)
    behind = [name for name, amendment in newest.items() if amendment == top < known.newest_amendment]
    if not behind:
        return ()
    several = len(behind) > 1
    return (
        know(
            "scent.amendment_older",
            ("IFRA amendment", *behind),
            f"The certificate{'s' * several} of {', '.join(behind)} {'are' if several else 'is'} of the {ordinal(top)} "
            f"amendment, as are the figures by material on file. The newest known here is {known.in_words}: it may "
            "allow less.",
            next_step=f"Ask the supplier for a certificate under the {ordinal(known.newest_amendment)} amendment or "
            "later.",
            source=f"{known.source} ({known.checked})",
        ),
    )


def _newest(recipe: Recipe) -> dict[str, int]:
    """Amendment of the newest certificate of each scent that has one."""
    return {
        name: max(c.amendment for c in recipe.ingredients[name].certificates)
        for name in recipe.scents
        if recipe.ingredients[name].certificates
    }
