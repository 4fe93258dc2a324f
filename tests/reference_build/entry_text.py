"""The names in the text of an Annex II entry, without what the law says about them."""

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
