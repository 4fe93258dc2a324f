"""What the words of an annex's entry name, and how its figures are counted."""

from __future__ import annotations

import re

NO_NAME = re.compile(
    r"^(?:salts$|massive$|polymeric$|ethylamino$|vinyl$|epoxyethyl$|(?:[mp]-)?tolyloxy$|bis\b.{0,8}$|INN|ISO|INNM|"
    r"BAN|INCI|E|Z|R|S|RS|nano|oil|fruit|seeds?|roots?|leaves|essential oil|powder|stabilized|quinone|additive|"
    r"containing|see|mixed|principal|as |with |CAS|EINECS|e\.g\.|leaves,|"
    r"roots,|fruit,|petroleum|coal|coal tar|tar|shale|aqueous|alkaline|\d+|[0-9:.,RSEZ±+\-αβγ ]+)(?:\b|$)",
    re.IGNORECASE,
)


def plain(text: str) -> str:
    """Blanks and trailing marks put in order."""
    return " ".join(text.split()).strip(" ;,.:|")


def listed(cell: str, *, slash: bool = False) -> list[str]:
    """Names of an INCI cell: cut at ";" (and at "/" where asked), footnote marks such as "(1)" taken off."""
    names = [
        plain(re.sub(r"\s*\(\d+\s*\)", "", n))
        for n in re.split(r";|(?<=[A-Z)])\s*/\s*(?=[A-Z])" if slash else r";", cell)
    ]
    return list(
        dict.fromkeys(
            n
            for n in names
            if n
            and len(n) < 90
            and not re.search(r"(?i)when used|see note|listed|exception|normal content|shall be", n)
        )
    )


def own_names(name: str) -> list[str]:
    """The names in the text of an Annex II entry, without what the law says about them."""
    found: list[str] = []
    name = re.sub(r"\((?=petroleum|coal|shale)([a-z ]+)\)", r"\1", name)
    text = re.split(
        r"(?i),?\s+(?:if (?:it|they|the)\b|except\b|unless\b|when used\b|with (?:the )?exception\b|for traces\b|"
        r"see also\b|see annex\b)",
        name,
    )[0]
    for piece in re.split(r";\s+|;$|\s\|\s|\[\d+\]|, e\.g\. | e\.g\. ", text):
        bare = plain(re.sub(r"\[\d*\]|\[?\bINCI\b:?\]?|\(\*\)", "", piece))
        inside = [
            plain(i)
            for i in re.findall(r"(?<![\w\])\-])\(([^()]+(?:\([^()]*\))?[^()]*)\)", bare)
            if not NO_NAME.match(i.strip())
        ]
        stripped = plain(re.sub(r"\s+\((?:[^()]|\([^()]*\))*\)", "", bare))
        for part in (
            stripped,
            *(re.sub(r"\s*\([^)]*\)|\s*-?\s*\bISO\b|\[?\bINN\b\]?|\bINCI\b:?", "", i) for i in inside),
        ):
            short = re.sub(
                r"(?i)(?:,\s*|\s+and\s+|\s+or\s+|\s+(?=its|their))(?:its |their |the )?(?:isomers|salts|"
                r"compounds?|esters|derivatives|preparations|homologues|galenical preparations|ethers|lakes|"
                r"acetates?|halogenated|alkaloids)"
                r"(?:[, ]+(?:and |or )?(?:its |their )?(?:isomers|salts|compounds?|esters|derivatives|"
                r"preparations|galenical preparations|ethers|lakes|pigments|salts of these derivatives|"
                r"sulphonated derivatives|halogenated))*$",
                "",
                part,
            )
            short = plain(
                re.sub(
                    r"(?i)\s+(?:and|or)?\s*(?:its|their)$|\s+(?:L|spp|species)\.?$|^(?:A )?(?:mixture of|"
                    r"reaction mass of):?$",
                    "",
                    plain(short),
                )
            )
            if len(short) >= 4 and short != "salts" and re.search(r"[A-Za-z]{3}", short) and len(short) <= 52:
                found.append(
                    short.strip("()[] ")
                    if short.count("(") != short.count(")")
                    or (short.startswith(("(", "[")) and short.endswith((")", "]")) and len(short) < 12)
                    else short
                )
    return list(dict.fromkeys(found))


def family(name: str) -> str:
    """``salts`` where the entry speaks of salts, ``compounds`` where of compounds or derivatives, ``preparations``
    where of a plant's; empty otherwise.
    """
    for word, pattern in (
        ("preparations", r"\bpreparations\b"),
        ("compounds", r"\bcompounds?\b|\bderivatives\b"),
        ("salts", r"\bsalts\b"),
    ):
        if re.search(pattern, name):
            return word
    return ""


_GROUP = re.compile(
    r"(?i)\b(?:salts?|esters?|derivatives|mixture|oils?|extracts?|complexes|ingredients|polymers?|lakes|pigments|"
    r"polyacrylamides|amides|peptides|alloys|and|compounds)\b"
)
_TAIL = re.compile(r"(?i),?\s+(?:and|or)\s+(?:its|their)\b.*$|\s*\((?:see note )?\d+\s*\)$|\s+\(see note \d+\)")
_SLASHED = re.compile(r"(?<=[A-Za-z)])\s+/\s*(?=[A-Za-z])|(?<=[A-Za-z)])/\s+(?=[A-Za-z])")
_ANY_SLASH = re.compile("/")
_ALL_SLASHED = frozenset({("V", "12"), ("V", "12a"), ("III", "157")})
_NO_NAME = re.compile(r"(?i)when used|see note|normal content|exception of entry|^if the|shall be|is a mixture of")
_BASIS = re.compile(
    r"(?i)\b((?:calculated )?as (?:% of )?[A-Za-z][A-Za-z0-9 -]*?)(?=[).,(]|$|\s\|)|\((acid)\)|"
    r"\b(Retinol Equivalent|RE)\b|\b(of Hg)\b"
)


def entry_names(annex: str, entry: str, inci: str, other: str = "") -> tuple[str, ...]:
    """The names that an entry's INCI cell and its cell of other names list.

    Parameters
    ----------
    annex, entry : str
        Such as ``V`` and ``12``: a few entries cut their names at "/".
    inci, other : str
        The cells.

    Returns
    -------
    tuple of str
        Each once; what is a sentence and no name is left out.
    """
    found: dict[str, None] = {}
    slashed = _ANY_SLASH if annex == "IV" or (annex, entry) in _ALL_SLASHED else _SLASHED
    for cell in (inci, other):
        for piece in cell.split(";"):
            if len(piece) > 16 and _NO_NAME.search(piece):
                continue
            whole = piece.strip(" .,’")
            names = [n.strip() for n in slashed.split(whole)] if "/" in whole else [whole]
            if ", " in whole and annex in {"V", "III"} and whole.isupper() and not re.search(r"\d|-$|-,", whole):
                names = [n.strip() for n in whole.split(",")]
            for name in names:
                found[_TAIL.sub("", name) if "(" in name or " " in name else name] = None
    return tuple(name for name in found if name not in {"", "-"})


def text_names(text: str) -> tuple[str, ...]:
    """The chemical names in the text of an entry, cut at semicolons, without "and its salts" and the like."""
    pieces = [_TAIL.sub("", piece.strip(" .,")) if " " in piece else piece for piece in text.split(";")]
    halves = [h.strip() for p in pieces for h in (p.split(" / ") if " / " in p else [])]
    return tuple(dict.fromkeys(n for n in (*pieces, *halves) if len(n) > 3))


def is_group(text: str) -> bool:
    """Whether an entry's text speaks of several substances."""
    return _GROUP.search(text) is not None


def counted_as(figures: list[str]) -> str:
    """How an entry's figures are counted, from their texts; empty for as supplied."""
    for text in (figure.partition("Footnote")[0] for figure in figures):
        if "present or released" in text:
            return "as H2O2"
        if "of silver" in text:
            return "as silver"
        if found := _BASIS.search(text):
            named = "as acid" if found[2] else "as retinol" if found[3] else "as Hg" if found[4] else ""
            return named or " ".join(found[1].replace("calculated ", "").split())
    return ""
