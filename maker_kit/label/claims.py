"""What may be said of a product: claims that never may, claims that may with evidence linked, and what nobody has on
file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

import pandas as pd

from maker_kit import reference
from maker_kit.errors import LabelError, short
from maker_kit.findings import Finding, in_order, know, look, stop
from maker_kit.formula.substances.naming import substance
from maker_kit.formula.substances.spelling import words
from maker_kit.frames import frame_of
from maker_kit.label.declared import Declaration, Declared
from maker_kit.numbers import number_text, with_point

TABLE = "label_claims.csv"
NEVER, EVIDENCE, LINKED, HOLDS, UNKNOWN = "never", "evidence", "linked", "holds", "unknown"
"""It must not stand; it needs evidence; evidence is linked; the recipe itself bears it out; not on file."""
KINDS = {"trial": "a trial", "calculation": "a calculation"}
_FIGURE = re.compile(r"(\d{1,3}(?:[.,]\d{1,4})?)\s*%")
_PLAIN = frozenset({"with", "contains", "of", "and", "rich", "in", "pure", "made", "from", "our", "real"})


@dataclass(frozen=True)
class Claim:
    """One claim, judged for a market.

    Attributes
    ----------
    text, market : str
    standing : str
        `NEVER`, `EVIDENCE`, `LINKED`, `HOLDS` or `UNKNOWN`.
    code : str
        Row of the table, or ``content`` for what is in it; empty where nothing is on file.
    needs : str
        ``trial`` or ``calculation``.
    link : str
        The evidence that is linked.
    why, source : str
    """

    text: str
    market: str
    standing: str
    code: str
    needs: str
    link: str
    why: str
    source: str


def judge_claims(
    claims: Iterable[str],
    market: str = "EU",
    evidence: Mapping[str, str] | None = None,
    declaration: Declaration | None = None,
) -> tuple[Claim, ...]:
    """Each claim against the rules on file.

    Parameters
    ----------
    claims : iterable of str
        As they would stand on the pack.
    market : {'EU', 'US'}
    evidence : Mapping of str to str, optional
        Claim → the trial or calculation that bears it out, by name; without it a claim that needs some may not stand.
    declaration : Declaration, optional
        Our list: what a claim says to be in it is looked up there.

    Returns
    -------
    tuple of Claim
        Of several rows that fit the gravest. What no row fits is unknown, never fine.

    Raises
    ------
    LabelError
        If the market has no rules on file.
    """
    rows = reference.rows(TABLE, columns=("market", "code", "standing", "words", "unless", "needs", "why", "source"))
    if market not in {r["market"] for r in rows}:
        raise LabelError(f'the market is "{short(market)}", and rules for claims are on file for EU and US')
    mine = [r for r in rows if r["market"] == market]
    return tuple(_judged(c.strip(), market, mine, evidence or {}, declaration) for c in claims if c.strip())


def _judged(
    text: str,
    market: str,
    rows: list[reference.Row],
    evidence: Mapping[str, str],
    declaration: Declaration | None,
) -> Claim:
    said = f" {' '.join(text.casefold().replace('–', '-').split())} "
    fits = [r for r in rows if _says(said, r["words"]) and not (r["unless"] and _says(said, r["unless"]))]
    row = next((r for r in fits if r["standing"] == NEVER), fits[0] if fits else None)
    link = evidence.get(text, "").strip()
    if row is not None:
        standing = row["standing"] if row["standing"] == NEVER or not link else LINKED
        return Claim(text, market, standing, row["code"], row["needs"], link, row["why"], reference.source_of(row))
    content = _content(text, market, declaration) if declaration is not None else None
    if content is not None:
        return content
    why = "Nothing on file fits it: let a qualified person look at it before it is printed."
    return Claim(text, market, LINKED if link else UNKNOWN, "", "trial", link, why, "")


def _says(said: str, listed: str) -> bool:
    """Whether a claim holds one of the words: from their beginning, or whole where the table writes ``!`` behind."""
    ends = ((word.rstrip("!"), r"\b" if word.endswith("!") else "") for word in listed.split("|") if word)
    return any(re.search(rf"\b{re.escape(word)}{end}", said) for word, end in ends)


def _content(text: str, market: str, declaration: Declaration) -> Claim | None:
    """A claim that something is in it, against our list: there, and with as much as it says."""
    figure = _FIGURE.search(text)
    name = " ".join(w for w in _FIGURE.sub(" ", text).split() if w.casefold() not in _PLAIN)
    row = _row(name, declaration)
    source = "our own list" if market == "EU" else "our own list; what misleads is misbranded"
    if row is None:
        if figure is None and not re.search(r"(?i)\b(?:with|contains|rich in|made from)\b", text):
            return None
        why = f"{name} is not on our list."
        return Claim(text, market, NEVER, "content", "calculation", "", why, source)
    low = number_text(row.low)
    if figure is None:
        return Claim(
            text, market, HOLDS, "content", "calculation", "", f"{row.name} is in it, at least {low} %.", source
        )
    claimed = Fraction(Decimal(with_point(figure[1])))
    standing = HOLDS if row.low >= claimed else NEVER
    why = f"{row.name}: at least {low} % is in it, and the claim says {number_text(claimed)} %."
    return Claim(text, market, standing, "content", "calculation", "", why, source)


def _row(name: str, declaration: Declaration) -> Declared | None:
    key = substance(name).key
    exact = [r for r in declaration.rows if key and substance(r.substance).key == key]
    said = set(words(name))
    close = [r for r in declaration.rows if said and said <= set(words(r.substance))]
    return exact[0] if exact else close[0] if len(close) == 1 else None


def claim_findings(claims: Iterable[Claim]) -> tuple[Finding, ...]:
    """The claims as notes: a stop for what must not stand, a look for what needs evidence or is not on file."""
    found = []
    for c in claims:
        about = (c.text,)
        if c.standing == NEVER:
            told = f'"{c.text}" must not stand on it in the {c.market}. {c.why}'
            found.append(stop("claim.never", about, told, next_step="Leave it out.", source=c.source))
        elif c.standing == EVIDENCE:
            told = f'"{c.text}" may stand only with {KINDS[c.needs]} linked to it, and none is. {c.why}'
            found.append(
                look(
                    "claim.evidence",
                    about,
                    told,
                    level="missing",
                    next_step="Link it, or leave it out.",
                    source=c.source,
                )
            )
        elif c.standing == UNKNOWN:
            found.append(look("claim.unknown", about, f'"{c.text}": {c.why}', level="unknown"))
        else:
            link = f" Linked: {c.link}." if c.link else ""
            found.append(know(f"claim.{c.standing}", about, f'"{c.text}": {c.why}{link}', source=c.source))
    return in_order(found)


def to_frame(claims: Iterable[Claim]) -> pd.DataFrame:
    """Claim, market, standing, what it needs, the evidence that is linked, why, and source."""
    columns = ("text", "market", "standing", "needs", "link", "why", "source")
    return frame_of(claims, {"claim" if c == "text" else c: c for c in columns})
