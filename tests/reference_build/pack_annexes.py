"""Packs the check tables of Annexes II–VI into the tables that come with the workbook; run by hand for a newer
export.

``python tests/reference_build/pack_annexes.py`` reads the check tables (tests/reference, or the folder
MAKER_KIT_REFERENCE names) and writes ``annex_ii.csv``, ``annex_entries.csv``, ``annex_uses.csv``,
``annex_warnings.csv`` and ``annex_conditions.csv`` into ``maker_kit/reference``. Law columns are copied as they are;
what a rule or a hand adds stands in columns of its own: names, how figures are counted, what of a warning is printed.
The package reads those columns and no words of the law. ``annex_products.csv`` (what the law's words mean in ours) is
written by hand.
"""

from __future__ import annotations

import csv
import re
import sys
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(TOP / "tests"))

from entry_text import counted_as, entry_names, family, is_group, listed, own_names, text_names  # noqa: E402
from reference_tables import reference_rows  # noqa: E402
from warning_text import warning_lines  # noqa: E402

PACKED = TOP / "maker_kit" / "reference"
EXPLAINED = re.compile(
    r"\b(?:if (?:it|they|the)|except|unless|when used|with (?:the )?exception|with exception|provided|see Annex|"
    r"special cases included)\b|\bif\b.*≥|\bcontaining\b.*%",
    re.IGNORECASE,
)
FIRST = "(EC) 2009/1223"
"""How the export names the Regulation itself: left blank in the packed table of Annex II."""
FUELS = re.compile(r"petroleum|\bcoal\b|shale|Butadiene|DMSO extract|benzo\[a\]pyrene|refining history")
"""Fractions of oil and coal: found by their number, and by the law's words whole."""
HAND = Path(__file__).parent / "annex_ii_by_hand.csv"


def annex_ii() -> list[dict[str, str]]:
    by_hand = {r["entry"]: r for r in csv.DictReader(HAND.open(encoding="utf-8"))}
    rows = []
    for row in reference_rows("eu_annex_ii.csv"):
        name, hand = row["name"], by_hand.get(row["entry"], {})
        flag = (
            "moved"
            if name.startswith("Moved or deleted")
            else "conditional"
            if EXPLAINED.search(name)
            else "unconditional"
        )
        about = ""
        if flag == "conditional":
            about = (
                "hair dye"
                if re.search(r"hair(?: and eyelash)? dye", name)
                else "fragrance"
                if "fragrance ingredient" in name
                else "content"
            )
        flag, about = hand.get("flag") or flag, hand.get("about") or about
        linked = [] if hand.get("linked") == "none" else listed(row["inci_or_other_names"])
        linked += [n for n in hand.get("more_linked", "").split("; ") if n]
        names = [*own_names(name), *([n for n in hand.get("more_names", "").split("; ") if n])]
        rows.append(
            {
                "entry": row["entry"],
                "name": name,
                "names": ""
                if flag == "moved" or names == [name] or (FUELS.search(name) and not hand)
                else "; ".join(dict.fromkeys(names)),
                "linked": "; ".join(linked),
                "cas": row["cas"],
                "flag": "" if flag == "unconditional" else flag,
                "about": about,
                "linked_flag": hand.get("linked") or "",
                "family": family(name) if flag != "moved" else "",
                "see": hand.get("see", ""),
                "not_these": hand.get("not_these", ""),
                "instrument": "" if row["instrument"] == FIRST else row["instrument"],
                "updated": row["updated"],
                "source": "export",
                "checked": "read" if hand else "rule",
            }
        )
    return rows


def on_declaring(conditions: str) -> str:
    """The law's words on naming a substance on the label: from where they begin."""
    return conditions[max(conditions.find("The presence of the substance"), 0) :]


def entries_and_uses() -> tuple[list[dict[str, str]], list[dict[str, str]]]:
    entries: list[dict[str, str]] = []
    uses: list[dict[str, str]] = []
    for annex, file in (
        ("III", "eu_annex_iii.csv"),
        ("IV", "eu_annex_iv.csv"),
        ("V", "eu_annex_v.csv"),
        ("VI", "eu_annex_vi.csv"),
    ):
        last: tuple[str, ...] = ()
        told: dict[str, str] = {}
        for row in reference_rows(file):
            inci = row.get("inci_names", row.get("colour_index_or_inci", ""))
            other = row.get("other_identified_names", "")
            conditions = (
                row["other_conditions"]
                if annex != "IV"
                else " | ".join(t for t in (row["other_conditions"], row["wording_of_conditions"]) if t)
            )
            warnings = row.get("wording_of_warnings", "")
            same = (annex, row["entry"], row["substance"], row["cas"], conditions, warnings)
            if same != last:
                last = same
                entries.append(
                    {
                        "annex": annex,
                        "record": str(len(entries) + 1),
                        "entry": row["entry"],
                        "substance": row["substance"],
                        "inci": inci,
                        "other_names": other,
                        "names": "; ".join(entry_names(annex, row["entry"], inci)),
                        "more_names": "; ".join(entry_names(annex, row["entry"], other)),
                        "texts": "; ".join(text_names(row["substance"])),
                        "moved": "yes" if row["substance"].startswith("Moved") else "",
                        "group": "yes" if is_group(row["substance"]) else "",
                        "salts": "yes" if "salts" in row["substance"] else "",
                        "cas": row["cas"],
                        "conditions": f"={told[conditions]}"
                        if len(conditions) > 20 and conditions in told
                        else conditions,
                        "warnings": f"={told[warnings]}" if len(warnings) > 20 and warnings in told else warnings,
                        "declare_as": row.get("declare_as", ""),
                        "declare_quote": on_declaring(conditions)
                        if row.get("declare_above_leave_on_percent") or row.get("declare_above_rinse_off_percent")
                        else "",
                        "declare_leave_on": row.get("declare_above_leave_on_percent", ""),
                        "declare_rinse_off": row.get("declare_above_rinse_off_percent", ""),
                        "instrument": row["instrument"],
                        "updated": row["updated"],
                        "note": row.get("note", ""),
                        "source": "export",
                        "checked": "read",
                    }
                )
                told.setdefault(warnings, entries[-1]["record"])
                told.setdefault(conditions, entries[-1]["record"])
            uses.append(
                {
                    "record": entries[-1]["record"],
                    "letter": row["letter"],
                    "product": row["product_type_or_body_part"],
                    "most_text": row["max_percent_text"],
                    "most": row["max_percent"],
                    "after_mixing": row.get("max_after_mixing_percent", ""),
                    "source": "export",
                    "checked": "read",
                }
            )
    for entry in entries:
        entry["basis"] = counted_as([use["most_text"] for use in uses if use["record"] == entry["record"]])
    return entries, uses


def warnings(entries: list[dict[str, str]], uses: list[dict[str, str]]) -> list[dict[str, str]]:
    """The lines of every wording of warnings."""
    rows = []
    for entry in entries:
        text = entry["warnings"]
        whole = entries[int(text[1:]) - 1]["warnings"] if text.startswith("=") else text
        letters = {use["letter"] for use in uses if use["record"] == entry["record"]}
        for row in warning_lines(whole, letters):
            rows.append({"record": entry["record"], **row, "source": "export", "checked": "rule"})
    return rows


RULES = (
    ("nitrosamines", r"nitro ?s?ating|nitrosamine|nitrite"),
    (
        "quality",
        r"(?i)peroxide value|free allyl|purity|impurit|nanomaterials|content in the extract|proteins|"
        r"molecular weight|acrylamide content|unavoidable trace|stabilised|free from|"
        r"concentration in the colouring agent|Hydroquinone levels|AgCl|silver content|Only in free acid|"
        r"shall not be present|acid and 2% 2|ethylene glycol|must be between|pigmentary form",
    ),
)


def conditions(entries: list[dict[str, str]]) -> list[dict[str, str]]:
    """The conditions read by hand, then what a rule finds: a property of the raw material, and nitrosamines."""
    rows = [
        {**r, "source": "export", "checked": "read"}
        for r in csv.DictReader((HAND.parent / "annex_conditions_by_hand.csv").open(encoding="utf-8"))
    ]
    for entry in entries:
        whole = (
            entries[int(entry["conditions"][1:]) - 1]["conditions"]
            if entry["conditions"].startswith("=")
            else entry["conditions"]
        )
        for kind, pattern in RULES:
            by_hand = any(
                r["annex"] == entry["annex"] and r["entry"] == entry["entry"] and r["kind"] == kind for r in rows
            )
            says = next(
                (
                    c.strip(" —-")
                    for c in re.split(
                        r" \| |(?<=[a-z).]) (?=The peroxide|Maximum nitros)|(?<=products) (?=The )", whole
                    )
                    if re.search(pattern, c)
                ),
                "",
            )
            if says and not by_hand:
                rows.append(
                    {
                        "annex": entry["annex"],
                        "entry": entry["entry"],
                        "letter": "",
                        "members": "",
                        "kind": kind,
                        "value": "",
                        "where": "",
                        "says": says[:160],
                        "source": "export",
                        "checked": "rule",
                    }
                )
    return rows


def write(name: str, rows: list[dict[str, str]]) -> None:
    with (PACKED / name).open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


if __name__ == "__main__":
    write("annex_ii.csv", annex_ii())
    packed_entries, packed_uses = entries_and_uses()
    write("annex_entries.csv", packed_entries)
    write("annex_uses.csv", packed_uses)
    write("annex_warnings.csv", warnings(packed_entries, packed_uses))
    write("annex_conditions.csv", conditions(packed_entries))
