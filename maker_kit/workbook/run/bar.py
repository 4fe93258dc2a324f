"""The bar that a long command shows on the error stream."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Callable, Iterator


@contextlib.contextmanager
def bar(total: int, words: str, unit: str) -> Iterator[Callable[[], object]]:
    """A bar of so many parts, gone at the end; what is called after each of them.

    Parameters
    ----------
    total : int
    words : str
        What the bar says; no bar where empty.
    unit : str
        What the parts are: ``recipes``.
    """
    if not words:
        yield lambda: None
        return
    from tqdm import tqdm

    form = f"{{desc}} |{{bar:24}}| {{n_fmt}}/{{total_fmt}} {unit}"
    with tqdm(total=total, desc=words, bar_format=form, leave=False, file=sys.stderr) as shown:
        yield shown.update
