"""What the notebooks before the bench call: typed lines read, notes said once for all scents they hold for, a kit that
is not named.
"""

from __future__ import annotations

import pytest
from demo_workshop import demo

from maker_kit.errors import MakerKitError, NoticeError
from maker_kit.formula.emulsion.emulsion import required_hlb
from maker_kit.plan.kit_received import receive_kit
from maker_kit.plan.stock import fills
from maker_kit.workbook.asked import split, stock_that_came
from maker_kit.workbook.shown.emulsion import oils_sheet
from maker_kit.workbook.shown.kit import received_notes, received_sheet
from maker_kit.workbook.shown.split import split_notes, split_sheet, totals_sheet
from maker_kit.workbook.shown.stock import more_sheet
from maker_kit.workbook.typed import own_of_oils, read_answers, read_number, read_shares, read_slip

WASH, GEL, LOTION = "r1b-hand-wash", "r2-gel-cream", "r5-hand-lotion"


@pytest.fixture(scope="module")
def shop():
    return demo()


@pytest.mark.parametrize(
    "text",
    [
        "Scent 1: 0.8: 10, Scent 2: 0.6: 8",
        "Scent 1: 0,8: 10; Scent 2: 0,6: 8",
        "Scent 1: 0.8 %: 10\nScent 2: 0.6%: 8\n",
        "Scent 1:0.8:10,Scent 2:0.6:8",
    ],
)
def test_shares_are_read_with_either_decimal_sign_and_in_lines(text: str) -> None:
    assert read_shares(text) == (("Scent 1", 0.8, 10), ("Scent 2", 0.6, 8))


@pytest.mark.parametrize(
    "text", ["Scent 1", "Scent 1: 0.8", "Scent 1: much: 10", "Scent 1: 0.8: 10.5", "Scent 1: 0.8: ten", "0.8: 10"]
)
def test_a_share_that_is_none_is_a_sentence(text: str) -> None:
    with pytest.raises(NoticeError, match="is no share: write scent, load in % of the whole and containers"):
        read_shares(text)


def test_what_is_quoted_of_a_typed_text_steers_no_screen_and_is_cut() -> None:
    for read in (read_shares, read_answers, lambda text: read_number(text, "pH", "5.5")):
        with pytest.raises(NoticeError) as caught:
            read("\x1b[2J\u202e" + "x" * 9000)
        assert str(caught.value).isprintable()
        assert len(str(caught.value)) < 300


@pytest.mark.parametrize(
    "shares",
    [
        "Scent 1: nan: 2",
        "Scent 1: inf: 2",
        "Scent 1: -1: 2",
        "Scent 1: 100: 2",
        "Scent 1: 0.8: 0",
        "Scent 1: 0.8: -3",
        "Scent 1: 0: 2",
        ": 0.8: 2",
        "",
    ],
)
def test_a_share_out_of_range_is_a_sentence(shop, shares: str) -> None:
    with pytest.raises(MakerKitError) as caught:
        split(shop, WASH, shares)
    assert "\n" not in str(caught.value)


def test_a_note_that_holds_for_every_scent_is_said_once(shop) -> None:
    planned = split(shop, WASH, "Scent 1: 0.8: 10, Scent 2: 0.6: 8")
    frame = split_notes(planned).frame
    about = list(frame["about"])
    assert len(about) == len(set(about))
    assert "Scent 1, Scent 2: avoid-list" in about
    assert frame.astype(str).apply(lambda row: row.str.contains("avoids almond").any(), axis=1).sum() == 1


def test_what_a_label_names_stands_with_its_threshold_and_source(shop) -> None:
    planned = split(shop, WASH, "Scent 1: 0.8: 10", "2 gallons")
    named = split_sheet(planned).frame["allergens its label names"][0]
    # by hand: limonene up to 40 % of 0.8 %, citral up to 8 %, linalool up to 5 %; all above 0.01 % in what is rinsed
    # off
    assert all(
        words in named for words in ("Limonene (up to 0.32 %)", "Citral (up to 0.064 %)", "Linalool (up to 0.04 %)")
    )
    together = dict(totals_sheet(planned).frame.values)
    assert together["a label names an allergen above"].startswith("0.01 % of the whole")
    assert "1223/2009" in together["a label names an allergen above"]


def test_what_is_fine_stands_in_the_table_and_not_among_the_notes(shop) -> None:
    kit = receive_kit(shop, "Kit 2", read_slip("Glycerin = 30.4; Propanediol = 28.9"))
    assert "Glycerin" not in set(received_notes(kit).frame["about"])
    row = received_sheet(kit).frame.set_index("what").loc["Glycerin"]
    assert (row["on the scale"], row["may lack"], row["scale against pack"], row["on its label"]) == (
        "30.40 g",
        "2.70 g",
        "fine",
        "not read",
    )


def test_an_oil_phase_without_values_is_unknown_and_with_own_ones_is_not(shop) -> None:
    assert list(oils_sheet(required_hlb(shop.recipe(LOTION))).frame["required HLB"]).count("unknown") == 3
    values = "Shea butter = 8, a sheet; Sunflower oil = 7,5; Light triglyceride = 5"
    own = oils_sheet(required_hlb(shop.recipe(LOTION), own_of_oils(values))).frame
    assert list(own["required HLB"]) == ["15", "8", "7.5", "5"]
    assert "a sheet" in set(own["source"])


def test_lines_are_names_and_values() -> None:
    assert read_answers(" a = 1 \n\n b=2 = 3\n") == {"a": "1", "b": "2 = 3"}
    for text in ("a", "= 1", "a = 1\na = 2"):
        with pytest.raises(NoticeError):
            read_answers(text)


def test_one_more_pack_that_helps_nobody_is_said_in_words(shop) -> None:
    # 3 g of propanediol (10.2 g a jar) and 0.3 g of scent 1 (0.8 g a jar) both fill no jar: more of one alone is no
    # help
    there = fills(shop, "r2-gel-cream", {"Propanediol": "3 g", "Scent 1": "0.3 g"})
    assert "one more pack of Propanediol alone fills no container more: Scent 1 would run out then" in str(
        more_sheet(there)
    )
    kit = fills(shop, "r2-gel-cream", stock_that_came(shop, receive_kit(shop, "Kit 2", {})))
    assert "Propanediol 100 g" in str(more_sheet(kit))
