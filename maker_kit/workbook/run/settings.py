"""The names a notebook takes, read from its first lines, and the texts of ``--set`` as values of the right type."""

from __future__ import annotations

import ast
import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from maker_kit.errors import NoticeError, short
from maker_kit.names import near_miss
from maker_kit.workbook.shown.sentences import TYPES


@dataclass(frozen=True)
class Setting:
    """One name that a notebook takes.

    Attributes
    ----------
    name : str
    type : {'int', 'float', 'str', 'bool'}
    optional : bool
        Whether it may stay unset (None).
    default : object
    meaning : str
        What it is, with its unit.
    """

    name: str
    type: str
    optional: bool
    default: Any
    meaning: str


def notebook_settings(notebook: Path) -> dict[str, Setting]:
    """The settings a notebook declares in its cell tagged ``parameters``, literals only.

    A line reads ``name: type = value  # meaning [unit]``.

    Parameters
    ----------
    notebook : pathlib.Path

    Returns
    -------
    dict of str to Setting

    Raises
    ------
    NoticeError
        If the file is no notebook, or the cell is missing or holds anything but such lines.
    """
    try:
        cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
        source = next(
            "".join(cell["source"]) for cell in cells if "parameters" in cell.get("metadata", {}).get("tags", [])
        )
    except (OSError, ValueError, KeyError, StopIteration) as error:
        why = error.__class__.__name__
        raise NoticeError(
            f"{notebook.name} cannot be read as a notebook that takes settings ({why}); take a fresh copy of it"
        ) from error
    found: dict[str, Setting] = {}
    lines = source.splitlines()
    try:
        body = ast.parse(source).body
    except SyntaxError as error:
        raise NoticeError(
            f"{notebook.name}: its settings cannot be read (line {error.lineno}); take a fresh copy of it"
        ) from error
    for node in body:
        if not isinstance(node, ast.AnnAssign) or not isinstance(node.target, ast.Name) or node.value is None:
            found_line = lines[node.lineno - 1]
            msg = f"{notebook.name}: a setting is written 'name: type = value  # meaning', found: {found_line}"
            raise NoticeError(msg)
        try:
            default = ast.literal_eval(node.value)
        except ValueError as error:
            raise NoticeError(
                f"{notebook.name}: a setting is a plain value, not worked out from others: {lines[node.lineno - 1]}"
            ) from error
        kinds = ast.unparse(node.annotation).split(" | ")
        meaning = lines[node.end_lineno - 1].partition("#")[2].strip() if node.end_lineno else ""
        found[node.target.id] = Setting(node.target.id, kinds[0], "None" in kinds, default, meaning)
    return found


def read_value(setting: Setting, text: str) -> Any:
    """One text as a value of the setting's type.

    Raises
    ------
    NoticeError
        If the text is not of that type; "none" unsets an optional setting.
    """
    plain = text.strip()
    if setting.optional and plain.casefold() in {"none", ""}:
        return None
    msg = f'{setting.name} is {TYPES[setting.type]} ({setting.meaning}), not "{short(text)}"'
    if setting.type in ("int", "float") and not (plain.isascii() and "_" not in plain):
        raise NoticeError(msg)
    try:
        if setting.type == "int":
            return int(plain)
        if setting.type == "float":
            number = float(plain)
            if not math.isfinite(number):
                raise NoticeError(msg)
            return number
    except ValueError as error:
        raise NoticeError(msg) from error
    if setting.type == "bool":
        if plain.casefold() not in {"yes", "no", "true", "false"}:
            raise NoticeError(msg)
        return plain.casefold() in {"yes", "true"}
    return text


def read_settings(texts: Iterable[str], known: Mapping[str, Setting], reserved: Mapping[str, str]) -> dict[str, Any]:
    """The texts of ``--set NAME=VALUE`` as values.

    Parameters
    ----------
    texts : iterable of str
    known : Mapping of str to Setting
        What the notebook takes.
    reserved : Mapping of str to str
        Names that are set another way, with that way.

    Returns
    -------
    dict of str to object

    Raises
    ------
    NoticeError
        If a text has no "=", a name is unknown, reserved or given twice, or a value has the wrong type.
    """
    values: dict[str, Any] = {}
    free = [name for name in known if name not in reserved]
    for text in texts:
        name, equals, value = text.partition("=")
        name = name.strip()
        if not equals:
            raise NoticeError(f'--set takes NAME=VALUE, such as "upto=20", not "{short(text)}"')
        if name in reserved:
            raise NoticeError(f'"{name}" is not set with --set: {reserved[name]}')
        if name not in known:
            raise NoticeError(f'the report knows no setting "{short(name)}": {near_miss(name, free)}')
        if name in values:
            raise NoticeError(f'"{name}" is set twice; set it once')
        values[name] = read_value(known[name], value)
    return values
