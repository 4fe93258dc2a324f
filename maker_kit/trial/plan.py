"""Planning a blind trial: orders random and balanced, three-digit codes, and the key, all from one seed that is kept.

The draws come from SHA-256 of the seed, so that they are the same in every version of Python on every machine.
"""

from __future__ import annotations

import hashlib
import secrets
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import pandas as pd

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.frames import frame_of
from maker_kit.names import near_miss
from maker_kit.trial.binomial import CHANCE, check_tasters
from maker_kit.trial.card import digest_of

OURS, SHOP = "ours", "shop"
KINDS = ("triangle", "duo-trio", "paired", "pairs", "kind")
"""Three servings of which one is odd; a reference and which of two is like it; which of two has more; two servings that
are both measured; and what kind of thing each is, which needs no blinding.
"""
HANDS = ("one pair of hands", "panel")
ORDERS = {
    kind: tuple(tuple({"O": OURS, "S": SHOP}[letter] for letter in order) for order in orders.split())
    for kind, orders in {
        "triangle": "OSS SOS SSO SOO OSO OOS",
        "duo-trio": "OOS OSO SOS SSO",
        "paired": "OS SO",
        "pairs": "OS SO",
        "kind": "OS",
    }.items()
}
"""The orders of a taster's servings, each as often as the others (ISO 4120:2021 clause 7, ISO 10399:2017 with balanced
reference, ISO 5495:2005). In a duo-trio the first is the reference.
"""
SIDES = ("left", "right")
MOST_SEED = 10**9
CODES = tuple(str(code) for code in range(100, 1000))
"""All codes of three digits."""
MOST_LOOKS = 5


@dataclass(frozen=True)
class Place:
    """What one taster, or one day's pair, gets: codes in the order they are taken, and what is behind each.

    Attributes
    ----------
    number : int
        Taster or pair, from 1.
    codes : tuple of str
        Three digits each; the reference of a duo-trio is called ``R``.
    behind : tuple of str
        ``ours`` or ``shop``, for each code: the key.
    side : str
        For pairs: which hand or arm takes the first code, ``left`` or ``right``; else empty.
    """

    number: int
    codes: tuple[str, ...]
    behind: tuple[str, ...]
    side: str = ""

    def is_behind(self, code: str) -> str:
        """What is behind a code of this place."""
        return self.behind[self.codes.index(code)]


@dataclass(frozen=True)
class TrialPlan:
    """A planned run of one must-have.

    Attributes
    ----------
    name : str
        Of the run.
    recipe, against, must_have : str
    kind : str
        One of `KINDS`.
    hands : str
        ``one pair of hands`` or ``panel``.
    count : int
        Tasters, or pairs.
    gap : float
        Largest difference that is still called the same: a share of tasters who can tell, 0 to 1, or in the unit.
    unit : str
    seed : int
        From which orders, codes and key follow; kept.
    planned_on : date
    card_version : int
    alpha, beta : float
        Accepted chance to call alike things different, and different things the same.
    looks : tuple of int
        Results after which is judged, the last being all; each is judged so that all together keep to alpha and
        beta.
    expected : {'ours', 'shop', ''}
        For a paired trial: which is thought to have more; empty for no direction, which is judged two-sided.
    protocol : str
        How it is done, as `protocols` names it; empty for none.
    dose_g : float or None
        Dose of each serving, the same for both [g].
    wash_out_h : float or None
        Hours between two pairs [h].
    """

    name: str
    recipe: str
    against: str
    must_have: str
    kind: str
    hands: str
    count: int
    gap: float
    unit: str
    seed: int
    planned_on: date
    card_version: int = 1
    alpha: float = 0.05
    beta: float = 0.05
    looks: tuple[int, ...] = ()
    expected: str = ""
    protocol: str = ""
    dose_g: float | None = None
    wash_out_h: float | None = None

    def __post_init__(self) -> None:
        for word, known, what in ((self.kind, KINDS, "kind of trial"), (self.hands, HANDS, "way to try")):
            if word not in known:
                raise UnknownNameError(f'there is no {what} called "{word}": {near_miss(word, known)}')
        if self.expected not in ("", OURS, SHOP) or (self.expected and self.kind != "paired"):
            raise UnknownNameError(
                f'"{self.expected}" is expected to have more: only in a paired trial, and it is ours, shop or neither'
            )
        _check_numbers(self)
        object.__setattr__(self, "looks", self.looks or (self.count,))
        looks = self.looks
        if looks[-1] != self.count or list(looks) != sorted(set(looks)) or looks[0] < 1 or len(looks) > MOST_LOOKS:
            raise QuantityError(
                f"looks after {looks}: up to {MOST_LOOKS} rising numbers from 1, of which the last is all {self.count}"
            )

    @property
    def is_counted(self) -> bool:
        """Whether right answers are counted, instead of something being measured."""
        return self.kind in CHANCE

    @property
    def two_sided(self) -> bool:
        """Whether a paired trial has no expected direction."""
        return self.kind == "paired" and not self.expected


@lru_cache(maxsize=256)
def make_key(plan: TrialPlan) -> tuple[Place, ...]:
    """The key of a plan: orders each as often as the others, in random order, and three-digit codes.

    Whole rounds of all orders are shuffled one by one, and what is left over takes orders of one more round, so that no
    order is had more than once oftener than another. No code is had twice while there are codes left, and never twice
    by one taster.

    Parameters
    ----------
    plan : TrialPlan

    Returns
    -------
    tuple of Place
        One a taster or pair.
    """
    return _key_of(plan.kind, plan.count, plan.seed)


@lru_cache(maxsize=128, typed=True)
def _key_of(kind: str, count: int, seed: int) -> tuple[Place, ...]:
    sides = SIDES if kind == "pairs" else ("",)
    choices = [(order, side) for order in ORDERS[kind] for side in sides]
    drawn: list[tuple[tuple[str, ...], str]] = []
    while len(drawn) < count:
        drawn += _shuffled(choices, seed, f"order {len(drawn)}")
    codes: list[str] = []
    asked = sum(code_count(kind) for _ in range(count))
    while len(codes) < asked:
        codes += _shuffled(CODES, seed, f"codes {len(codes)}")
    places, at = [], 0
    for number, (order, side) in enumerate(drawn[:count], 1):
        mine: list[str] = []
        while len(mine) < code_count(kind):
            if codes[at] not in mine:
                mine.append(codes[at])
            at += 1
            if at == len(codes):
                codes += _shuffled(CODES, seed, f"codes {len(codes)}")
        if kind == "duo-trio":
            mine = ["R", *mine]
        if kind == "kind":
            mine = [OURS, SHOP]
        places.append(Place(number, tuple(mine), order, side))
    return tuple(places)


def code_count(kind: str) -> int:
    """How many codes a taster or pair has: three in a triangle, else two; none where only the kind is asked."""
    return {"triangle": 3, "kind": 0}.get(kind, 2)


def key_digest(key: Sequence[Place]) -> str:
    """The digest of a key, by which a key that is opened later is known to be the one that was sealed."""
    return digest_of(*((str(p.number), *p.codes, *p.behind, p.side) for p in key))


def key_frame(key: Sequence[Place]) -> pd.DataFrame:
    """The key as a table: taster or pair, codes in order, what is behind each, and the side of the first."""
    return frame_of(
        key,
        {
            "number": "number",
            "codes": lambda p: " ".join(p.codes),
            "behind": lambda p: " ".join(p.behind),
            "first on": "side",
        },
    )


def order_counts(key: Sequence[Place], numbers: Sequence[int]) -> Counter[tuple[str, ...]]:
    """How often each order was had by some tasters or pairs."""
    wanted = set(numbers)
    return Counter((*p.behind, p.side) for p in key if p.number in wanted)


def new_seed() -> int:
    """A seed nobody chose, from the system's source of chance."""
    return secrets.randbelow(MOST_SEED)


def _shuffled(things: Sequence, seed: int, what: str) -> list:
    """The things in an order that follows from the seed: sorted by the SHA-256 of seed, purpose and place."""
    front, sha256 = f"{seed}|{what}|".encode(), hashlib.sha256
    marked = [(sha256(b"%b%d" % (front, k)).digest(), thing) for k, thing in enumerate(things)]
    return [thing for _, thing in sorted(marked)]


def _check_numbers(plan: TrialPlan) -> None:
    check_tasters(plan.count)
    if not isinstance(plan.seed, int) or not 0 <= plan.seed < MOST_SEED:
        raise QuantityError(f"a seed of {plan.seed}: it is a whole number from 0, below {MOST_SEED}")
    most = 1 if plan.is_counted else float("inf")
    if plan.kind != "kind" and not 0 < plan.gap < most:
        end = " and below 100 % of the tasters" if plan.is_counted else ""
        raise QuantityError(
            f"a gap of {plan.gap:g}: the largest difference that is still called the same is above 0{end}"
        )
    for value, what in ((plan.alpha, "alpha"), (plan.beta, "beta")):
        if not 0 < value < 1:
            raise QuantityError(f"{what} is {value}: it lies above 0 and below 1")
    for amount, what in ((plan.dose_g, "a dose [g]"), (plan.wash_out_h, "a wash-out [h]")):
        if amount is not None and not 0 < amount < 1000:
            raise QuantityError(f"{what} of {amount}: it is above 0 and below 1000")
