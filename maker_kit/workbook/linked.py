"""A page in parts whose figures point to where they come from: the same for a screen, for paper and as plain text."""

from __future__ import annotations

import html
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from importlib import resources

from maker_kit.visible import NO_FORMULA


@dataclass(frozen=True)
class Cell:
    """A text with where it comes from.

    Attributes
    ----------
    text : str
    rests_on : tuple of str
        Tables, rows and sources; each becomes a number that leads to the list at the end.
    part : str
        A part of the page that it leads to; empty for none.
    """

    text: str
    rests_on: tuple[str, ...] = ()
    part: str = ""


@dataclass(frozen=True)
class Part:
    """One part of the page: a heading, sentences and a table, any of which may be left out.

    Attributes
    ----------
    name : str
        By which links lead to it.
    heading : str
    sentences : tuple of Cell
    columns : tuple of str
    rows : tuple of tuple of Cell
    shares : tuple of float
        Of the width, one a column.
    new_page : bool
        Whether it begins a new sheet of paper.
    """

    name: str
    heading: str = ""
    sentences: tuple[Cell, ...] = ()
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()
    shares: tuple[float, ...] = ()
    new_page: bool = False

    def told(self, say: Callable[[str], str]) -> Part:
        """The part with its tables named as `say` names them."""

        def cell(old: Cell) -> Cell:
            return replace(old, text=say(old.text), rests_on=tuple(map(say, old.rests_on)))

        rows = tuple(tuple(map(cell, row)) for row in self.rows)
        return replace(self, sentences=tuple(map(cell, self.sentences)), rows=rows)


class Linked:
    """A page that shows itself in a notebook, on a page and as text.

    Parameters
    ----------
    answer : str
        The answer in a sentence, shown large.
    parts : iterable of Part
    where : str
        Heading of the list at the end, to which the numbers lead.
    mark : str
        What the names of links begin with, so that two such pages may stand in one.
    """

    def __init__(self, answer: str, parts: Iterable[Part], where: str, mark: str = "d") -> None:
        self.answer, self.parts, self.where, self.mark = answer, tuple(parts), where, mark
        cells = (c for p in self.parts for c in (*p.sentences, *(c for row in p.rows for c in row)))
        found = dict.fromkeys(place for cell in cells for place in cell.rests_on if place)
        self.numbers = {place: number for number, place in enumerate(found, 1)}

    def numbered(self, cell: Cell) -> str:
        """A cell as text, with the numbers of where it comes from in brackets."""
        numbers = ", ".join(str(self.numbers[place]) for place in cell.rests_on if place)
        return f"{cell.text} [{numbers}]".strip() if numbers else cell.text

    def html(self) -> str:
        """The whole page as HTML, every text escaped, every number a link."""
        body = [f'<p class="answer">{html.escape(self.answer)}</p>']
        for part in self.parts:
            sheet = " new-page" if part.new_page else ""
            body.append(f'<section class="part{sheet}" id="{self.mark}-{part.name}">')
            body += [f"<h3>{html.escape(part.heading)}</h3>"] if part.heading else []
            body += [f"<p>{self._cell(cell)}</p>" for cell in part.sentences]
            body += [self._table(part)] if part.rows else []
            body.append("</section>")
        rows = "".join(
            f'<li id="{self.mark}-where-{number}">{html.escape(place)}</li>' for place, number in self.numbers.items()
        )
        body.append(f'<section class="part where" id="{self.mark}-where"><h3>{html.escape(self.where)}</h3>')
        body.append(f"<ol>{rows}</ol></section>")
        style = resources.files("maker_kit.workbook").joinpath("linked.css").read_text(encoding="utf-8")
        return f'<div class="linked {NO_FORMULA}"><style>\n{style}</style>{"".join(body)}</div>'

    def _table(self, part: Part) -> str:
        whole = sum(part.shares) or 1
        widths = "".join(f'<col style="width:{100 * share / whole:.1f}%">' for share in part.shares)
        head = "".join(f"<th>{html.escape(column)}</th>" for column in part.columns)
        body = "".join("<tr>" + "".join(f"<td>{self._cell(cell)}</td>" for cell in row) + "</tr>" for row in part.rows)
        return f"<table><colgroup>{widths}</colgroup><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"

    def _cell(self, cell: Cell) -> str:
        text = html.escape(cell.text).replace("\n", "<br>")
        if cell.part:
            text = f'{text} <small><a href="#{self.mark}-{cell.part}">there</a></small>'
        links = ", ".join(
            f'<a href="#{self.mark}-where-{self.numbers[place]}">{self.numbers[place]}</a>'
            for place in cell.rests_on
            if place
        )
        return f"{text} <small>[{links}]</small>" if links else text

    def _repr_html_(self) -> str:
        return self.html()

    def __repr__(self) -> str:
        lines = [self.answer]
        for part in self.parts:
            lines += ["", part.heading] if part.heading else []
            lines += [self.numbered(cell) for cell in part.sentences]
            lines += [_row(map(self.numbered, row)) for row in part.rows]
        lines += ["", self.where, *(f"{number} {place}" for place, number in self.numbers.items())]
        return "\n".join(lines)


def _row(cells: Iterable[str]) -> str:
    return " | ".join(" ".join(cell.split()) for cell in cells)


def cells(*texts: str | Cell) -> tuple[Cell, ...]:
    """A row of cells; texts become cells that come from nowhere else."""
    return tuple(text if isinstance(text, Cell) else Cell(text) for text in texts)


def one_each(texts: Sequence[str]) -> tuple[Cell, ...]:
    """Sentences, a cell each."""
    return tuple(map(Cell, texts))
