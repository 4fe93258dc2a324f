"""The house as its imports draw it: which room stands on which. Run it to write the map into DEVELOPERS.md.

Use: .venv/bin/python tests/house.py
"""

from __future__ import annotations

import ast
import functools
from pathlib import Path

TOP = Path(__file__).resolve().parents[1]
PACKAGE = TOP / "maker_kit"
MAP = TOP / "DEVELOPERS.md"
BEGIN, END = "<!-- map: drawn by tests/house.py -->", "<!-- end of map -->"
FORMULA = ("substances", "inside", "annexes", "limits", "preservation", "notes", "changes")
"""The sub-rooms of `formula` that stack, the lowest first."""
GROUND = (
    "errors",
    "names",
    "numbers",
    "money",
    "student",
    "frames",
    "collecting",
    "guarded",
    "amount_text",
    "findings",
    "units",
    "temperature",
    "reference",
    "visible",
    "scratch",
    "together",
    "terminal",
)
ROOMS = ("formula", "buying", "bench", "label", "trial")
FLOORS = (GROUND, ROOMS, ("workshop",), ("plan",), ("decision",), ("workbook",), ("cli",), ("__main__",))
NEIGHBOURS = {("buying", "formula"), ("bench", "formula"), ("label", "formula")}
"""Rooms of one floor that may read another."""
STACKS = {
    "formula": (*FORMULA,),
    "buying": ("basket", "curve"),
    "workshop": ("csv", "xlsx"),
    "workbook": ("charts", "paper", "shown", "panels", "run"),
}
"""Sub-rooms that may only read what stands before them."""


def modules() -> dict[str, Path]:
    """Every module of the package by its dotted name without ``maker_kit.``."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        if name:
            found[name] = path
    return found


@functools.cache
def imported(path: Path) -> set[str]:
    """Every module that a file imports, at the top or inside a function; what is fetched for type checkers only counts
    too.
    """
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
            names.update(f"{node.module}.{alias.name}" for alias in node.names)
    return names


@functools.cache
def graph() -> dict[str, set[str]]:
    """Module → modules of the package that it imports; read when it is first asked for, so that a run of other tests
    does without.
    """
    known = modules()
    return {
        name: {
            short for full in imported(path) if (short := full.removeprefix("maker_kit.")) in known and full != short
        }
        - {name}
        for name, path in known.items()
    }


def circles(edges: dict[str, set[str]]) -> list[list[str]]:
    """Every group of modules that import each other, by Tarjan's search for strongly connected parts (1972)."""
    index: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    found: list[list[str]] = []

    def visit(node: str) -> None:
        index[node] = low[node] = len(index)
        stack.append(node)
        for other in sorted(edges[node]):
            if other not in index:
                visit(other)
                low[node] = min(low[node], low[other])
            elif other in stack:
                low[node] = min(low[node], index[other])
        if low[node] == index[node]:
            group = stack[stack.index(node) :]
            del stack[stack.index(node) :]
            if len(group) > 1:
                found.append(sorted(group))

    for node in sorted(edges):
        if node not in index:
            visit(node)
    return found


def room(name: str) -> str:
    """The room of a module."""
    return name.split(".")[0]


def sub_room(name: str, path: Path) -> str:
    """The sub-room of a module; empty for one that stands at the top of its room."""
    parts = path.relative_to(PACKAGE).parts
    return parts[1] if len(parts) > 2 else ""


def drawn() -> str:
    """The map: a line a room or sub-room, with its modules and the rooms it reads."""
    known, edges = modules(), graph()
    lines = []
    for floor in reversed(FLOORS):
        for home in sorted({room(n) for n in known} & set(floor), key=floor.index):
            subs = sorted({sub_room(n, p) for n, p in known.items() if room(n) == home})
            order = STACKS.get(home, ())
            for sub in sorted(subs, key=lambda s: (order.index(s) if s in order else -1, s)):
                inside = [n for n, p in known.items() if room(n) == home and sub_room(n, p) == sub]
                place = f"{home}/{sub}" if sub else home
                names = [n.split(".")[-1] for n in inside if n not in {home, f"{home}.{sub}"}]
                reads = {
                    f"{room(o)}/{sub_room(o, known[o])}".rstrip("/")
                    for n in inside
                    for o in edges[n]
                    if (room(o), sub_room(o, known[o])) != (home, sub)
                }
                outer = sorted(r for r in reads if r not in GROUND)
                lines.append(
                    f"{place}: {', '.join(names) or '-'}" + (f"\n    reads {', '.join(outer)}" if outer else "")
                )
    return "\n".join(lines)


def written(text: str) -> str:
    """A text with the map between its two marks."""
    head, _, rest = text.partition(BEGIN)
    return f"{head}{BEGIN}\n```\n{drawn()}\n```\n{END}{rest.partition(END)[2]}"


if __name__ == "__main__":
    MAP.write_text(written(MAP.read_text(encoding="utf-8")), encoding="utf-8")
