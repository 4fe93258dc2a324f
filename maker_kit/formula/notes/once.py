"""Each thing said once: of several findings on one substance the gravest and tightest speaks, and the avoid-list stands
in one row.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from maker_kit.findings import KINDS, LEVELS, Finding, in_order
from maker_kit.formula.limits.judging import NEAR_IN_WORDS
from maker_kit.names import name_key

ACIDS_BY_PH = frozenset({"clash.acid_preservative_and_ph", "clash.acid_preservative_and_ph_not_read"})
"""Codes of clashes that the notes on preservation say more exactly, acid by acid."""
WITHIN_LAW = "limit.law_fine"
"""Code of a substance within a figure of the law, which is not said of one that the law bars here."""
SAME = {
    "oil.strong": ("oil.face", "oil.child", "oil.eye", "oil.intimate", "oil.bath"),
    "oil.sore": ("oil.face", "oil.child", "oil.strong"),
    "ph.acid_left_on": ("ph.burns_left_on",),
    "ph.acid_rinsed_off": ("ph.burns_rinsed_off",),
    "ph.alkaline_left_on": ("ph.burns_alkaline_left_on", "ph.burns_alkaline"),
    "ph.burns_alkaline_left_on": ("ph.burns_alkaline",),
    "ph.alkaline_rinsed_off": ("ph.burns_alkaline", "law.ph_outside"),
    "lye.ph_unread": ("lye.unread_left_on", "lye.unread_rinsed_off"),
    "eye.harm": ("eye.quat", "oil.eye"),
    "caution.essential_oil": (
        "oil.face",
        "oil.child",
        "oil.eye",
        "oil.intimate",
        "oil.bath",
        "oil.strong",
        "oil.breath",
    ),
    "caution.flammable": ("fire.alcohol",),
    "caution.allergens": ("law.declare",),
    "caution.small_children": ("law.age_barred",),
}
"""Code of a milder finding → codes of which any one says it already."""
OF_ONE_SUPPLIER = frozenset({"limit.law_undisclosed", "limit.standard_undisclosed", "preservation.undisclosed"})
"""Codes that say of a substance, and behind it in `about` of the ingredients that bring it, that no amount was told:
those of the same ingredients stand in one row, for they are asked in one letter.
"""
_BOTH = "preservation.undisclosed_and_dissociated"
ASKS_MORE = {
    "limit.law_undisclosed": ("preservation.undisclosed", _BOTH),
    "limit.standard_undisclosed": ("preservation.undisclosed", _BOTH),
    "preservation.undisclosed": (_BOTH,),
}
"""Code → codes whose next step asks the same suppliers the same and more."""
OF_SUPPLIERS = OF_ONE_SUPPLIER | {"caution.allergens_unknown", "law.pH"}
"""Codes that say of everything in `about` that something is not told: what is inside, or its pH."""
OF_ALL_NAMED = frozenset({"preservation", "lye"})
"""Topics whose findings to look at concern everything in `about`."""
NOT_ON_FILE = frozenset({"limit.no_law_on_file", "law.us_colours"})
"""Codes that say that a part of the law of a market is not on file."""
FOUND = "avoid.found"
"""Code of something on the avoid-list that is in it."""
_AVOID = "avoid-list"
OF_SUBSTANCES = frozenset({"limit", "preservation", "scent"})
"""Topics whose findings are about a substance or a scent, the first of `about`."""
BY_MATERIAL = "limit.standard_near"
"""Code of a material near the standard's figure: not said where it is what the note on its scent stands on."""
NOT_TESTED = "preservation.no_challenge_test"
"""Code of the one row that says that no challenge test was made."""
NEAR_A_LIMIT = frozenset({"limit", "scent"})
"""Topics whose near is that of a limit (`maker_kit.formula.limits.judging.NEAR`)."""
_ASKED = {"limit": "limits", "preservation": "whether it protects"}


def told_once(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings, each thing once, the gravest first.

    Of the limits on one substance the gravest speaks, and of those the tightest; a finding that another says more
    exactly is left out (`SAME`, `ACIDS_BY_PH`); the rows of the avoid-list that are of one kind stand
    together. A stop is never left out for something milder.

    Parameters
    ----------
    findings : iterable of Finding

    Returns
    -------
    tuple of Finding
    """
    found = list(dict.fromkeys(findings))
    codes: dict[str, list[Finding]] = {}
    for finding in found:
        codes.setdefault(finding.code, []).append(finding)
    barred = {name for f in found if f.topic == "law" and f.kind == "stop" for name in f.about}
    acids = [f for f in found if f.topic == "preservation" and f.kind != "know"]
    kept: list[Finding] = []
    limits: dict[str, Finding] = {}
    rows: dict[tuple[str, tuple[str, ...]], Finding] = {}
    avoided: dict[tuple[str, str], list[Finding]] = {}
    for finding in found:
        exacter = [other for code in SAME.get(finding.code, ()) for other in codes.get(code, ())]
        if any(_says_it_too(other, finding) for other in exacter):
            continue
        if finding.code == WITHIN_LAW and barred & set(finding.about):
            continue
        by_acid = [f for f in acids if finding.code in ACIDS_BY_PH and not set(f.about).isdisjoint(finding.about)]
        if any(_says_it_too(other, finding) for other in by_acid):
            continue
        if finding.topic == "limit" and finding.about:
            known = limits.get(finding.about[0])
            limits[finding.about[0]] = finding if known is None else min(known, finding, key=_tight)
        elif finding.topic == "avoid":
            avoided.setdefault((finding.code, finding.kind), []).append(finding)
        else:
            key = finding.code, finding.about
            rows[key] = min(rows.get(key, finding), finding, key=_grave)
    asked: dict[tuple[str, ...], list[Finding]] = {}
    for finding in (*limits.values(), *rows.values()):
        if finding.code in OF_ONE_SUPPLIER and finding.about[1:]:
            asked.setdefault((finding.kind, *finding.about[1:]), []).append(finding)
        else:
            kept.append(finding)
    place = {id(f): k for k, f in enumerate(found)}
    told = [(place[id(f)], f) for f in kept]
    told += [(place[id(g[0])], _together(g, _asked_for(g))) for g in asked.values()]
    told += [(len(found), _together(_said_last(g), _AVOID)) for g in avoided.values()]
    return in_order(finding for _, finding in sorted(told, key=lambda pair: pair[0]))


def _says_it_too(other: Finding, finding: Finding) -> bool:
    """Whether a finding that is more exact is no milder; of a stop, whether it is a stop on the same, too."""
    if finding.kind == "stop":
        return other.kind == "stop" and not set(finding.about).isdisjoint(other.about)
    return KINDS.index(other.kind) <= KINDS.index(finding.kind)


def _asked_for(group: list[Finding]) -> str:
    """Of whom what is asked, in words."""
    asked = dict.fromkeys(_ASKED[finding.topic] for finding in group)
    return f"{', '.join(group[0].about[1:])}: {' and '.join(asked)}"


def as_told(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Notes as they are shown: what there is to look at, or to know, about one substance stands in one row, and so does
    the avoid-list (`_concerns`); the first that says near says from when; and that nothing was tested is said once.

    For people only: a row that holds several findings has the code, level and figures of the gravest.

    Parameters
    ----------
    findings : iterable of Finding
        From `told_once`.

    Returns
    -------
    tuple of Finding
        In the order given, a row where its first finding stood.
    """
    near_told = False
    findings = tuple(findings)
    tested = any(f.code == NOT_TESTED for f in findings)
    by_scent = {name_key(name) for f in findings if f.topic == "scent" and f.kind == "look" for name in f.about[1:]}
    rows: list[tuple[set[object], list[Finding]]] = []
    for place, finding in enumerate(findings):
        if finding.code == BY_MATERIAL and name_key(finding.about[0]) in by_scent:
            continue
        if tested and finding.topic == "preservation" and finding.brief:
            finding = replace(finding, text=finding.brief)
        if finding.level == "near" and finding.topic in NEAR_A_LIMIT and not near_told:
            near_told = True
            finding = replace(finding, text=f"{finding.text} {NEAR_IN_WORDS}")
        concerns = set(_concerns(finding)) or {place}
        joined = [row for row in rows if row[0] & concerns]
        if joined:
            first, *others = joined
            first[0].update(concerns, *(other[0] for other in others))
            first[1].extend(f for other in others for f in other[1])
            first[1].append(replace(finding, brief=""))
            rows = [row for row in rows if not any(row is other for other in others)]
        else:
            rows.append((concerns, [replace(finding, brief="")]))
    return tuple(_in_a_row(group) for _, group in rows)


def _in_a_row(group: list[Finding]) -> Finding:
    """Findings that are shown as one; of the avoid-list the gravest first, what was found before what is unknown."""
    if group[0].topic != "avoid":
        return _together(group, group[0].subject)
    group = sorted(group, key=lambda f: (KINDS.index(f.kind), f.code != FOUND))
    return _together(group, _AVOID if len(group) > 1 else group[0].subject)


def _concerns(finding: Finding) -> tuple[object, ...]:
    """What a finding is a row about: findings that share any of it are shown as one. Empty for one that stands alone.

    The avoid-list is one row whatever its kinds; a stop stands alone. What there is to look at is one row for the
    preservatives that are asked about together, for the law of a market that is not on file, and for a scent whose
    inside nobody has told.
    """
    if finding.topic == "avoid":
        return (_AVOID,)
    if finding.kind == "stop" or not finding.about:
        return ()
    if finding.code in NOT_ON_FILE:
        return ("law not on file",)
    names = tuple((finding.kind, name_key(name)) for name in finding.about)
    if finding.kind == "look" and (finding.topic in OF_ALL_NAMED or finding.code in OF_SUPPLIERS):
        return names
    return names[:1] if finding.topic in OF_SUBSTANCES else ()


def _said_last(group: list[Finding]) -> list[Finding]:
    """Findings of one code with what they have in common said behind the last of those of the same ingredients."""
    last = {f.about[2:]: f for f in group}
    return [replace(f, text=f.brief) if f.brief and last[f.about[2:]] is not f else f for f in group]


def _grave(finding: Finding) -> tuple[int, int]:
    return KINDS.index(finding.kind), LEVELS.index(finding.level)


def _tight(finding: Finding) -> tuple[int, int, float]:
    return *_grave(finding), finding.limit_percent if finding.limit_percent is not None else float("inf")


def _together(group: list[Finding], subject: str) -> Finding:
    """Several findings as one, with the code, level and figures of the first."""
    if len(group) == 1:
        return group[0]
    first, steps = group[0], dict.fromkeys(f.next_step for f in group if f.next_step and not _asked_by(f, group))
    return replace(
        first,
        about=tuple(dict.fromkeys(name for f in group for name in f.about)),
        subject=subject,
        text=" ".join(dict.fromkeys(f"{f.text[:1].upper()}{f.text[1:]}" for f in group)),
        next_step=" ".join(steps),
        sources=tuple(source for f in group for source in f.sources),
    )


def _asked_by(finding: Finding, group: list[Finding]) -> bool:
    """Whether another of them asks the suppliers behind it for the same and more."""
    more = ASKS_MORE.get(finding.code, ())
    return any(f.code in more and set(finding.about[1:]) <= set(f.about[1:]) for f in group)
