"""How much acid to start with, from what it took last time. It is a start, never an answer: the pH is read after every
addition, and nothing computes it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.findings import PRACTICE, Finding, look
from maker_kit.numbers import exact_number

START_SHARE = Fraction(4, 5)
"""Most of last time's acid, scaled, to start with; common practice, no source."""
TENTH_G = Fraction(1, 10)
"""Step of the additions [g]."""
MUCH_PERCENT = 5
"""Last time's acid above this share of the batch [%] is looked at: more likely a slip of the pen; common practice, no
source."""


@dataclass(frozen=True)
class AcidDose:
    """A start dose of acid.

    Attributes
    ----------
    acid : str
        What is added, in the strength of last time.
    batch_g : float
        This batch without the acid that is still to come [g].
    scaled_g : float
        Last time's acid in proportion to the batch [g]; not a dose.
    start_g : float
        What to add first: at most 80 % of that, rounded down to a tenth [g].
    step_g : float
        Each further addition [g].
    steps : tuple of str
        What to do, in order.
    findings : tuple of Finding
    source : str
    """

    acid: str
    batch_g: float
    scaled_g: float
    start_g: float
    step_g: float
    steps: tuple[str, ...]
    findings: tuple[Finding, ...]
    source: str = f"last time's acid in proportion to the batch, 80 % of it to start with: {PRACTICE}"


def start_dose(
    last_acid_g: float,
    last_batch_g: float,
    batch_g: float,
    acid: str = "acid",
    band: tuple[float | None, float | None] = (None, None),
) -> AcidDose:
    """A start dose of acid from what it took last time.

    ``start = ⌊0.8 · last acid · batch / last batch⌋`` in tenths of a gram, exactly. It holds only for the same
    recipe, the same acid in the same strength and the same band; another lot of a surfactant or of water can take
    less. So a start is at most 80 % (common practice, no source), and the rest is found by reading.

    Parameters
    ----------
    last_acid_g : float
        Acid used last time until the pH was in the band [g].
    last_batch_g, batch_g : float
        Last time's batch and this one [g].
    acid : str
        Name of what is added.
    band : (float or None, float or None)
        Wanted pH, for the words.

    Returns
    -------
    AcidDose

    Raises
    ------
    QuantityError
        If a mass is no number, a batch is not above 0, the acid is below 0 or not less than the batch.
    """
    last, before, now = (
        exact_number(v, w)
        for v, w in (
            (last_acid_g, "last time's acid in g"),
            (last_batch_g, "last time's batch in g"),
            (batch_g, "this batch in g"),
        )
    )
    if before <= 0 or now <= 0 or not 0 <= last < before:
        raise QuantityError(
            f"{float(last):g} g of acid in a batch of {float(before):g} g, now {float(now):g} g: batches are above 0 "
            "g, and the acid is 0 g or more and less than the batch"
        )
    scaled = last * now / before
    start = scaled * START_SHARE // TENTH_G * TENTH_G
    low, high = band
    wanted = "" if low is None or high is None else f" ({low:g}–{high:g})"
    first = (
        f"Add {float(start):g} g of {acid} to the stirred batch, a little at a time."
        if start
        else f"Add no {acid} yet."
    )
    steps = (
        f"Goggles and gloves. Read the pH first; if it is in the band{wanted}, add nothing.",
        first,
        "Stir for five minutes, let it come to the room's temperature, and read.",
        f"Above the band: add {float(TENTH_G):g} g, stir, wait, read. Again until it is in the band{wanted}.",
        "In the band: stop, and write down the grams, the reading, its tool and its temperature.",
    )
    return AcidDose(
        acid,
        float(now),
        float(scaled),
        float(start),
        float(TENTH_G),
        steps,
        _findings(acid, last, before, scaled, start),
    )


def _findings(acid: str, last: Fraction, before: Fraction, scaled: Fraction, start: Fraction) -> tuple[Finding, ...]:
    def note(code: str, text: str, next_step: str, **more: object) -> Finding:
        return look(f"preservation.dose_{code}", acid, text, next_step=next_step, source=PRACTICE, **more)

    found = [
        note(
            "is_a_start",
            f"{float(start):g} g is a start, not an answer: what a batch takes changes with its lots, and too much "
            "acid cannot be taken out again.",
            "Read, add by tenths of a gram, read. Add acid to the batch, never the batch to the acid.",
        )
    ]
    if last and start < TENTH_G:
        found.append(
            note(
                "too_small",
                f"Last time's acid in proportion is {float(scaled):.3g} g; four fifths of that is less than a tenth "
                "of a gram.",
                "Dilute the acid tenfold with water of the recipe, and add that by tenths; or make a larger batch.",
            )
        )
    if not last:
        found.append(
            note(
                "unknown",
                "Last time took no acid, so nothing says how much to start with.",
                "Read first; add a tenth at a time only if it is above the band.",
                level="unknown",
            )
        )
    share = 100 * last / before
    if share > MUCH_PERCENT:
        found.append(
            note(
                "very_large",
                f"Last time's acid was {float(share):.3g} % of the batch. That is very much.",
                "Look at last time's record before adding anything: grams, not drops or millilitres?",
                found_percent=float(share),
                limit_percent=MUCH_PERCENT,
            )
        )
    return tuple(found)
