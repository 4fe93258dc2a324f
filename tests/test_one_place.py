"""Each rule stands in one place, and no logic reads a sentence: read from the package's own syntax."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

import house
import pytest

MODULES = {p.relative_to(house.PACKAGE).as_posix(): p.read_text(encoding="utf-8") for p in house.modules().values()}
TREES = {name: ast.parse(text) for name, text in MODULES.items()}

RULES = {
    "one record of a step": (r"^class Step\b", {"formula/step.py"}),
    "one record of a container": (r"^class Container\b", {"formula/container.py"}),
    "what is watery": (r"^def (?:is_watery|wetness)\b", {"formula/kinds.py"}),
    "what is a scent": (r"^def is_scent\b", {"formula/kinds.py"}),
    "the label as an item": (r'= "Label"$', {"formula/batch.py"}),
    "below which a level is asked about": (r"^LEAST_USUAL_PERCENT = |< Fraction\(1, 100\)", {"formula/recipe.py"}),
    "keeping time against use": (r"exact_number\(\s*recipe\.use_per_month|^def used_in_time", {"plan/notes.py"}),
    "a thick product in a foamer": (r'"foamer" in', {"formula/notes/clashes.py"}),
    "own time for a batch": (
        r"(?i)^ .*minutes\S* [*/] \S+ / 60\b|minutes / 60 \*|^def own_time_micros",
        {"buying/own_time.py"},
    ),
    "dates of tables and of screens": (r"fromisoformat\(text|date\(\*\(int", {"workshop/csv/days.py"}),
}
"""What the rule is → how it would be written, and the modules that may hold it."""

PROSE = {"text", "next_step", "brief", "sentence", "source", "because", "result", "why", "told"}
"""Fields of findings, faults and verdicts that are for people."""
READS = {"startswith", "endswith", "removeprefix", "removesuffix", "partition", "rpartition", "split", "find", "index"}
PATTERN = {"search", "match", "fullmatch", "findall", "finditer"}
MAKERS = {
    "bench/version.py": "the words of a maker's step",
    "workshop/slips/written.py": "a size as the maker typed it",
    "workshop/offers.py": "a size as the maker typed it",
    "workshop/shelf.py": "a size as the maker typed it",
    "workbook/paper/label_sheet.py": "a text that is set in lines",
    "label/particulars.py": "a full stop behind a warning that has none",
    "bench/log/values.py": "a cell of the log",
}
"""Modules where such a field holds what a maker typed, or is only laid out."""


@pytest.mark.parametrize("rule", RULES)
def test_a_rule_stands_in_one_place(rule: str) -> None:
    pattern, homes = RULES[rule]
    found = {name for name, text in MODULES.items() if re.search(pattern, text, re.MULTILINE)}
    assert found == homes


def _prose(node: ast.AST) -> bool:
    """Whether an expression is a field for people, or the words of an error."""
    if isinstance(node, ast.Call):
        of = node.func
        if isinstance(of, ast.Attribute):
            return of.attr == "sentence" or (of.attr in {"casefold", "lower", "strip"} and _prose(of.value))
        named = [a.id for a in node.args if isinstance(a, ast.Name)]
        return isinstance(of, ast.Name) and of.id == "str" and named in (["error"], ["fault"])
    return isinstance(node, ast.Attribute) and node.attr in PROSE


def _read(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            reads = node.func.attr in READS and _prose(node.func.value)
            if reads or (node.func.attr in PATTERN and any(map(_prose, node.args))):
                yield ast.unparse(node)
        elif isinstance(node, ast.Compare):
            pairs = zip(node.ops, node.comparators, strict=True)
            if any(isinstance(op, (ast.In, ast.NotIn)) and _prose(right) for op, right in pairs):
                yield ast.unparse(node)


def test_no_logic_reads_a_sentence() -> None:
    assert {name: read for name, tree in TREES.items() if name not in MAKERS and (read := list(_read(tree)))} == {}


def test_a_sentence_that_is_read_would_be_found() -> None:
    for code in ("if 'a' in finding.text: pass", "fault.why.startswith('a')", "re.search('a', str(error))"):
        assert list(_read(ast.parse(code)))
    assert not list(_read(ast.parse("finding.code.startswith('limit.')")))
