"""How the annexes count: as retinol, as acid, sums over substances and entries, and what a substance is there for."""

from __future__ import annotations

from fractions import Fraction

import pytest
from annex_products import BODY_SPRAY, DEO_SPRAY, LEAVE, RINSE, verdicts_of

from maker_kit.formula.annexes.verdict import Content, Verdict
from maker_kit.formula.annexes.verdicts import verdicts
from maker_kit.formula.ingredient import ProductType


def codes(
    name: str, product: ProductType, percent: float, *, ph: float | None = None, functions: tuple[str, ...] = ()
) -> set[tuple[str, str]]:
    """(code, annex and entry with letter) of what is said, what is within aside."""
    return {
        (v.code, f"{v.annex} {v.entry}{v.letter}")
        for v in verdicts_of(name, product, percent, percent, ph=ph, functions=functions)
        if v.code != "within"
    }


def test_retinol_by_place_and_as_retinol() -> None:
    """III 376: 0.05 % retinol equivalent in body lotion, 0.3 % in others; 1 g palmitate is 286.459/524.87 = 0.54577
    g retinol.
    """
    assert ("over_most", "III 376a") in codes("Retinol", LEAVE["body"], 0.06)
    assert ("needs_warning", "III 376a") in codes("Retinol", LEAVE["body"], 0.05)
    assert ("over_most", "III 376a") not in codes("Retinyl Palmitate", LEAVE["body"], 0.0915)
    assert ("over_most", "III 376a") in codes("Retinyl Palmitate", LEAVE["body"], 0.0918)
    both = verdicts(
        (
            Content("Retinol", Fraction("0.2"), Fraction("0.2")),
            Content("Retinyl Palmitate", Fraction("0.2"), Fraction("0.2")),
        ),
        LEAVE["face"],
    )
    assert both[0].code == "over_most"
    assert float(both[0].high or 0) == pytest.approx(0.2 + 0.2 * 286.459 / 524.87, abs=1e-5)


def test_citral_counts_its_isomers_together() -> None:
    """III 70 e: leave-on skin products 0.15 %, of citral, neral and geranial together."""
    both = verdicts(
        (Content("Neral", Fraction("0.08"), Fraction("0.08")), Content("Geranial", Fraction("0.08"), Fraction("0.08"))),
        LEAVE["body"],
    )
    assert both[0].code == "over_most"
    assert both[0].most == Fraction("0.15")


def test_parabens_single_and_together() -> None:
    """V 12: 0.4 % as acid a single ester, 0.8 % mixtures; V 12a: butyl and propyl 0.14 % together. Methyl × 0.90781,
    ethyl × 0.83118, propyl × 0.76648, butyl × 0.71113.
    """

    def said(**percent: str) -> list[Verdict]:
        return [
            v
            for v in verdicts(
                [Content(n, Fraction(p), Fraction(p), ("preservative",)) for n, p in percent.items()], LEAVE["body"]
            )
            if v.is_stop
        ]

    assert not said(Methylparaben="0.44")  # 0.39944
    assert said(Methylparaben="0.45")  # 0.40851
    assert not said(Methylparaben="0.44", Ethylparaben="0.48")  # 0.79841 together, each below 0.4
    assert [v.about for v in said(Methylparaben="0.44", Ethylparaben="0.48", Propylparaben="0.01")] == [
        "sum"
    ]  # 0.80607
    assert not said(Propylparaben="0.1", Butylparaben="0.08")  # 0.13354
    assert said(Propylparaben="0.1", Butylparaben="0.1")  # 0.14776


def test_sums_over_entries() -> None:
    """VI 27 and 27a: titanium dioxide and its nano form 25 % together; III 287: cetrimonium, steartrimonium and
    behentrimonium chloride 3 % left on.
    """
    white = (
        Content("Titanium Dioxide", Fraction(15), Fraction(15), ("UV filter",)),
        Content("Titanium Dioxide (nano)", Fraction(15), Fraction(15), ("UV filter",)),
    )
    assert [v.about for v in verdicts(white, LEAVE["body"]) if v.code == "over_most"] == ["sum"]
    quats = (
        Content("Behentrimonium Chloride", Fraction("2.5"), Fraction("2.5"), ("conditioner",)),
        Content("Cetrimonium Chloride", Fraction("0.8"), Fraction("0.8"), ("conditioner",)),
    )
    assert [v.about for v in verdicts(quats, LEAVE["hair"]) if v.code == "over_most"] == ["sum"]


def test_a_preservative_that_is_there_for_something_else() -> None:
    """III 98 b lets 2 % salicylic acid in a face wash where it is no preservative; V 3 lets 0.5 % as one. V 44 and
    III 286 likewise.
    """
    assert not {c for c in codes("Salicylic Acid", RINSE["face"], 1.8, functions=("active",)) if c[0] == "over_most"}
    assert ("over_most", "V 3") in codes("Salicylic Acid", RINSE["face"], 1.8, functions=("preservative",))
    hanging = [v for v in verdicts_of("Salicylic Acid", RINSE["face"], 1.8, 1.8) if v.code == "over_most"]
    assert [(v.annex, v.about) for v in hanging] == [("V", "purpose")]  # nobody says: the stricter holds
    assert ("over_most", "III 98b") in codes("Salicylic Acid", RINSE["face"], 2.1, functions=("active",))
    assert not {
        c
        for c in codes("Cetrimonium Chloride", RINSE["hair"], 2, functions=("conditioner",))
        if c[0] in {"over_most", "use_not_listed"}
    }
    assert ("over_most", "V 44") in codes("Cetrimonium Chloride", RINSE["hair"], 2, functions=("preservative",))
    assert ("over_most", "V 29") in codes(
        "Phenoxyethanol", LEAVE["body"], 1.2, functions=("solvent",)
    )  # no entry lets more for another purpose


def test_colours() -> None:
    """IV: what is not on the list is no colour (Article 14); CI 10006 rinse-off only, CI 11680 not on mucous
    membranes, CI 10316 not near the eyes, CI 45370 and others as listed.
    """
    assert codes("CI 12345", LEAVE["body"], 0.1) == {("use_not_listed", "IV ")}
    assert ("use_not_listed", "IV 1") in codes("CI 10006", LEAVE["body"], 0.1)
    assert not codes("CI 10006", RINSE["body"], 0.1)
    assert ("use_not_listed", "IV 4") in codes("CI 11680", LEAVE["lips"], 0.1)
    assert ("use_not_listed", "IV 3") in codes("CI 10316", LEAVE["eye area"], 0.1)
    assert not {c for c in codes("CI 77491", LEAVE["lips"], 10) if c[0] != "unknown_condition"}
    assert ("spray_barred", "IV 144") in codes("Zinc Oxide", BODY_SPRAY, 1, functions=("colour",))
    assert not codes("Kaolin", LEAVE["face"], 20, functions=("clay",))
    assert ("over_most", "IV 142a") in codes("CI 77820", LEAVE["lips"], 0.3)
    assert not {c for c in codes("Mica", LEAVE["face"], 5, functions=("colour",)) if c[0] == "use_not_listed"}


def test_uv_filters() -> None:
    assert ("over_most", "VI 10b") in codes("Octocrylene", LEAVE["face"], 12, functions=("UV filter",))
    assert ("use_not_listed", "VI ") in codes("Nonsensium Benzoate", LEAVE["face"], 1, functions=("UV filter",))
    assert not {
        c
        for c in codes("Titanium Dioxide", LEAVE["face"], 20, functions=("pigment",))
        if c[0] in {"over_most", "use_not_listed"}
    }
    assert ("spray_barred", "VI 30") in codes("Zinc Oxide", BODY_SPRAY, 5, functions=("UV filter",))
    assert ("over_most", "VI 4a") in codes("Benzophenone-3", LEAVE["face"], 6.1, functions=("UV filter",))
    assert ("over_most", "VI 4b") in codes("Benzophenone-3", LEAVE["body"], 2.3, functions=("UV filter",))


def test_methyl_eugenol_by_use_and_what_a_perfume_might_hold() -> None:
    """III 102: 0.0002 % left on, 0.001 % rinsed off, 0.01 % in fine fragrance: a lotion is judged as what it is, and
    told what a perfume may hold.
    """
    over = next(v for v in verdicts_of("Methyl Eugenol", LEAVE["body"], 0.0015, 0.0015) if v.code == "over_most")
    assert (over.letter, over.most) == ("d", Fraction("0.0002"))
    assert {(a.letter, a.most) for a in over.alternatives} == {
        ("a", Fraction("0.01")),
        ("b", Fraction("0.004")),
        ("c", Fraction("0.002")),
    }
    assert not {c for c in codes("Methyl Eugenol", RINSE["body"], 0.001) if c[0] == "over_most"}


def test_a_salt_that_an_entry_includes_by_its_family() -> None:
    """V 4: sorbic acid and its salts; magnesium sorbate is none of the listed names, its factor not on file: never
    within by guess, never over by guess.
    """
    said = verdicts_of("Magnesium Sorbate", LEAVE["body"], 0.7, 0.7, functions=("preservative",))
    assert [(v.code, v.entry) for v in said if v.annex == "V"] == [("unknown_amount", "4")]


def test_an_amount_that_nobody_told() -> None:
    assert [v.code for v in verdicts_of("Phenoxyethanol", LEAVE["body"], 0, None)] == ["unknown_amount"]
    assert [v.code for v in verdicts_of("Phenoxyethanol", LEAVE["body"], 1.2, None)] == ["over_most"]
    assert [v.code for v in verdicts_of("Phenoxyethanol", LEAVE["body"], 0.5, 1.5)] == ["over_most"]


def test_aluminium_is_counted_by_product() -> None:
    """III 381: 7.73 % as Al in deodorants not sprayed, 3.24 % sprayed, 0.86 % on hands; chlorohydrate Al2Cl(OH)5
    holds 53.96/174.45 = 0.30935.
    """
    assert ("over_most", "III 381a") in codes("Aluminium Chlorohydrate", LEAVE["underarm"], 25.1)
    assert ("over_most", "III 381a") not in codes("Aluminium Chlorohydrate", LEAVE["underarm"], 24.9)
    assert ("over_most", "III 381b") in codes("Aluminium Chlorohydrate", DEO_SPRAY, 10.6)
    assert ("over_most", "III 381p") in codes("Aluminium Chlorohydrate", LEAVE["hands"], 3)


def test_mci_and_mi_count_together_in_what_is_rinsed_off() -> None:
    """V 39: 0.0015 % of the mixture; methylisothiazolinone alone stands in V 57, 0.0015 % too."""

    def said(chlorinated: str, plain: str) -> set[str]:
        pair = (
            Content("Methylchloroisothiazolinone", Fraction(chlorinated), Fraction(chlorinated), ("preservative",)),
            Content("Methylisothiazolinone", Fraction(plain), Fraction(plain), ("preservative",)),
        )
        return {v.about for v in verdicts(pair, RINSE["hair"]) if v.is_stop}

    assert said("0.0011", "0.0004") == set()
    assert said("0.0012", "0.0004") == {"sum"}
    assert not [v for v in verdicts_of("Methylisothiazolinone", RINSE["hair"], 0.0015, 0.0015) if v.is_stop]
