"""What a refused cell is told."""

from __future__ import annotations


class CellError(Exception):
    """A cell that cannot be taken: what is allowed in it, how to mend it, and what was meant where one text is near."""

    def __init__(self, allowed: str, mend: str, meant: str = "") -> None:
        self.allowed, self.mend, self.meant = allowed, mend, meant
        super().__init__(allowed)
