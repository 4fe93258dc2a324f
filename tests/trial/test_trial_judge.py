"""Runs and cards judged: the three answers, odd results in words, several corrected together."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache

import numpy as np
import pytest
from brute_looks import GUESS, ever, largest_level, p_value
from demo_workshop import demo
from scipy import stats
from test_trial_plan import CARD, DAY, plan, run_with

from maker_kit.errors import NoticeError
from maker_kit.trial.each_look import level_for_difference, level_for_sameness
from maker_kit.trial.judge import can_judge, judge_look, judge_run
from maker_kit.trial.judge_card import judge_card
from maker_kit.trial.measured import holm
from maker_kit.trial.oddities import again, odd_results
from maker_kit.trial.plan import OURS, SHOP
from maker_kit.trial.protocols import protocols
from maker_kit.trial.run import MISSING, TIE, TrialRun, enter, start_run, take_look, unseal
from maker_kit.trial.verdict import IN_WORDS, WHY_NOT, JudgedTarget, to_frame
from maker_kit.workshop.judged_targets import judged_targets, run_named

RUB_IN = [(41, 33), (38, 35), (44, 34), (40, 36), (39, 30), (43, 37)]


def pairs_run(pairs: list[tuple[object, object]], name: str = "try-1", **more: object) -> TrialRun:
    run = start_run(replace(plan("pairs", more.pop("count", len(pairs)), **more), name=name), CARD)
    for place, (ours, shop) in zip(run.key, pairs, strict=False):
        for code, behind in zip(place.codes, place.behind, strict=True):
            run = enter(run, CARD, DAY, place.number, ours if behind == OURS else shop, code)
    return run


def test_the_demo_answers_its_three_stories() -> None:
    shop = demo()
    wash = judged_targets(shop, "r1b-hand-wash")
    assert {j.answer for j in wash if j.measure != "cost"} == {"same"}
    gel = {j.must_have: j for j in judged_targets(shop, "r2-gel-cream")}
    assert [gel[n].met for n in ("kind", "rub-in time", "can they tell")] == [False, False, None]
    assert (gel["rub-in time"].answer, gel["rub-in time"].side) == ("different", "worse")
    test = stats.ttest_rel(*zip(*RUB_IN, strict=True))
    ends = test.confidence_interval()
    assert (gel["rub-in time"].low, gel["rub-in time"].high) == pytest.approx((ends.low, ends.high))
    assert gel["can they tell"].answer == "neither"
    assert gel["can they tell"].more_needed > 0
    water = judged_targets(shop, "r3v2-cleansing-water")
    assert {j.answer for j in water} == {"not judged"}
    assert {j.must_have: j.why_not for j in water} == {
        "colour removed": "waits for results",
        "sting at the eye": "no run",
        "cost": "costed elsewhere",
    }
    third = {j.must_have: j for j in judged_targets(shop, "r3v3-cleansing-water")}
    assert (third["colour removed"].answer, third["sting at the eye"].why_not) == ("same", "no run")
    strokes = (17, 15, 19, 16, 18, 16, 17, 20), (16, 15, 18, 17, 17, 16, 16, 18)
    ends = stats.ttest_rel(*strokes).confidence_interval()
    assert (third["colour removed"].low, third["colour removed"].high) == pytest.approx((ends.low, ends.high))
    assert judged_targets(shop, "r4-balm") == ()
    triangle = judge_run(run_named(shop, "gel-cream-triangle"))
    assert (triangle.right, triangle.results) == (9, 18)
    assert triangle.p_value == pytest.approx(stats.binomtest(9, 18, 1 / 3, alternative="greater").pvalue)


def test_nothing_is_said_of_a_run_whose_key_is_closed() -> None:
    run = run_with(["right"] * 18)
    assert can_judge(run) == "sealed"
    with pytest.raises(NoticeError, match="not open"):
        judge_run(run)
    assert judge_run(unseal(run, DAY)).answer == "different"


@pytest.mark.parametrize("kind", ["triangle", "duo-trio", "paired"])
def test_right_answers_are_counted_by_the_key(kind: str) -> None:
    found = judge_run(unseal(run_with(["right"] * 7 + ["wrong"] * 5, kind), DAY))
    assert (found.right, found.results, sum(found.dots)) == (7, 12, 7)


def test_one_taster_and_one_pair_show_nothing() -> None:
    assert judge_run(unseal(run_with(["right"]), DAY)).answer == "neither"
    run = unseal(pairs_run([(41, 33)]), DAY)
    assert can_judge(run) == "too few"
    judged = judge_card(CARD, [run])[0]
    assert (judged.answer, judged.why_not) == ("not judged", "too few")


def test_missing_tied_unbalanced_and_early_results_are_said() -> None:
    answers = ["right"] * 6 + [MISSING, TIE] + ["wrong"] * 4
    found = judge_run(unseal(run_with(answers), DAY))
    assert found.results == 10
    assert {"trial.missing", "trial.cannot_tell"} <= {f.code for f in found.findings}
    early = pairs_run(RUB_IN, count=12)
    shown = judge_run(unseal(early, DAY))
    assert "trial.opened_early" in {f.code for f in shown.findings}
    whole = judge_run(unseal(pairs_run(RUB_IN), DAY))
    assert shown.looks == 2
    assert shown.p_value == pytest.approx(2 * whole.p_value)
    assert shown.low < whole.low
    by_order = sorted(run_with(["right"] * 12).key, key=lambda p: p.behind)
    lopsided = start_run(plan("triangle", 12), CARD)
    for place in by_order[:4]:
        lopsided = enter(lopsided, CARD, DAY, place.number, place.codes[0])
    assert "trial.unbalanced" in {f.code for f in judge_run(unseal(lopsided, DAY)).findings}
    ties = judge_run(unseal(pairs_run([(5, 5), (5, 5), (6, 5), (5, 6)]), DAY))
    assert "trial.ties" in {f.code for f in ties.findings}


def test_rows_typed_into_the_file_are_not_counted_until_they_are_taken_in() -> None:
    run = run_with(["right"] * 6)
    typed = replace(run.entries[-1], number=0, seal="")
    after = TrialRun(run.plan, (*run.entries, typed))
    assert (after.typed_by_hand, after.broken_at) == (1, None)
    assert after.values() == run.values()
    with pytest.raises(NoticeError, match="take them in"):
        unseal(after, DAY)


def test_trying_again_until_it_pleases_costs_certainty() -> None:
    again = [unseal(pairs_run(RUB_IN, f"try-{k}"), DAY) for k in range(3)]
    once, three = judge_card(CARD, again[:1])[0], judge_card(CARD, again)[0]
    assert (once.run, three.run) == ("try-0", "try-2")
    assert three.low < once.low
    assert judge_run(again[2], 3).p_value == pytest.approx(3 * judge_run(again[0]).p_value)


def test_a_run_that_was_changed_afterwards_is_told_and_counts_as_a_try() -> None:
    spoilt = unseal(pairs_run(RUB_IN, "try-0"), DAY)
    changed = next(k for k, e in enumerate(spoilt.entries) if e.act == "result")
    entries = list(spoilt.entries)
    entries[changed] = replace(entries[changed], value="1")
    spoilt = TrialRun(spoilt.plan, tuple(entries))
    fresh = unseal(pairs_run(RUB_IN, "try-1"), DAY)
    alone, after = judge_card(CARD, [fresh])[0], judge_card(CARD, [spoilt, fresh])[0]
    assert (after.run, after.answer) == ("try-1", "different")
    assert after.low < alone.low  # alpha is shared over both
    few = unseal(pairs_run([(41, 33)], "try-2"), DAY)
    assert judge_card(CARD, [spoilt, few])[0].why_not == "results changed"


def test_a_run_in_which_nothing_is_odd_says_nothing() -> None:
    for run in (run_with(["right"] * 12), pairs_run(RUB_IN), run_with(["right"] * 7)):
        whole = replace(run, plan=replace(run.plan, count=len(run.done())))
        odd = {f.code for f in odd_results(whole, len(run.done()), early=False)}
        assert not odd & {"trial.missing", "trial.cannot_tell", "trial.opened_early", "trial.corrected"}
    assert odd_results(pairs_run(RUB_IN), 6, early=False) == []


def test_how_often_the_same_was_tried_is_said_from_the_second_time_on() -> None:
    assert again("try-1", 1) == []
    assert [f.code for f in again("try-1", 2)] == ["trial.again"]
    assert "tried 3 times" in again("try-1", 3)[0].text


def test_tasters_and_pairs_are_called_what_they_are() -> None:
    left_out = run_with(["right"] * 5 + [MISSING])
    words = {f.code: f.text for f in odd_results(left_out, 5, early=True)}
    assert "their tasters are left out" in words["trial.missing"]
    assert "6 tasters" in words["trial.opened_early"]
    pairs = pairs_run(RUB_IN)
    assert "pairs" in odd_results(pairs, 6, early=True)[0].text


def test_several_differences_are_corrected_and_the_count_is_said() -> None:
    edge = unseal(pairs_run([(40, 33), (39, 33), (34, 33), (40, 33), (33, 33), (35, 33)]), DAY)
    raw = judge_run(edge)
    assert 0.025 < raw.p_value < 0.05
    assert raw.answer == "different"
    other = unseal(run_with(["right"] * 6 + ["wrong"] * 12), DAY)
    other = TrialRun(replace(other.plan, name="try-2"), other.entries)
    assert judge_card(CARD, [edge])[0].answer == "different"
    both = judge_card(CARD, [edge, start_and_copy(other)])
    assert both[0].answer == "neither"
    assert both[0].judged_together == 2
    assert holm({"a": raw.p_value, "b": 0.9})["a"] > 0.05
    assert "2 judged" in both[0].text


def start_and_copy(run: TrialRun) -> TrialRun:
    """The same results as a run of its own name."""
    fresh = start_run(replace(run.plan, name="try-2"), CARD)
    for (place, code), value in run.values().items():
        fresh = enter(fresh, CARD, DAY, place, value, code)
    return unseal(fresh, DAY)


def test_a_card_or_results_that_were_changed_are_not_judged() -> None:
    run = unseal(pairs_run(RUB_IN), DAY)
    wider = replace(CARD, must_haves=(replace(CARD.must_haves[0], gap=30.0), *CARD.must_haves[1:]))
    changed = judge_card(wider, [run])[0]
    assert (changed.answer, changed.why_not, changed.met) == ("not judged", "card changed", None)
    assert changed.digest == CARD.digest
    entries = [replace(e, value="33") if e.value == "41" else e for e in run.entries]
    bent = judge_card(CARD, [TrialRun(run.plan, tuple(entries))])[0]
    assert bent.why_not == "results changed"


def test_a_kind_is_the_same_word_or_another() -> None:
    for words, answer in ((("gel", "Gel"), "same"), (("gel", "lotion"), "different")):
        run = start_run(plan("kind", 1), CARD)
        run = enter(run, CARD, DAY, 1, words[0], OURS)
        assert can_judge(run) == "too few"
        run = enter(run, CARD, DAY, 1, words[1], SHOP)
        judged = judge_card(CARD, [run])[2]
        assert (judged.answer, judged.estimate) == (answer, None)


def test_preferring_ours_is_better_only_where_the_card_says_so() -> None:
    faster = unseal(pairs_run([(shop, ours) for ours, shop in RUB_IN]), DAY)
    judged = judge_card(CARD, [faster])[0]
    assert (judged.answer, judged.side, judged.met) == ("different", "better", True)
    alike = replace(CARD, must_haves=(replace(CARD.must_haves[0], better=""), *CARD.must_haves[1:]))
    fresh = start_run(replace(faster.plan, name="try-3"), alike)
    for (place, code), value in faster.values().items():
        fresh = enter(fresh, alike, DAY, place, value, code)
    judged = judge_card(alike, [unseal(fresh, DAY)])[0]
    assert (judged.side, judged.met) == ("", False)


def test_a_look_says_one_of_three_answers_and_the_key_stays_closed() -> None:
    run = start_run(plan("triangle", 24, looks=(12, 24)), CARD)
    for place in run.key[:12]:
        odd = next(c for c, b in zip(place.codes, place.behind, strict=True) if place.behind.count(b) == 1)
        run = enter(run, CARD, DAY, place.number, odd)
    with pytest.raises(NoticeError):
        judge_look(run)
    run = take_look(run, DAY)
    assert (judge_look(run), run.opened) == ("different", False)


@pytest.mark.parametrize("lost", [0, 2])
def test_a_run_with_looks_is_judged_at_the_exact_level_and_where_answers_are_lost_at_what_is_left(lost: int) -> None:
    """Triangle, looks after 18 and 36: by plain fractions 19 of 36 would be needed at half of alpha, 18 exactly; where
    two tasters are missing at the first look already, half of alpha is all that is left: 18 of 34.
    """
    looks, n = (18, 36), 36 - lost
    level, _ = largest_level("triangle", looks, Fraction(1, 20))
    at = level if not lost else Fraction(1, 40)
    needed = min(x for x in range(n + 1) if p_value("triangle", n, x) <= at)
    for right in (needed - 1, needed):
        answers = [MISSING] * lost + ["right"] * right + ["wrong"] * (n - right)
        found = judge_run(unseal(run_with(answers, looks=looks), DAY))
        assert (found.results, found.right, found.needed_right, found.looks) == (n, right, needed, 2)
        assert (found.answer == "different") == (found.p_value <= 0.05) == (right == needed)
    if not lost:
        alone = p_value("triangle", n, needed)
        weighed = {m: alone * m / n for m in looks}
        either = ever(looks, GUESS["triangle"], lambda m, x: p_value("triangle", m, x) <= weighed[m])
        assert found.p_value == pytest.approx(float(either))


def test_looks_keep_to_alpha_and_beta_over_runs() -> None:
    """Right answers drawn by guessing, and at the gap, judged as `judge_run` does at each planned look."""
    from maker_kit.trial.difference import judge_difference

    rng, looks, trials = np.random.default_rng(20260302), (22, 44, 66), 4000
    at = {
        n: (
            level_for_difference("triangle", looks, 0.05) * n / 66,
            level_for_sameness("triangle", looks, 0.3, 0.05) * n / 66,
        )
        for n in looks
    }

    @cache
    def answer(n: int, right: int) -> str:
        return judge_difference("triangle", n, right, gap=0.3, alpha=at[n][0], beta=at[n][1]).answer

    for share, wrong in ((1 / 3, "different"), (0.3 + 0.7 / 3, "the same within the gap")):
        said = np.zeros(len(looks))
        for _ in range(trials):
            right = np.cumsum(rng.random(looks[-1]) < share)
            for k, n in enumerate(looks):
                if (found := answer(n, int(right[n - 1]))) != "neither yet":
                    said[k:] += found == wrong
                    break
        assert (said / trials <= 0.05 + 3 * (0.05 * 0.95 / trials) ** 0.5).all()


def test_sameness_of_pairs_is_wrongly_said_at_most_beta_of_the_time() -> None:
    from maker_kit.trial.measured import judge_pairs

    rng, trials = np.random.default_rng(20260303), 600
    same = alarms = 0
    for _ in range(trials):
        noise = rng.normal(0, 2, 12)
        same += judge_pairs(noise + 53, np.full(12, 50.0), 3).answer == "the same within the gap"
        alarms += judge_pairs(noise + 50, np.full(12, 50.0), 0.01).answer == "different"
    slack = 3 * (0.05 * 0.95 / trials) ** 0.5
    assert same / trials <= 0.05 + slack
    assert alarms / trials <= 0.05 + slack


def test_a_verdict_without_its_reason_is_none() -> None:
    about = ("a", "must", "measured", "so", "s", 1.0)
    for answer, why in (("not judged", ""), ("same", "no run"), ("fine", "")):
        with pytest.raises(ValueError, match="verdict"):
            JudgedTarget(*about, answer, why)
    assert {JudgedTarget(*about, "not judged", why).met for why in WHY_NOT} == {None}
    assert list(to_frame([JudgedTarget(*about, "same")])["answer"]) == ["same"]
    assert set(IN_WORDS) == {"different", "same", "neither", "not judged"}


def test_protocols_name_their_cautions_and_the_eye_is_never_first() -> None:
    assert all(p.cautions and p.steps and p.source for p in protocols().values())
    assert "never at the eye first" in protocols()["colour removed"].cautions[0]
    for name in ("rub-in time", "colour removed", "can they tell"):
        told = " ".join(protocols()[name].cautions)
        assert "Patch first" in told
        assert "broken" in told
