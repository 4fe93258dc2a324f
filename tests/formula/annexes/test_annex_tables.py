"""The packed tables hold what the check tables hold, row by row: no figure lost, none changed."""

from __future__ import annotations

import re

import pytest
from annex_products import verdicts_of
from reference_build.entry_text import counted_as, entry_names, is_group, text_names
from reference_tables import reference_rows

from maker_kit import reference
from maker_kit.formula.annexes.law import law
from maker_kit.formula.annexes.listed import warnings_for
from maker_kit.formula.annexes.state import law_as_of, law_states
from maker_kit.formula.annexes.uses import FEET, PLACES, read_clauses
from maker_kit.formula.ingredient import ProductType

FILES = {"III": "eu_annex_iii.csv", "IV": "eu_annex_iv.csv", "V": "eu_annex_v.csv", "VI": "eu_annex_vi.csv"}


def unpacked(annex: str) -> list[dict[str, str]]:
    """The packed uses of one annex with their entry, in order, its texts whole."""
    entries = {r["record"]: dict(r) for r in reference.rows("annex_entries.csv")}
    for entry in entries.values():
        for column in ("conditions", "warnings"):
            while entry[column].startswith("="):
                entry[column] = entries[entry[column][1:]][column]
    return [
        {**entries[u["record"]], **u}
        for u in reference.rows("annex_uses.csv")
        if entries[u["record"]]["annex"] == annex
    ]


COLUMNS = {
    "entry": "entry", "substance": "substance", "cas": "cas", "letter": "letter",
    "product": "product_type_or_body_part",
    "most_text": "max_percent_text", "most": "max_percent", "after_mixing": "max_after_mixing_percent",
    "instrument": "instrument", "updated": "updated", "declare_as": "declare_as",
    "declare_leave_on": "declare_above_leave_on_percent", "declare_rinse_off": "declare_above_rinse_off_percent",
    "other_names": "other_identified_names", "note": "note", "warnings": "wording_of_warnings",
}  # fmt: skip
"""Column of the packed tables → column of the check tables."""


@pytest.mark.parametrize("annex", FILES)
def test_every_row_of_iii_to_vi_is_packed_unchanged(annex: str) -> None:
    packed = [(tuple(got[mine] for mine in COLUMNS), got) for got in unpacked(annex)]
    inci = "colour_index_or_inci" if annex == "IV" else "inci_names"
    for row in reference_rows(FILES[annex]):
        wanted = tuple(row.get(theirs, "").strip() for theirs in COLUMNS.values())
        found = [got for columns, got in packed if columns == wanted and got["inci"] == row[inci].strip()]
        assert found, (row["entry"], row["letter"])
        assert any(row["other_conditions"].strip() in got["conditions"] for got in found), row["entry"]
        assert any(row.get("wording_of_conditions", "").strip() in got["conditions"] for got in found), row["entry"]


def test_every_row_of_ii_is_packed_unchanged() -> None:
    columns = ("entry", "name", "cas", "instrument", "updated")
    rows = [{**r, "instrument": r["instrument"] or "(EC) 2009/1223"} for r in reference.rows("annex_ii.csv")]
    packed = {tuple(r[c] for c in columns) for r in rows}
    for row in reference_rows("eu_annex_ii.csv"):
        assert tuple(row[c].strip() for c in columns) in packed, row["entry"]


def test_no_row_is_lost_or_added() -> None:
    """1,758, 579, 155, 70 and 37 rows, as the note on the check tables counts them."""
    assert [len(unpacked(annex)) for annex in FILES] == [579, 155, 70, 37]
    assert len(reference.rows("annex_ii.csv")) == 1758


def test_every_row_of_ii_says_whether_its_ban_has_a_condition() -> None:
    """Words that make a ban conditional, against the flag of each row (the rule of the packer is another one)."""
    words = re.compile(r"(?i)\bif\b|\bexcept\b|\bexception\b|\bwhen used\b|\bunless\b|\bprovided\b")
    for row in reference.rows("annex_ii.csv"):
        assert row["flag"] in {"", "conditional", "moved"}
        assert (row["flag"] == "moved") == row["name"].startswith("Moved or deleted"), row["entry"]
        if words.search(row["name"]):
            assert row["flag"] == "conditional", row["entry"]
        assert bool(row["about"]) == (row["flag"] == "conditional"), row["entry"]


def test_what_was_read_by_hand_in_ii() -> None:
    """From reading the entries: safrole, furocoumarins and hydroquinone hang on conditions; boric acid,
    formaldehyde, Lilial, zinc pyrithione and DEA do not.
    """
    by_number = {p.number: p for p in law().prohibitions}
    assert [by_number[n].conditional for n in ("358", "360", "1339", "904", "1133", "1642")] == [
        "natural",
        "natural",
        "annex",
        "content",
        "fragrance",
        "hair dye",
    ]
    assert [by_number[n].conditional for n in ("1395", "1577", "1666", "1670", "411", "375", "338")] == [""] * 7


@pytest.mark.parametrize("annex", FILES)
def test_every_use_is_read(annex: str) -> None:
    """Each of the law's words for a product stands in the table of readings, or is blank and means any product."""
    read = {(r["annex"], r["product"]) for r in reference.rows("annex_products.csv")}
    by_hand = {(r["annex"], r["entry"]) for r in reference.rows("annex_products.csv") if r["entry"]}
    for row in unpacked(annex):
        said = row["product"] or (row["most_text"] if annex == "IV" and not row["most"] else "")
        assert not said or (annex, said) in read or (annex, row["entry"]) in by_hand, (row["entry"], said)


def test_the_readings_are_written_in_our_words() -> None:
    for row in reference.rows("annex_products.csv"):
        assert row["covers"] == "other" or all(c.place in {"any", FEET, *PLACES} for c in read_clauses(row["covers"]))
        read_clauses(row["may"])


def test_every_condition_is_the_laws_own_words() -> None:
    texts: dict[tuple[str, str], str] = {}
    for annex, file in FILES.items():
        for row in reference_rows(file):
            texts[annex, row["entry"]] = texts.get((annex, row["entry"]), "") + " | ".join(v for v in row.values() if v)
    for row in reference.rows("annex_conditions.csv"):
        assert row["says"] in texts[row["annex"], row["entry"]] or not row["says"], row
    for row in reference.rows("annex_sums.csv"):
        assert any(
            row["says"].casefold() in texts[tuple(e.split(" "))].casefold() for e in row["entries"].split("; ")
        ), row  # type: ignore[index]


def test_every_spray_ban_and_age_ban_of_the_law_is_read() -> None:
    """An independent search in the law's text; toothpaste and mouthwash are no product of a maker."""
    read = {(r["annex"], r["entry"], r["kind"]) for r in reference.rows("annex_conditions.csv")}
    hair_or_teeth = re.compile(r"(?i)tooth|mouthwash|dental")
    for annex, file in FILES.items():
        for row in reference_rows(file):
            text = " ".join((row["other_conditions"], row.get("wording_of_conditions", "")))
            if re.search(r"(?i)inhalation|aerosol|in sprays", text) and (annex, row["entry"]) not in {
                ("III", "381"),
                ("IV", "143"),
                ("VI", "27"),
            }:
                assert (annex, row["entry"], "spray_barred") in read, row["entry"]
            ages = re.findall(r"(?i)[^.|]*children under \d+ years[^.|]*", text)
            if any(not hair_or_teeth.search(a) or "except" in a for a in ages) and row["entry"] != "58":
                assert (annex, row["entry"], "age_barred") in read, row["entry"]


def test_the_state_of_the_law_is_told() -> None:
    assert law_as_of() == "2026-08-28"  # eu_annexes.md: last update 28 August 2026
    assert law_states()["II"].last_update == "2026-08-18"
    assert law_states()["V"].export_date == "2026-09-09"
    assert "(EU) 2026/909" in law_states()["III"].in_words
    newest = max(row["updated"] for row in reference.rows("annex_entries.csv"))
    assert newest <= law_as_of()


def test_every_colour_index_number_of_the_law_leads_to_its_entry() -> None:
    """Each number printed in Annex IV, in a rinsed-off product for the body; silver is for lips and eye shadow only."""
    wash = ProductType(("body",), rinse_off=True)
    for row in reference_rows("eu_annex_iv.csv"):
        for number in re.findall(r"CI \d{5}(?::\d)?", row["colour_index_or_inci"]):
            said = [v for v in verdicts_of(number, wash, 0.0001, 0.0001) if v.annex == "IV"]
            assert row["entry"] in {v.entry for v in said}, number
            assert row["entry"] == "142" or not [v for v in said if v.is_stop], number


def test_what_a_rule_adds_to_the_packed_tables_is_what_the_packing_makes_of_the_laws_words() -> None:
    for annex in FILES:
        for row in unpacked(annex):
            names = entry_names(annex, row["entry"], row["inci"])
            others = entry_names(annex, row["entry"], row["other_names"])
            texts = text_names(row["substance"])
            packed = [row["names"], row["more_names"], row["texts"]]
            assert packed == ["; ".join(each) for each in (names, others, texts)], row["entry"]
            assert (row["moved"] == "yes") is row["substance"].startswith("Moved")
            assert (row["group"] == "yes") is is_group(row["substance"])
    for entry in law().entries:
        assert entry.basis == counted_as([use.most_text for use in entry.uses]), entry.number


def test_a_warning_is_for_the_uses_whose_letters_stand_before_it() -> None:
    """Annex III, entry 2a as the Commission exports it: ``(a)(ii) (d) For professional use only``."""
    (entry,) = (e for e in law().entries if (e.annex, e.number) == ("III", "2a"))
    of = {letter: {line.text for line in warnings_for(entry, {letter})} for letter in "ad"}
    assert "For professional use only" in of["d"]
    assert "Keep out of reach of children" in of["a"]
    assert "Keep out of reach of children" not in of["d"]
