"""What there is to say of a label that was read."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from maker_kit.errors import ContradictionError
from maker_kit.findings import Finding, know, look, stop
from maker_kit.label.label_rules import LabelRule
from maker_kit.label.label_text import INSIDE, LabelText, Question


def label_findings(
    read: LabelText, rules: Iterable[LabelRule], clash: ContradictionError | None, where: str, on: date | None
) -> Iterable[Finding]:
    """A contradiction, what is listed again inside something else, names no table knows, and where it was read."""
    if clash is not None:
        about = tuple(str(what) for kind, what in clash.rules if isinstance(what, str)) or ("label",)
        kinds = {what: f"at_{end}" for end in ("most", "least") for kind, what in clash.rules if kind == f"at_{end}"}
        known = {r.names[0]: r for r in rules if len(r.names) == 1 and kinds.get(r.names[0]) == f"at_{r.end}"}
        why = "; ".join(known[n].why + f" ({n})" for n in dict.fromkeys(about) if n in known)
        told = f"The label contradicts itself. {clash}" + (f" What bounds it: {why}." if why else "")
        mend = "Read the pack again; a claim may be of a bought solution, or the list may break the law."
        yield stop(
            "label.contradicts",
            about,
            told,
            next_step=mend,
            sources=tuple(known[n].source for n in about if n in known),
        )
    inside = [n.name for n in read.names if n.role == INSIDE]
    if inside:
        holders = dict.fromkeys(h for n in read.names for h in n.of)
        told = f"{', '.join(inside)}: read as inside {', '.join(holders)}, so not counted beside it."
        yield know(
            "label.inside",
            inside,
            told,
            subject="listed again",
            source="Regulation (EC) No 1223/2009, Article 19(1)(g) and Annex III",
        )
    unknown = [n.name for n in read.names if not n.known]
    if unknown:
        told = f"{', '.join(unknown)}: no table here knows the name, so no limit is known of it either."
        yield look("label.unknown_name", unknown, told, level="unknown", next_step="Look at the spelling on the pack.")
    if where.strip() and on is not None:
        yield know("label.read", "label", f"Read {where.strip()}, {on.isoformat()}.", subject="where and when")


def unusual_findings(left_out: Iterable[LabelRule]) -> Iterable[Finding]:
    """Rules that cannot hold for this label, and are left out."""
    for rule in left_out:
        told = f"{', '.join(rule.names)}: {rule.why}. That cannot be true of this label, so it is not reckoned with."
        step = "Look at the pack again: is the figure of the whole, and is the order right?"
        yield look("label.unusual", rule.names, told, next_step=step, source=rule.source)


def asked_finding(question: Question) -> Finding:
    """A question on the label, as a finding."""
    about = question.about or "label"
    return look(f"label.ask_{question.code}", about, question.text, level="unknown", subject=about)
