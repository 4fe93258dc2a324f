"""Required HLB and blends: the worked examples of two papers (OCL 2022, article ocl210096; Indian J Pharm Sci
2018;80(2):334-341), the published tables, and properties.
"""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import pytest
from formula.judged_recipes import R4, R5
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_folder, reference_rows

from maker_kit import reference
from maker_kit.errors import QuantityError, UnknownNameError, WorkshopError
from maker_kit.formula.emulsion.blend_choice import blend_for
from maker_kit.formula.emulsion.emulsion import OilPart, oil_phase, required_hlb
from maker_kit.formula.emulsion.hlb import emulsifier_hlb, emulsifier_values, required_values

# Griffin 1954, J. Soc. Cosmet. Chem. 5:249 (from memory): the HLB of a blend is the mean of its parts by mass; of a
# fatty
# acid ester of a polyol it is 20 · (1 − S/A), with the saponification value S and the acid value A of the acid [mg
# KOH/g]


def blend_hlb(parts) -> float:
    return math.fsum(h * m for h, m in parts) / math.fsum(m for _, m in parts)


def hlb_of_ester(saponification_value: float, acid_value: float) -> float:
    return 20 * (1 - saponification_value / acid_value)


EXAMPLES = reference_rows("hlb_worked_examples.csv")


def read_example(text: str) -> list[tuple[float, float]] | None:
    """Amount and HLB of each part; None for another kind of row."""
    inside = re.findall(r"([\d.]+) [A-Za-z0-9 -]+\(([\d.]+)\)", text)
    if inside and len(inside) == len(text.split(", ")):
        return [(float(a), float(h)) for a, h in inside]
    told = re.search(r"(?:with (?:rHLB )?|\()([\d.]+(?:/[\d.]+)+)\)?$", text)
    if told is None:
        return None
    amounts = [
        float(re.findall(r"(?<![\w.])\d[\d.]*", piece)[-1]) for piece in text[: told.start()].strip().split(", ")
    ]
    values = [float(v) for v in told[1].split("/")]
    return list(zip(amounts, values, strict=True))


def slack(text: str) -> float:
    return 0.6 * 10.0 ** -len(text.partition(".")[2])


@pytest.mark.parametrize("row", EXAMPLES, ids=lambda r: f"{r['what']}: {r['inputs'][:40]}")
def test_each_worked_example(row) -> None:
    parts = read_example(row["inputs"])
    ester = re.search(r"S=([\d.]+), A=([\d.]+)", row["inputs"])
    if ester:
        found = hlb_of_ester(float(ester[1]), float(ester[2]))
    elif parts is None:
        pytest.skip("its inputs are not told in a way that this test reads")
    elif row["what"].startswith("required"):
        names = [f"oil {k}" for k in range(len(parts))]
        result = required_hlb(
            zip(names, [a for a, _ in parts], strict=True),
            own={n: (h, row["source"]) for n, (_, h) in zip(names, parts, strict=True)},
        )
        found = result.hlb
        assert result.known_percent == 100
    else:
        found = blend_hlb([(h, a) for a, h in parts])
        blend = blend_for(found, parts[0][1], parts[1][1])
        assert blend.first_percent == pytest.approx(100 * parts[0][0] / sum(a for a, _ in parts), abs=1e-9)
    assert found == pytest.approx(float(row["recomputed"]), abs=slack(row["recomputed"]))
    assert found == pytest.approx(float(row["published"]), abs=0.07)


def test_every_example_of_the_workbooks_own_table_is_read() -> None:
    with (Path(__file__).parents[1] / "reference" / "hlb_worked_examples.csv").open(
        encoding="utf-8-sig", newline=""
    ) as file:
        rows = list(csv.DictReader(file))
    assert all(read_example(r["inputs"]) or "S=" in r["inputs"] for r in rows)
    assert len(rows) >= 16


@pytest.mark.parametrize(
    ("name", "key", "value"),
    [("hlb_required.csv", "oil", "required_hlb_ow"), ("hlb_emulsifiers.csv", "emulsifier", "hlb")],
)
def test_the_workbooks_own_tables_are_the_published_ones(name, key, value) -> None:
    with (Path(__file__).parents[1] / "reference" / name).open(encoding="utf-8-sig", newline="") as file:
        published = list(csv.DictReader(file))
    ours = [(row[key], row[value]) for row in reference.rows(name)]  # how a row was checked goes on
    assert ours == [(row[key], row[value]) for row in published]
    assert all(row[key] for row in published)


@pytest.mark.parametrize("row", reference_rows("hlb_required.csv"), ids=lambda r: r["oil"])
def test_each_oil_alone_shows_its_published_value_and_source(row) -> None:
    found = required_hlb([(row["oil"], 10.0)], folder=reference_folder())
    assert float(row["required_hlb_ow"]) in found.to_frame()["required HLB"].tolist()
    assert row["source"] in set(found.to_frame()["source"])
    assert found.lowest <= float(row["required_hlb_ow"]) <= found.highest


@pytest.mark.parametrize("row", reference_rows("hlb_emulsifiers.csv"), ids=lambda r: r["emulsifier"])
def test_each_emulsifier_has_its_published_value_and_source(row) -> None:
    found = emulsifier_hlb(row["emulsifier"].upper(), folder=reference_folder())
    assert (found.hlb, found.source, found.checked) == (float(row["hlb"]), row["source"], row["checked"])


@pytest.mark.parametrize(
    ("names", "used", "other"),
    [
        (("Beeswax", "White beeswax", "cera alba"), 12, 9),
        (("Mineral oil", "Liquid paraffin", "Paraffinum Liquidum"), 12, 10.5),
    ],
)
def test_where_sources_differ_both_are_shown_and_the_read_one_counts(names, used, other) -> None:
    for name in names:
        found = required_hlb([(name, 5.0)])
        assert (found.hlb, found.lowest, found.highest) == (used, other, used)
        (conflict,) = [f for f in found.findings if f.code == "emulsion.sources_differ"]
        assert conflict.kind == "look"
        assert f"{used:g} by" in conflict.text
        assert f"{other:g} by" in conflict.text
        assert list(found.to_frame()["use"]) == ["used", "other source"]


def test_the_makers_own_value_wins_and_the_published_stay_in_sight() -> None:
    found = required_hlb([("Beeswax", 5.0)], own={"beeswax": (10.0, "supplier's sheet of 2024")})
    assert found.hlb == 10
    assert list(found.to_frame()["required HLB"]) == [10, 12, 9]
    assert found.to_frame()["source"][0] == "supplier's sheet of 2024"
    assert required_hlb([("Sunflower oil", 8.0)], own={"Sunflower oil": 7}).hlb == 7


def test_an_oil_of_unknown_hlb_leaves_the_whole_unknown_and_says_how_much_is_known() -> None:
    # R5, the demo workshop: cetyl alcohol 2 (15, worked example) of 18 % oils; shea 4, sunflower 8 and triglyceride 4
    # are on no table
    found = required_hlb(R5)
    assert found.hlb is None
    assert found.of_known == 15
    assert found.known_percent == pytest.approx(100 * 2 / 18)
    assert set(found.unknown) == {"Shea butter", "Sunflower oil", "Light triglyceride"}
    (gap,) = [f for f in found.findings if f.level == "unknown"]
    assert "11.1 % of it is known" in gap.text
    full = required_hlb(R5, own={"Shea butter": 8, "Sunflower oil": 7, "Light triglyceride": 5})
    assert full.hlb == pytest.approx((2 * 15 + 4 * 8 + 8 * 7 + 4 * 5) / 18)
    assert full.known_percent == 100


def test_the_oil_phase_of_a_recipe_is_its_oils_waxes_and_butters() -> None:
    assert {p.name: p.amount for p in oil_phase(R5)} == {
        "Cetyl alcohol": 2,
        "Shea butter": 4,
        "Sunflower oil": 8,
        "Light triglyceride": 4,
    }
    assert {p.name for p in oil_phase(R4)} == {
        "Beeswax",
        "Candelilla wax",
        "Shea butter",
        "Sweet almond oil",
        "Castor oil",
    }
    assert required_hlb(R4).lowest < required_hlb(R4).highest  # beeswax, two sources


PARTS = st.lists(st.tuples(st.floats(0.01, 100), st.floats(0, 20)), min_size=1, max_size=6)


@given(PARTS)
def test_a_phase_asks_for_what_lies_between_its_parts(parts) -> None:
    names = [f"oil {k}" for k in range(len(parts))]
    found = required_hlb(
        zip(names, [m for m, _ in parts], strict=True), own=dict(zip(names, [h for _, h in parts], strict=True))
    ).hlb
    assert min(h for _, h in parts) - 1e-9 <= found <= max(h for _, h in parts) + 1e-9
    assert found == pytest.approx(
        math.fsum(m * h for m, h in parts) / math.fsum(m for m, _ in parts), rel=1e-9, abs=1e-9
    )
    assert found == pytest.approx(blend_hlb([(h, m) for m, h in parts]), rel=1e-12, abs=1e-12)


@given(st.floats(0, 20), st.floats(0, 20), st.floats(0, 25), st.floats(0.1, 20))
def test_a_blend_has_the_wanted_hlb_or_is_refused(first, second, wanted, total) -> None:
    if first != second and min(first, second) <= wanted <= max(first, second):
        blend = blend_for(wanted, first, second, total)
        assert blend_hlb([(first, blend.first_percent), (second, blend.second_percent)]) == pytest.approx(
            wanted, rel=1e-9, abs=1e-9
        )
        assert min(blend.first_percent, blend.second_percent) >= 0
        assert blend.first_of_whole + blend.second_of_whole == pytest.approx(total)
    else:
        with pytest.raises(QuantityError):
            blend_for(wanted, first, second, total)


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: blend_for(16, "Polysorbate 80", "Sorbitan stearate"), "lies outside Polysorbate 80"),
        (lambda: blend_for(4.6, "Polysorbate 80", "Sorbitan stearate"), "lies outside"),
        (lambda: blend_for(15, 15, 15), "both have an HLB"),
        (lambda: blend_for(math.nan, 15, 4.7), "no number"),
        (lambda: blend_for(10, 15, 4.7, 0), "above 0"),
        (lambda: blend_for(10, 15, 4.7, 101), "at most 100"),
        (lambda: blend_for(10, 60, 4), "between 0 and 50"),
        (lambda: required_hlb([]), "no oil phase"),
        (lambda: required_hlb([("Beeswax", 0)]), "no oil phase"),
        (lambda: required_hlb([OilPart("Beeswax", -1)]), "0 or more"),
        (lambda: required_hlb([("Beeswax", math.inf)]), "no number"),
        (lambda: required_hlb([("Beeswax", 1)], own={"Beeswax": -3}), "between 0 and 50"),
    ],
)
def test_what_is_senseless_or_outside_the_pair_is_refused(ask, says) -> None:
    with pytest.raises(QuantityError, match=says):
        ask()


def test_an_emulsifier_on_no_table_is_named_with_the_nearest_and_taken_from_the_maker() -> None:
    with pytest.raises(UnknownNameError, match="Polysorbate 80"):
        blend_for(10, "Polysorbat 80", "Sorbitan stearate")
    assert blend_for(10, "My wax", "Sorbitan stearate", own={"My wax": (14.0, "supplier")}).first.source == "supplier"


def test_every_blend_says_where_its_values_are_from_and_what_hlb_cannot_tell() -> None:
    blend = blend_for(10.33, "Polysorbate 80", "Sorbitan stearate", 3)
    assert blend.first_of_whole == pytest.approx(1.64, abs=0.005)  # OCL 2022, table 5, F1
    assert blend.second_of_whole == pytest.approx(1.36, abs=0.005)
    assert [v.checked for v in (blend.first, blend.second)] == ["read", "read"]
    assert "not how much is needed nor that it holds" in blend.findings[0].text
    assert "from memory" in blend_for(12, "Polysorbate 60", "Sorbitan stearate").source


def test_a_table_with_a_senseless_hlb_or_a_missing_column_is_refused(tmp_path) -> None:
    (tmp_path / "hlb_required.csv").write_text(
        "oil,required_hlb_ow,source,checked\nOdd oil,many,somewhere,read\n", encoding="utf-8"
    )
    with pytest.raises(QuantityError, match="Odd oil"):
        required_values(tmp_path)
    (tmp_path / "hlb_emulsifiers.csv").write_text("emulsifier,source,checked\nOdd,somewhere,read\n", encoding="utf-8")
    with pytest.raises(WorkshopError, match="hlb"):
        emulsifier_values(tmp_path)
    assert len(emulsifier_values()) == len(reference.rows("hlb_emulsifiers.csv"))
