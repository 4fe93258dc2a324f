"""Formulas and members of what the annexes count together, against the library `chemicals` (MIT) and the law's text.

A formula that the library does not hold, or holds with another count of hydrogen, is put together here from those of
its parts, which the library holds.
"""

from __future__ import annotations

import re
from collections import Counter
from functools import cache

import pytest
from chemicals.elements import nested_formula_parser
from chemicals.identifiers import search_chemical
from reference_tables import reference_rows

from maker_kit import reference

ACIDS = {
    "Benzoate": "65-85-0",
    "Salicylate": "69-72-7",
    "Paraben": "99-96-7",
    "Methylparaben": "99-76-3",
    "Ethylparaben": "120-47-8",
    "Propylparaben": "94-13-3",
    "Butylparaben": "94-26-8",
    "Undecylenate": "112-38-9",
    "Sorbate": "110-44-1",
    "o-Phenylphenate": "90-43-7",
    "Phenylbenzimidazole Sulfonate": "27503-81-7",
    "Thioglycolate": "68-11-1",
    "Gluconate": "526-95-4",
    "Lactate": "50-21-5",
    "PCA": "98-79-3",
}
"""CAS numbers of the acids that the second half of a salt's name means."""
METALS = {"Sodium": ("Na", 1), "Potassium": ("K", 1), "Calcium": ("Ca", 2), "Magnesium": ("Mg", 2), "Zinc": ("Zn", 2)}
BASES = {"MEA": "141-43-5", "Ethanolamine": "141-43-5", "TEA": "102-71-6"}
OTHERS = {
    "Phenyl Mercuric Benzoate": (("100-56-1", 1), ("65-85-0", 1), {"Cl": -1, "H": -1}),
    "Chlorhexidine Diacetate": (("55-56-1", 1), ("64-19-7", 2), {}),
    "Chlorhexidine Dihydrochloride": (("55-56-1", 1), ("7647-01-0", 2), {}),
    "Benzophenone-5": (("4065-45-6", 1), ("4065-45-6", 0), {"H": -1, "Na": 1}),
    "Tetrasodium Etidronate": (("2809-21-4", 1), ("2809-21-4", 0), {"H": -4, "Na": 4}),
    # two benzimidazoles and a benzene, joined in place of four hydrogens; four sulfonic acids, two of them salts
    "Disodium Phenyl Dibenzimidazole Tetrasulfonate": (
        ("51-17-2", 2),
        ("71-43-2", 1),
        {"H": -6, "S": 4, "O": 12, "Na": 2},
    ),
}
"""Two parts (CAS number, how often) and what comes and goes where they are joined."""
BY_CAS = {
    "Magnesium Propionate": "557-27-7",
    "Phenyl Mercuric Borate": "102-98-7",
    "Strontium Chloride": "10476-85-4",
    "Alumina": "1344-28-1",
    "MEA-Benzoate": "4337-66-0",
    "Sodium Paraben": "114-63-6",
}
"""Substances that the library knows by another name (CAS numbers of the annexes)."""
FACTORS = [
    r for table in ("annex_factors.csv", "counted_as.csv") for r in reference.rows(table) if "formula" in r["checked"]
]
MEMBERS = [r for r in reference.rows("counted_as.csv") if r["checked"].endswith("member read")]


@cache
def atoms(name: str) -> Counter:
    return Counter({element: int(n) for element, n in nested_formula_parser(search_chemical(name).formula).items()})


def put_together(inci: str) -> Counter:
    """The atoms of a salt from those of its parts."""
    made: Counter = Counter()
    if inci in OTHERS:
        *parts, more = OTHERS[inci]
        for cas, times in parts:
            made.update({e: n * times for e, n in atoms(cas).items()})
        made.update(more)
        return +made
    first, second = re.fullmatch(r"(MEA|TEA|\w+)[- ](.+)", inci).groups()
    acid = atoms(ACIDS[second])
    if first in BASES:
        return acid + atoms(BASES[first])
    metal, charge = METALS[first]
    made.update({e: n * charge for e, n in acid.items()})
    made.update({"H": -charge, metal: 1})
    return +made


@pytest.mark.parametrize("row", FACTORS, ids=lambda r: r["inci"])
def test_a_formula_is_that_of_the_substance(row) -> None:
    written = Counter({e: int(n) for e, n in nested_formula_parser(row["formula"]).items()})
    if "formula read" in row["checked"]:
        assert atoms(BY_CAS.get(row["inci"], row["inci"])) == written
    elif "formula derived" in row["checked"]:
        assert put_together(row["inci"]) == written
    else:
        assert row["inci"] == "Aluminum Chlorohydrate"  # sold with more or less water: nothing to compare with


@pytest.mark.parametrize("row", MEMBERS, ids=lambda r: r["inci"])
def test_a_member_stands_in_the_annex(row) -> None:
    """In the Commission's export, by its INCI name or as the entry's substance."""

    def key(text: str) -> str:
        return re.sub(r"[^a-z0-9]", "", re.sub(r"\(\d\)", "", text).casefold())

    named = set()
    for entry in reference_rows("eu_annex_v.csv"):
        cells = re.split(r";|, (?=[A-Z])", entry["inci_names"]) + re.split("[;,]", entry["substance"])
        named |= {key(c) for c in (*cells, entry["substance"])}
    assert key(row["inci"]) in named


def test_names_of_one_material_have_one_cas_number() -> None:
    groups: dict[str, set[str]] = {}
    for row in reference.rows("counted_as.csv"):
        if row["checked"].startswith("read in the library"):
            groups.setdefault(row["substance"], set()).add(search_chemical(row["inci"]).CASs)
    assert len(groups) == 4
    assert all(len(numbers) == 1 for numbers in groups.values())
    assert search_chemical("Isopropylmethylphenol").CASs == search_chemical("o-Cymen-5-ol").CASs


def test_the_older_scent_allergens_stand_in_annex_iii() -> None:
    """Their thresholds by the export, under the name to declare or an INCI name."""
    law: dict[str, tuple[str, str]] = {}
    for entry in reference_rows("eu_annex_iii.csv"):
        both = entry["declare_above_leave_on_percent"], entry["declare_above_rinse_off_percent"]
        for name in (entry["declare_as"], entry["substance"], *entry["inci_names"].split(";")):
            if all(both):
                law[re.sub(r"[^a-z0-9]", "", name.casefold())] = both
    older = [r for r in reference.rows("eu_fragrance_allergens.csv") if r["group"] == "earlier list"]
    assert len(older) >= 24
    for row in older:
        name = re.sub(r"[^a-z0-9]", "", row["name"].casefold())
        assert law[name] == (row["leave_on_threshold_pct"], row["rinse_off_threshold_pct"]), row["name"]
