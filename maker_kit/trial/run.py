"""A run of a planned trial: what was entered, append-only; looks and the opening of the key are acts that stay."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from maker_kit.errors import NoticeError, QuantityError, UnknownNameError, short
from maker_kit.names import name_key, one_of
from maker_kit.numbers import typed_number
from maker_kit.trial.card import TargetCard
from maker_kit.trial.journal import Entry, append, first_broken, unsealed_tail
from maker_kit.trial.plan import Place, TrialPlan, key_digest, make_key
from maker_kit.trial.plan_text import number_said, plan_lines, read_plan

ANSWER, MISSING, TIE = "answer", "missing", "cannot tell"
MOST_VALUE = 1_000_000.0


@dataclass(frozen=True)
class TrialRun:
    """A run with its entries.

    Attributes
    ----------
    plan : TrialPlan
    entries : tuple of Entry
    """

    plan: TrialPlan
    entries: tuple[Entry, ...]

    @property
    def name(self) -> str:
        """The run's name."""
        return self.plan.name

    @property
    def key(self) -> tuple[Place, ...]:
        """The key, as it follows from the seed."""
        return make_key(self.plan)

    @property
    def opened(self) -> bool:
        """Whether the key was opened."""
        return any(e.act == "unseal" for e in self.entries)

    @property
    def locked_digest(self) -> str:
        """Digest of the card when the first result was entered; empty before."""
        return next((e.value for e in self.entries if e.act == "lock"), "")

    @property
    def looks_taken(self) -> tuple[int, ...]:
        """Answers after which somebody looked along the way."""
        return tuple(int(e.value) for e in self.entries if e.act == "look")

    @property
    def last_seal(self) -> str:
        """The last entry's seal: written down elsewhere, it shows whether entries were taken away."""
        return next((e.seal for e in reversed(self.entries) if e.seal), "")

    @property
    def last_day(self) -> date:
        """Day of the last entry."""
        return self.entries[-1].day

    @property
    def typed_by_hand(self) -> int:
        """Entries at the end that were typed into the file and not taken in: they are not counted."""
        return unsealed_tail(self.entries)

    @property
    def sealed_entries(self) -> tuple[Entry, ...]:
        """The entries that were taken in."""
        return self.entries[: len(self.entries) - self.typed_by_hand]

    @property
    def broken_at(self) -> int | None:
        """The first entry that was changed after it was sealed; None where all hold. The key that the plan sealed has
        to be the one that follows from its seed.
        """
        found = first_broken(self.sealed_entries)
        sealed = next((e.value for e in self.entries if e.act == "plan" and e.what == "key digest"), "")
        return found or (None if sealed == key_digest(self.key) else 1)

    def values(self) -> dict[tuple[int, str], str]:
        """What was entered by place and code, the last correction counting."""
        return {(e.place or 0, e.what): e.value for e in self.sealed_entries if e.act in ("result", "correct")}

    def done(self) -> tuple[int, ...]:
        """The tasters or pairs all of whose results are in, missing ones included."""
        found = self.values()
        return tuple(p.number for p in self.key if all((p.number, w) in found for w in asked_of(self.plan, p)))

    def missing(self) -> tuple[tuple[int, str], ...]:
        """What is not entered yet: taster or pair, and code."""
        found = self.values()
        return tuple((p.number, w) for p in self.key for w in asked_of(self.plan, p) if (p.number, w) not in found)


def asked_of(plan: TrialPlan, place: Place) -> tuple[str, ...]:
    """What is entered of a taster or pair: one answer, or a value for each code."""
    return (ANSWER,) if plan.is_counted else place.codes


def start_run(plan: TrialPlan, card: TargetCard) -> TrialRun:
    """A run with nothing but its plan; the digest of its key is sealed with it.

    Raises
    ------
    UnknownNameError
        If the card has no such must-have.
    NoticeError
        If the plan asks for something that the card does not: another recipe, product, version, unit or gap, or a kind
        of trial that does not go with the kind of measure.
    """
    row = card.must_have(plan.must_have)
    pairs = [
        ("recipe", plan.recipe, card.recipe),
        ("shop product", plan.against, card.against),
        ("version of the card", plan.card_version, card.version),
        ("unit", plan.unit, row.unit),
    ]
    if plan.kind != "kind":
        pairs.append(("gap", plan.gap * (100 if plan.is_counted else 1), row.gap))
    for what, mine, theirs in pairs:
        same = math.isclose(mine, theirs) if isinstance(mine, float) and theirs is not None else mine == theirs
        if not same:
            raise NoticeError(f"the trial's {what} is {mine}, the card's {theirs}: plan from the card")
    if plan.kind not in kinds_for(row.measure):
        named = ", ".join(kinds_for(row.measure)) or "no trial: it is worked out from prices"
        raise NoticeError(f'"{row.name}" is {row.measure} on the card, which goes with {named}, not with {plan.kind}')
    lines = [Entry(0, plan.planned_on, "plan", what=k, value=v) for k, v in plan_lines(plan).items()]
    sealed = Entry(0, plan.planned_on, "plan", what="key digest", value=key_digest(make_key(plan)))
    return TrialRun(plan, append((), *lines, sealed))


def kinds_for(measure: str) -> tuple[str, ...]:
    """The kinds of trial that go with a kind of measure on the card; none for a cost."""
    counted, pairs = ("triangle", "duo-trio", "paired"), ("pairs",)
    return {"tasters": counted, "measured": pairs, "words": pairs, "kind": ("kind",)}.get(measure, ())


def enter(
    run: TrialRun, card: TargetCard, day: date, place: int, value: str | float, code: str = ANSWER, note: str = ""
) -> TrialRun:
    """The run with one result more. The first one locks the card.

    Parameters
    ----------
    run : TrialRun
    card : TargetCard
        As it stands; it is locked by its digest with the first result, and has to be the same ever after.
    day : date
    place : int
        Taster or pair.
    value : str or float
        A code, ``cannot tell`` or ``missing`` for an answer; a number, or ``missing``, for a measure; a word of the
        card for a kind.
    code : str
        Of a measure: which serving.
    note : str

    Returns
    -------
    TrialRun

    Raises
    ------
    NoticeError
        If the key is open, the card or an entry was changed, or this result is in already.
    UnknownNameError, QuantityError
        If there is no such taster, pair or code, or the value is none.
    """
    what, told = _checked(run, card, place, value, code)
    if (place, what) in run.values():
        raise NoticeError(
            f"{_of(run, place, what)} is entered already, and nothing is overwritten: correct it, and say why"
        )
    new = [Entry(0, day, "result", place, what, told, note)]
    if not run.locked_digest:
        new.insert(0, Entry(0, day, "lock", what="card", value=card.digest, note=f"version {card.version}"))
    return TrialRun(run.plan, append(run.entries, *new))


def correct(
    run: TrialRun, card: TargetCard, day: date, place: int, value: str | float, why: str, code: str = ANSWER
) -> TrialRun:
    """The run with another value for a result; the old one stays to be read. Raises as `enter`, and NoticeError where
    nothing is to be corrected or no reason is given.
    """
    what, told = _checked(run, card, place, value, code)
    if (place, what) not in run.values():
        raise NoticeError(f"{_of(run, place, what)} is not entered yet: there is nothing to correct")
    if not why.strip():
        raise NoticeError("a correction needs its reason: say what went wrong")
    return TrialRun(run.plan, append(run.entries, Entry(0, day, "correct", place, what, told, why.strip())))


def take_look(run: TrialRun, day: date) -> TrialRun:
    """The run with a look along the way, which is allowed where one was planned.

    Raises
    ------
    NoticeError
        If none was planned after so many results, it was taken already, or the key is open.
    """
    _refuse_broken(run)
    done, planned = len(run.done()), run.plan.looks[:-1]
    if run.opened:
        raise NoticeError(f"the key of {run.name} is open: what it shows is no look along the way any more")
    if done not in planned or done in run.looks_taken:
        named = ", ".join(map(str, planned)) or "none"
        raise NoticeError(
            f"{done} results are in; looks along the way were planned after {named}, each once: go on without looking"
        )
    return TrialRun(run.plan, append(run.entries, Entry(0, day, "look", value=str(done))))


def unseal(run: TrialRun, day: date, note: str = "") -> TrialRun:
    """The run with its key opened: that is kept, and no result is taken any more.

    Raises
    ------
    NoticeError
        If it is open already, nothing is entered yet, or an entry was changed.
    """
    _refuse_broken(run)
    if run.opened:
        raise NoticeError(f"the key of {run.name} is open already")
    if not run.values():
        raise NoticeError(f"nothing is entered in {run.name} yet: opening the key now would spoil it")
    left = len(run.missing())
    told = f"{len(run.done())} of {run.plan.count} done" + (f", {left} results not in" if left else "")
    return TrialRun(run.plan, append(run.entries, Entry(0, day, "unseal", what="key", value=told, note=note)))


def run_of(entries: Sequence[Entry]) -> TrialRun:
    """The run that some entries are of. Raises as `read_plan`."""
    lines = [e for e in entries if e.act == "plan"]
    if not lines:
        raise QuantityError("no line of a plan: a run begins with its plan")
    return TrialRun(read_plan({e.what: e.value for e in lines}, lines[0].day), tuple(entries))


def _checked(run: TrialRun, card: TargetCard, place: int, value: str | float, code: str) -> tuple[str, str]:
    """The code and the value as they are kept."""
    _refuse_broken(run)
    if run.opened:
        raise NoticeError(f"the key of {run.name} is open, so no result is taken any more: plan another run")
    if run.locked_digest and run.locked_digest != card.digest:
        raise NoticeError(
            f"the card was changed after the first result of {run.name}: put it back as it was, and write what is "
            f"changed as version {card.version + 1}, with a run of its own"
        )
    at = next((p for p in run.key if p.number == place), None)
    if at is None or isinstance(place, bool):
        raise UnknownNameError(f"there is no taster or pair {place}: {run.name} has 1 to {run.plan.count}")
    asked = asked_of(run.plan, at)
    what = one_of(asked, str(code), f'number {place} has no code "{short(str(code))}"')
    return what, _value(run.plan, at, card, value)


def _value(plan: TrialPlan, place: Place, card: TargetCard, value: str | float) -> str:
    text = " ".join(str(value).split())
    if name_key(text) == MISSING:
        return MISSING
    if plan.is_counted:
        known = (*(c for c in place.codes if c != "R"), TIE, MISSING)
        return one_of(known, text, f'"{short(text)}" is no answer of number {place.number}')
    if plan.kind == "kind":
        kinds = card.must_have(plan.must_have).kinds
        return one_of(kinds, text, f'"{short(text)}" is no kind that the card names')
    number = typed_number(text, plan.must_have, "8.5")
    if not 0 <= number <= MOST_VALUE:
        raise QuantityError(f"{plan.must_have} of {short(text)} {plan.unit}: it is a number from 0 to {MOST_VALUE:g}")
    return number_said(float(number))


def _of(run: TrialRun, place: int, what: str) -> str:
    word = "taster" if run.plan.is_counted else "pair"
    return f"{word} {place}" + ("" if what == ANSWER else f", {what},")


def _refuse_broken(run: TrialRun) -> None:
    if run.broken_at is not None:
        raise NoticeError(
            f"entry {run.broken_at} of {run.name} was changed after it was kept: put the file back as it was"
        )
    if run.typed_by_hand:
        raise NoticeError(
            f"{run.typed_by_hand} rows of {run.name} were typed into its file and not taken in: take them in first"
        )
