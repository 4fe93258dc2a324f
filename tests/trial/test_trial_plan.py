"""Plans: balanced orders, codes of three digits, a key that follows from its seed; runs that only grow."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.errors import NoticeError, QuantityError, UnknownNameError
from maker_kit.trial.card import MustHave, TargetCard, card_changes
from maker_kit.trial.journal import Entry, append, first_broken
from maker_kit.trial.judge import can_judge, judge_run
from maker_kit.trial.plan import (
    KINDS,
    ORDERS,
    OURS,
    SHOP,
    TrialPlan,
    key_digest,
    make_key,
    new_seed,
    order_counts,
)
from maker_kit.trial.plan_text import plan_lines, read_plan
from maker_kit.trial.run import ANSWER, MISSING, TIE, TrialRun, correct, enter, start_run, take_look, unseal

DAY = date(2026, 3, 2)
CARD = TargetCard(
    "mine",
    "theirs",
    1,
    date(2026, 3, 1),
    (
        MustHave("rub-in time", "measured", "stopped with a clock", "s", 3.0, "less"),
        MustHave("can they tell", "tasters", "triangle", "% of tasters", 30.0),
        MustHave("kind", "kind", "looked at", "gel; lotion", None),
    ),
)
COUNTED = ("triangle", "duo-trio", "paired")


def plan(kind: str = "pairs", count: int = 4, seed: int = 7, **more: object) -> TrialPlan:
    must, gap, unit = {"pairs": ("rub-in time", 3.0, "s"), "kind": ("kind", 0.0, "gel; lotion")}.get(
        kind, ("can they tell", 0.3, "% of tasters")
    )
    return TrialPlan("try-1", "mine", "theirs", must, kind, "panel", count, gap, unit, seed, DAY, **more)


def run_with(answers: list[str], kind: str = "triangle", **more: object) -> TrialRun:
    """A run in which each taster was right, wrong, missing, or could not tell."""
    run = start_run(plan(kind, len(answers), **more), CARD)
    for place, what in zip(run.key, answers, strict=True):
        served = [(code, behind) for code, behind in zip(place.codes, place.behind, strict=True) if code != "R"]
        if what in (MISSING, TIE):
            run = enter(run, CARD, DAY, place.number, what)
            continue
        good = next(
            code
            for code, behind in served
            if (kind == "triangle" and place.behind.count(behind) == 1)
            or (kind == "duo-trio" and behind == place.behind[0])
            or (kind == "paired" and behind == OURS)
        )
        other = next(code for code, _ in served if code != good)
        run = enter(run, CARD, DAY, place.number, good if what == "right" else other)
    return run


@settings(max_examples=60)
@given(st.sampled_from([k for k in KINDS if k != "kind"]), st.integers(1, 70), st.integers(0, 10**9 - 1))
def test_every_order_is_had_as_often_as_the_others_and_codes_have_three_digits(kind: str, n: int, seed: int) -> None:
    key = make_key(plan(kind, n, seed))
    counts = order_counts(key, range(1, n + 1))
    whole = len(ORDERS[kind]) * (2 if kind == "pairs" else 1)  # and of pairs on either side
    assert max(counts.values()) - (0 if len(counts) < whole else min(counts.values())) <= 1
    codes = [code for place in key for code in place.codes if code != "R"]
    assert all(len(code) == 3 and code.isdigit() for code in codes)
    assert len(set(codes)) == len(codes)  # fewer than 900 are asked for
    for place in key:
        assert set(place.behind) == {OURS, SHOP}
        assert len(place.codes) == len(place.behind)


def test_two_hundred_and_more_triangles_use_codes_again_but_never_for_one_taster() -> None:
    key = make_key(plan("triangle", 400))
    assert all(len(set(place.codes)) == 3 for place in key)
    assert Counter(len(place.codes) for place in key) == {3: 400}


def test_a_key_follows_from_its_seed_and_another_seed_gives_another() -> None:
    assert make_key(plan(seed=5)) == make_key(plan(seed=5))
    assert key_digest(make_key(plan(count=12, seed=5))) != key_digest(make_key(plan(count=12, seed=6)))
    assert 0 <= new_seed() < 10**9


def test_the_order_says_nothing_over_many_seeds() -> None:
    first = Counter(make_key(plan("paired", 1, seed))[0].behind[0] for seed in range(2000))
    assert abs(first[OURS] - 1000) < 4 * (2000 * 0.25) ** 0.5  # four standard errors of a fair coin


@settings(max_examples=40)
@given(
    st.sampled_from([k for k in KINDS if k != "kind"]),
    st.integers(1, 90),
    st.floats(0.01, 0.99),
    st.floats(0.001, 0.5),
    st.integers(1, 3),
)
def test_a_plan_is_read_again_from_its_lines(kind: str, n: int, gap: float, alpha: float, looks: int) -> None:
    made = replace(plan(kind, n), gap=gap, alpha=alpha, dose_g=0.5, looks=tuple(range(n, n + 1)))
    assert read_plan(plan_lines(made), DAY) == made


@pytest.mark.parametrize(
    ("change", "error"),
    [
        ({"kind": "triangel"}, UnknownNameError),
        ({"hands": "two pairs"}, UnknownNameError),
        ({"count": 0}, QuantityError),
        ({"count": 2.5}, QuantityError),
        ({"count": True}, QuantityError),
        ({"gap": 0.0}, QuantityError),
        ({"gap": -1.0}, QuantityError),
        ({"alpha": 0.0}, QuantityError),
        ({"beta": 1.0}, QuantityError),
        ({"seed": -1}, QuantityError),
        ({"looks": (3,)}, QuantityError),
        ({"looks": (4, 4)}, QuantityError),
        ({"looks": (0, 4)}, QuantityError),
        ({"dose_g": 0.0}, QuantityError),
        ({"wash_out_h": -1.0}, QuantityError),
        ({"expected": "ours"}, UnknownNameError),
    ],
)
def test_what_is_no_plan_is_refused(change: dict, error: type[Exception]) -> None:
    with pytest.raises(error):
        replace(plan(), looks=(), **change) if "looks" not in change else replace(plan(), **change)


def test_a_share_of_tasters_is_below_all_of_them() -> None:
    with pytest.raises(QuantityError):
        replace(plan("triangle"), gap=1.0)


def test_a_plan_that_is_not_the_cards_is_refused() -> None:
    for change in ({"gap": 5.0}, {"unit": "min"}, {"against": "another"}, {"card_version": 2}, {"recipe": "r9"}):
        with pytest.raises(NoticeError):
            start_run(replace(plan(), **change), CARD)
    with pytest.raises(NoticeError):  # a measure is not guessed at
        start_run(replace(plan("triangle"), must_have="rub-in time", unit="s"), CARD)
    with pytest.raises(UnknownNameError):
        start_run(replace(plan(), must_have="foam"), CARD)


@settings(max_examples=60)
@given(st.data())
def test_any_entry_that_is_changed_taken_out_or_moved_is_found_out(data: st.DataObject) -> None:
    run = run_with(["right", "wrong", "right", MISSING])
    entries = list(run.entries)
    at = data.draw(st.integers(0, len(entries) - 2))
    how = data.draw(st.sampled_from(["value", "day", "place", "note", "out", "swap"]))
    if how == "out":
        del entries[at]
    elif how == "swap":
        entries[at], entries[at + 1] = entries[at + 1], entries[at]
    else:
        other = {"value": "999", "day": date(2026, 1, 1), "place": 77, "note": "changed"}[how]
        entries[at] = replace(entries[at], **{how: other})
    assert first_broken(entries) is not None


def test_a_chain_that_was_sealed_anew_with_another_seed_is_found_out_by_its_keys_digest() -> None:
    run = run_with(["right"] * 6)
    bare = [replace(e, value="8") if e.what == "seed" else e for e in run.entries]
    again = TrialRun(replace(run.plan, seed=8), append((), *bare))
    assert first_broken(again.entries) is None
    assert again.broken_at == 1
    assert can_judge(again) == "results changed"


def test_the_first_result_locks_the_card_and_a_changed_card_takes_no_more() -> None:
    run = start_run(plan(), CARD)
    assert run.locked_digest == ""
    first = run.key[0]
    run = enter(run, CARD, DAY, 1, "8,5", first.codes[0])
    assert run.locked_digest == CARD.digest
    assert run.values()[1, first.codes[0]] == "8.5"
    wider = replace(CARD, must_haves=(replace(CARD.must_haves[0], gap=9.0), *CARD.must_haves[1:]))
    with pytest.raises(NoticeError, match="version 2"):
        enter(run, wider, DAY, 1, 9, first.codes[1])
    assert card_changes(CARD, replace(wider, version=2)) == ("rub-in time: gap 9.0 instead of 3.0",)


def test_notes_do_not_lock_and_all_else_does() -> None:
    row = CARD.must_haves[0]
    assert replace(CARD, must_haves=(replace(row, note="x"), *CARD.must_haves[1:])).digest == CARD.digest
    for change in ({"name": "a"}, {"how": "b"}, {"unit": "min"}, {"gap": 4.0}, {"better": ""}, {"weight": "wish"}):
        assert replace(CARD, must_haves=(replace(row, **change), *CARD.must_haves[1:])).digest != CARD.digest


def test_results_after_the_key_is_open_are_refused_and_so_is_opening_it_twice_or_with_nothing_in() -> None:
    with pytest.raises(NoticeError, match="nothing is entered"):
        unseal(start_run(plan("triangle"), CARD), DAY)
    run = unseal(run_with(["right", "wrong", "right", "wrong"]), DAY)
    code = run.key[0].codes[0]
    for act in (
        lambda: enter(run, CARD, DAY, 1, code),
        lambda: correct(run, CARD, DAY, 1, code, "slip"),
        lambda: unseal(run, DAY),
        lambda: take_look(run, DAY),
    ):
        with pytest.raises(NoticeError, match="open"):
            act()


@pytest.mark.parametrize("value", ["-1", -0.5, "1e9", "nan", "soon", "", "inf"])
def test_times_that_are_none_are_refused(value: object) -> None:
    run = start_run(plan(), CARD)
    with pytest.raises((QuantityError, UnknownNameError)):
        enter(run, CARD, DAY, 1, value, run.key[0].codes[0])


def test_who_is_not_there_and_codes_that_are_not_there_are_refused() -> None:
    run = start_run(plan("triangle"), CARD)
    others = [code for place in run.key[1:] for code in place.codes]
    for place, value in ((0, "x"), (5, "x"), (1, others[0]), (1, "ours"), (True, run.key[0].codes[0])):
        with pytest.raises(UnknownNameError):
            enter(run, CARD, DAY, place, value)
    with pytest.raises(UnknownNameError):
        enter(start_run(plan(), CARD), CARD, DAY, 1, 5, "000")


def test_nothing_is_overwritten_and_a_correction_keeps_the_old_value_and_its_reason() -> None:
    run = run_with(["right", "right", "right", "right"])
    wrong = next(c for c in run.key[0].codes if c != run.values()[1, ANSWER])
    with pytest.raises(NoticeError, match="already"):
        enter(run, CARD, DAY, 1, wrong)
    with pytest.raises(NoticeError, match="reason"):
        correct(run, CARD, DAY, 1, wrong, " ")
    after = correct(run, CARD, DAY, 1, wrong, "misread")
    assert after.entries[: len(run.entries)] == run.entries
    assert after.values()[1, ANSWER] == wrong
    assert "trial.corrected" in {f.code for f in judge_run(unseal(after, DAY)).findings}


def test_a_look_is_allowed_where_one_was_planned_and_once() -> None:
    run = run_with(["right"] * 3 + ["wrong"] * 3)
    with pytest.raises(NoticeError):
        take_look(run, DAY)
    looked = start_run(plan("triangle", 6, looks=(3, 6)), CARD)
    for place in looked.key[:3]:
        looked = enter(looked, CARD, DAY, place.number, place.codes[0])
    looked = take_look(looked, DAY)
    assert looked.looks_taken == (3,)
    with pytest.raises(NoticeError):
        take_look(looked, DAY)


def test_an_entry_of_an_empty_run_begins_the_chain() -> None:
    one = append((), Entry(0, DAY, "plan"))
    assert (one[0].number, first_broken(one)) == (1, None)
