"""What is written when something is wrong: the letter of a recall, and the note of a complaint with the duty to report
a serious one.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from maker_kit.bench.followed import NOT_HANDED_OUT
from maker_kit.bench.log import BenchLog
from maker_kit.bench.trace import Trace, trace
from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.findings import Finding, know, look, stop
from maker_kit.names import near_miss

SERIOUS = (
    "death or danger to life",
    "a stay in hospital",
    "lasting or passing loss of a function, or disability",
    "a birth defect",
)
"""What makes an effect serious in both markets."""
MOST_NUMBERS = 300
"""Units of a place that are named one by one in a letter; of more, the batches tell."""


@dataclass(frozen=True)
class Duty:
    """What the law of a market asks where someone was harmed.

    Attributes
    ----------
    serious : tuple of str
        What counts as serious.
    act : str
        What is to be done.
    business_days : int or None
        Within so many working days; None for "without delay".
    keep : str
        How long such records are kept; empty where nothing is on file.
    recall : str
        What is to be told of a recall.
    source : str
    """

    serious: tuple[str, ...]
    act: str
    business_days: int | None
    keep: str
    recall: str
    source: str


DUTIES = {
    "EU": Duty(
        SERIOUS,
        "Tell the competent authority of the country where it happened, without delay: the effect, the product so that "
        "it can be identified, and what was done about it.",
        None,
        "The product file is kept for ten years after the last batch (Article 11, from memory).",
        "Where there is a risk to health, tell the competent authorities of every country where it went, at once "
        "(Article 5, from memory).",
        "Regulation (EC) No 1223/2009, Article 23 (paragraph 1 read in the text kept by the United Kingdom, which "
        "names another authority; the rest, and Article 2 on what is serious, from memory)",
    ),
    "US": Duty(
        (*SERIOUS, "an infection", "significant disfigurement, as by a burn, a lasting rash or much lost hair"),
        "Send a report to the FDA with a copy of the label, within 15 business days of hearing of it; and what is "
        "learnt within a year after, again within 15.",
        15,
        "Records of effects are kept for six years, by some small businesses for three.",
        "Ask the FDA's recall coordinator of your district; a recall may be ordered.",
        "FD&C Act, sections 605 and 611, as added by MoCRA (2022): from memory",
    ),
}
"""Market to its duty."""


@dataclass(frozen=True)
class Letter:
    """A letter to send.

    Attributes
    ----------
    text : str
    findings : tuple of Finding
        What is to be known before it is sent: ``recall.tell`` (look), ``recall.unnumbered`` (stop),
        ``recall.nobody`` (know).
    """

    text: str
    findings: tuple[Finding, ...]


def duty_of(market: str) -> Duty:
    """The duty of a market; raises UnknownNameError where none is on file."""
    if market not in DUTIES:
        raise UnknownNameError(
            f'no duty to report is on file for the market "{market}"; {near_miss(market, list(DUTIES))}'
        )
    return DUTIES[market]


def recall_letter(found: Trace, market: str, on: date, why: str = "") -> Letter:
    """The letter to everyone who has a unit.

    Parameters
    ----------
    found : Trace
        Of a lot, a batch, a unit or a place.
    market : {'EU', 'US'}
    on : date
        The day of the letter.
    why : str
        The reason, in the maker's words; a line to write it where empty.

    Returns
    -------
    Letter
        Without a name or an address: those are written in by hand.

    Raises
    ------
    UnknownNameError
        If the market is unknown.
    """
    duty = duty_of(market)
    by_recipe: dict[str, list[str]] = {}
    for made in found.made:
        by_recipe.setdefault(made.recipe, []).append(f"{made.batch}, made on {made.made_on}")
    products = [f"  {title}: batch {'; '.join(batches)}" for title, batches in by_recipe.items()]
    places = {p: n for p, n in found.places.items() if p != NOT_HANDED_OUT}
    numbers = numbers_by_place(found) if places else {}
    gone = [f"  {place}: {count} ({numbers[place]})" for place, count in places.items()]
    lines = [
        f"Date: {on.isoformat()}",
        "From: ____________________________",
        "To: ______________________________",
        "",
        "Please stop using this product and give it back",
        "",
        "I made the following, and ask you to stop using it now:",
        *(products or ["  (nothing was made of it)"]),
        "",
        f"Reason: {why.strip() or '____________________________________________'}",
        "",
        "The number stands on the label. Please do not use it, do not give it on and do not throw it away; keep it out "
        "of reach of children until it is fetched or sent back. What you gave on, please tell me to whom.",
        "If you feel unwell or your skin or eyes react, see a doctor, show the label, and let me know.",
        "",
        "Where they went by my record:",
        *(gone or ["  none was handed out"]),
        "",
        "Please answer: how many you have, how many were used, and whether anybody had a reaction.",
    ]
    notes: list[Finding] = []
    if found.unnumbered:
        text = f"{found.unnumbered} containers have no number: nobody can tell them by it. Name the batch to everyone."
        notes.append(stop("recall.unnumbered", found.asked, text, level="unknown"))
    if places:
        text = f"Before or with the letter: {duty.recall}"
        notes.append(look("recall.tell", found.asked, text, next_step=duty.act, source=duty.source))
    else:
        notes.append(know("recall.nobody", found.asked, "None has left the house: take them off the shelf."))
    return Letter("\n".join(lines) + "\n", tuple(notes))


def numbers_by_place(found: Trace, most: int = MOST_NUMBERS) -> dict[str, str]:
    """The numbers of the units in each place, or the first of them and how many more there are."""
    named: dict[str, list[str]] = {}
    for unit in found.all_units():
        here = named.setdefault(unit.place, [])
        if len(here) < most:
            here.append(unit.code)
    left = {place: found.places[place] - len(codes) for place, codes in named.items()}
    more = {place: f" … and {left[place]} more of the batches above" if left[place] else "" for place in named}
    return {place: ", ".join(codes) + more[place] for place, codes in named.items()}


def note_complaint(
    log: BenchLog,
    words: str,
    told_on: date,
    market: str,
    *,
    unit: str = "",
    batch: str = "",
    serious: bool | None = None,
) -> tuple[Finding, ...]:
    """Write a complaint into the log, and say what is to be done.

    Parameters
    ----------
    log : BenchLog
    words : str
        What was told, in the teller's own words.
    told_on : date
    market : {'EU', 'US'}
    unit, batch : str
        What it is about; empty where it is not known.
    serious : bool or None
        Whether it is by the duty's list; None where it is not known yet.

    Returns
    -------
    tuple of Finding
        ``complaint.report`` (stop) where it is serious, ``complaint.ask`` (look) where that is not known,
        ``complaint.unnamed`` (look) where nobody knows which batch, ``complaint.kept`` (know).

    Raises
    ------
    QuantityError
        If nothing was told.
    UnknownNameError
        If unit, batch or market is unknown.
    """
    duty = duty_of(market)
    if not words.strip():
        raise QuantityError("write down what was told, in the words it was told in")
    if unit and not batch:
        batch = trace(log, unit, "unit").batches[0]
    log.add(
        "complaint",
        batch=batch or None,
        unit=unit or None,
        told_on=told_on.isoformat(),
        words=words.strip(),
        serious=serious,
    )
    about = unit or batch or "complaint"
    found: list[Finding] = []
    if serious:
        until = ""
        if duty.business_days is not None:
            until = f" That is {working_days_after(told_on, duty.business_days)} without public holidays."
        found.append(
            stop(
                "complaint.report",
                about,
                f"It is serious: give none of this batch out. {duty.act}{until}",
                next_step="Ask the authority, or a qualified person, before you answer.",
                source=duty.source,
            )
        )
    elif serious is None:
        text = f"Whether it is serious is not known. Serious are: {'; '.join(duty.serious)}."
        found.append(look("complaint.ask", about, text, level="unknown", next_step="Ask today.", source=duty.source))
    if not batch:
        text = "Which batch it is about is not known."
        found.append(look("complaint.unnamed", about, text, level="unknown", next_step="Ask for the number."))
    found.append(know("complaint.kept", about, f"It is in the log. {duty.keep}".strip(), source=duty.source))
    return tuple(found)


def working_days_after(day: date, count: int) -> date:
    """The day so many working days (Monday to Friday) after a day; public holidays are not known here."""
    while count:
        day += timedelta(days=1)
        count -= day.weekday() < 5
    return day
