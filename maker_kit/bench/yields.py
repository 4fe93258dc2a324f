"""What really stays on the tools: film and loss from batches that were made, as a proposal for the recipe.

    made = film + (1 + loss / 100) · containers · fill

by least squares over the batches, none of the two below 0. The same law as `maker_kit.formula.batch.batch_mass_g`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from maker_kit.bench.log import BenchLog
from maker_kit.errors import QuantityError
from maker_kit.findings import PRACTICE, Finding, know, look

FEWEST = 3
"""Batches before anything is proposed."""
SOURCE = "least squares of what was made against what was filled"


@dataclass(frozen=True)
class BatchYield:
    """One batch: what was weighed into it, and what came out in containers.

    Attributes
    ----------
    batch : str
    made_g : float
        All that was weighed in [g].
    containers : int
        That were filled.
    filled_g : float
        What they hold in all [g].
    """

    batch: str
    made_g: float
    containers: int
    filled_g: float

    @property
    def lost_g(self) -> float:
        """What did not come out [g]."""
        return self.made_g - self.filled_g


@dataclass(frozen=True)
class LossProposal:
    """What the batches propose for a recipe.

    Attributes
    ----------
    yields : tuple of BatchYield
    film_g, loss_percent : float or None
        [g] and [%]; None where nothing is proposed yet.
    rest_g : float or None
        How far the batches lie from it, root mean square [g].
    findings : tuple of Finding
        ``yield.few`` (know), ``yield.one_size`` (know): film and loss cannot be told apart, ``yield.more_out`` (look):
        more came out than went in, ``yield.proposal`` (know).
    """

    yields: tuple[BatchYield, ...]
    film_g: float | None
    loss_percent: float | None
    rest_g: float | None
    findings: tuple[Finding, ...]

    def to_frame(self) -> pd.DataFrame:
        """One row a batch: batch, containers, made, filled and lost [g], lost [% of what was filled]."""
        rows = [
            (
                y.batch,
                y.containers,
                round(y.made_g, 1),
                round(y.filled_g, 1),
                round(y.lost_g, 1),
                round(100 * y.lost_g / y.filled_g, 2),
            )
            for y in self.yields
        ]
        return pd.DataFrame(rows, columns=["batch", "containers", "made g", "filled g", "lost g", "lost %"])


def yields_of(log: BenchLog, recipe: str) -> tuple[BatchYield, ...]:
    """The batches of a recipe of which weighings and fills are on file; a container that was not weighed is taken as
    the mean of those of its batch that were.

    Containers are those with a number, or the batch's own count where none has one.
    """
    rows = log.ask(
        """SELECT b.number, b.containers,
 (SELECT sum(mass_mg) FROM now_weighing w WHERE w.batch = b.id) AS made,
 (SELECT avg(mass_mg) FROM now_fill f WHERE f.batch = b.id) AS fill,
 (SELECT count(*) FROM now_unit u WHERE u.batch = b.id) AS units
 FROM now_batch b WHERE b.recipe = ? ORDER BY b.began""",
        (recipe,),
    )
    found = []
    for row in rows:
        if row["made"] and row["fill"]:
            count = row["units"] or row["containers"]
            found.append(BatchYield(row["number"], row["made"] / 1000, count, count * row["fill"] / 1000))
    return tuple(found)


def propose_loss(yields: Sequence[BatchYield]) -> LossProposal:
    """Film and loss from real yields.

    Parameters
    ----------
    yields : sequence of BatchYield

    Returns
    -------
    LossProposal

    Raises
    ------
    QuantityError
        If a batch has no mass, or filled nothing.
    """
    given = tuple(yields)
    for y in given:
        if not (math.isfinite(y.made_g) and math.isfinite(y.filled_g) and y.made_g > 0 and y.filled_g > 0):
            raise QuantityError(f"{y.batch} needs a mass that was made and one that was filled, both above 0 g")
    found: list[Finding] = []
    for y in given:
        if y.lost_g < 0:
            text = f"{y.batch}: {-y.lost_g:.1f} g more were filled than weighed in."
            step = "Was the container weighed with it, or a weighing not written down?"
            found.append(look("yield.more_out", y.batch, text, level="over", next_step=step, source=PRACTICE))
    if len(given) < FEWEST:
        text = f"Not yet: {len(given)} of at least {FEWEST} batches are on file."
        return LossProposal(
            given, None, None, None, (*found, know("yield.few", "loss", text, level="unknown", source=PRACTICE))
        )
    if len({y.containers for y in given}) == 1:
        share = 100 * (sum(y.made_g for y in given) / sum(y.filled_g for y in given) - 1)
        text = (
            f"All batches are of one size: film and loss cannot be told apart; together they were {share:.2f} % of "
            "what was filled."
        )
        return LossProposal(given, None, None, None, (*found, know("yield.one_size", "loss", text, source=SOURCE)))
    film, slope = _fit([y.filled_g for y in given], [y.made_g for y in given])
    rest = math.sqrt(sum((y.made_g - film - slope * y.filled_g) ** 2 for y in given) / len(given))
    loss = 100 * (slope - 1)
    text = f"By {len(given)} batches: film {film:.1f} g and loss {loss:.2f} %; they lie {rest:.1f} g about that."
    step = "Write them into recipes.csv if you find them right; nothing is changed by itself."
    found.append(know("yield.proposal", "loss", text, next_step=step, source=SOURCE))
    return LossProposal(given, film, loss, rest, tuple(found))


def _fit(filled: Sequence[float], made: Sequence[float]) -> tuple[float, float]:
    """Film [g] and slope by least squares, with a film of at least 0 and a slope of at least 1."""
    import numpy as np
    from scipy.optimize import lsq_linear

    across = np.column_stack([np.ones(len(filled)), np.asarray(filled)])
    best = lsq_linear(across, np.asarray(made), bounds=([0.0, 1.0], [np.inf, np.inf]), method="bvls").x
    return float(best[0]), float(best[1])
