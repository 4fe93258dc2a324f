"""--set is strict: unknown names, wrong types and reserved names are one sentence each."""

from __future__ import annotations

from pathlib import Path

import nbformat
import pytest

from maker_kit.errors import NoticeError
from maker_kit.workbook.run.report import RESERVED, notebook_folder
from maker_kit.workbook.run.settings import Setting, notebook_settings, read_settings, read_value

REPORT = notebook_folder() / "06_costing_report.ipynb"


def test_the_report_takes_the_promised_names() -> None:
    assert set(notebook_settings(REPORT)) >= {"batch_size", "batches", "fragrance_load", "thickener_level", "upto"}


def test_values_are_read_by_their_type() -> None:
    values = read_settings(
        ["upto=20", "fragrance_load = 0.8", "thickener_level=none", "scent=Scent 1"],
        notebook_settings(REPORT),
        RESERVED,
    )
    assert values == {"upto": 20, "fragrance_load": 0.8, "thickener_level": None, "scent": "Scent 1"}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("upto", "NAME=VALUE"),
        ("uptoo=3", 'did you mean "upto"'),
        ("upto=abc", "upto is a whole number"),
        ("upto=2.5", "upto is a whole number"),
        ("upto=", "upto is a whole number"),
        ("fragrance_load=much", "fragrance_load is a number"),
        ("fragrance_load=nan", "fragrance_load is a number"),
        ("fragrance_load=inf", "fragrance_load is a number"),
        ("recipe=r2", "name the recipe itself"),
        ("workshop=x", "--workshop"),
        ("write_to=x", "--to"),
        ("__import__('os')=1", "knows no setting"),
    ],
)
def test_what_is_not_taken_is_said_in_a_sentence(text: str, says: str) -> None:
    with pytest.raises(NoticeError) as caught:
        read_settings([text], notebook_settings(REPORT), RESERVED)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_name_set_twice_is_refused() -> None:
    with pytest.raises(NoticeError, match="twice"):
        read_settings(["upto=3", "upto=4"], notebook_settings(REPORT), RESERVED)


def test_yes_and_no_are_read_and_nothing_else() -> None:
    setting = Setting("own", "bool", False, True, "own use")
    assert read_value(setting, "Yes") is True
    assert read_value(setting, "no") is False
    with pytest.raises(NoticeError, match="yes or no"):
        read_value(setting, "1")


@pytest.mark.parametrize("source", ["x = 3", "x: int = 1 + y\nx += 1", "import os", "x: int = = 1"])
def test_a_notebook_with_more_than_literals_is_refused(source: str, tmp_path: Path) -> None:
    path = tmp_path / "odd.ipynb"
    nbformat.write(
        nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source, metadata={"tags": ["parameters"]})]), path
    )
    with pytest.raises(NoticeError):
        notebook_settings(path)


def test_a_file_that_is_no_notebook_is_a_sentence(tmp_path: Path) -> None:
    path = tmp_path / "torn.ipynb"
    path.write_text('{"cells": [', encoding="utf-8")
    with pytest.raises(NoticeError, match="cannot be read as a notebook"):
        notebook_settings(path)
