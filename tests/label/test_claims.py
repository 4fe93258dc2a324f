"""Claims against Regulation (EU) 655/2013 and the US rule on drug claims, both from memory, and against our list."""

from __future__ import annotations

import pytest
from demo_workshop import demo

from maker_kit.errors import LabelError
from maker_kit.label.claims import EVIDENCE, HOLDS, LINKED, NEVER, UNKNOWN, claim_findings, judge_claims, to_frame
from maker_kit.label.declaration import declare


@pytest.fixture(scope="module")
def lotion():
    return declare(demo().recipe("r5-hand-lotion"))


@pytest.mark.parametrize(
    ("text", "market", "standing"),
    [
        ("Heals eczema", "EU", NEVER),  # a medicine by presentation
        ("Cures dry, cracked hands", "US", NEVER),  # a drug, 201(g)(1)
        ("SPF 30", "US", NEVER),
        ("SPF 30", "EU", EVIDENCE),
        ("FDA approved", "US", NEVER),
        ("Approved by the authorities", "EU", NEVER),  # 655/2013, criterion 1
        ("Paraben-free", "EU", NEVER),  # criterion 5
        ("Not tested on animals", "EU", NEVER),
        ("Moisturises for 24 h", "EU", EVIDENCE),  # criterion 3
        ("Dermatologically tested", "EU", EVIDENCE),
        ("Boosts collagen", "US", NEVER),
        ("Smells of figs", "EU", UNKNOWN),
        ("For healthy-looking hands", "EU", UNKNOWN),  # heals nothing
        ("A treat for tired feet", "EU", UNKNOWN),
        ("Treats cracked heels", "EU", NEVER),
        ("Anti-bacterial hand gel", "EU", NEVER),
        ("Kills 99.9 % of germs", "US", NEVER),
        ("Stops itching", "EU", NEVER),
        ("With marine collagen", "US", UNKNOWN),  # what is in it, not what it does to the body
        ("Boosts collagen production", "EU", EVIDENCE),
        ("100 % safe", "EU", NEVER),  # 655/2013, criterion 1: every product must be
        ("Fragrance-free", "EU", EVIDENCE),
        ("Repels mosquitoes", "EU", NEVER),  # a biocide
        ("For sensitive skin", "EU", EVIDENCE),
        ("Free from silicones", "US", EVIDENCE),
        ("Anti-dandruff shampoo", "US", NEVER),  # 21 CFR 358
        ("Anti-dandruff shampoo", "EU", EVIDENCE),
    ],
)
def test_claims_by_market(text, market, standing):
    (claim,) = judge_claims([text], market)
    assert claim.standing == standing
    assert claim.source or standing == UNKNOWN
    kinds = {NEVER: "stop", EVIDENCE: "look", UNKNOWN: "look"}
    assert [f.kind for f in claim_findings([claim])] == [kinds[standing]]


def test_evidence_that_is_linked_lets_a_claim_stand_but_never_one_that_never_may():
    linked = {"Softer hands": "rub-in trial of 2026-03-02", "Heals eczema": "a friend said so"}
    found = {c.text: c.standing for c in judge_claims(linked, "EU", linked)}
    assert found == {"Softer hands": LINKED, "Heals eczema": NEVER}


def test_what_a_claim_says_is_in_it_is_looked_up_in_our_list(lotion):
    claims = ["4 % glycerin", "5 % glycerin", "with shea butter", "with snail slime"]
    found = {c.text: c.standing for c in judge_claims(claims, "EU", declaration=lotion)}
    assert found["4 % glycerin"] == HOLDS
    assert found["5 % glycerin"] == NEVER
    assert found["with shea butter"] == HOLDS
    assert found["with snail slime"] == NEVER
    assert len(to_frame(judge_claims(claims, declaration=lotion))) == 4


def test_nothing_is_judged_by_a_market_without_rules():
    assert judge_claims(["", "  "]) == ()
    with pytest.raises(LabelError):
        judge_claims(["nice"], "Mars")
