"""Names against patterns."""

from __future__ import annotations

from fnmatch import fnmatchcase

import pytest

from maker_kit.names import fits


@pytest.mark.parametrize(
    "like", ["sodium *ate", "?qua", "peg-[0-9]*", "a.b", "*", "", "[!s]*", "x(y)", "*benz*", "aq*", "*qua", "**", "*.b"]
)
@pytest.mark.parametrize("name", ["sodium benzoate", "aqua", "Aqua", "peg-8", "a.b", "axb", "", "x(y)", "two\nlines"])
def test_a_name_fits_a_pattern_as_the_standard_library_has_it(name: str, like: str) -> None:
    assert fits(name, like) == fnmatchcase(name, like)
