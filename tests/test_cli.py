"""The shell's verbs: what they answer, what they refuse, and how they end."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from maker_kit import cli

README = Path(__file__).resolve().parents[1] / "README.md"


def test_check_says_what_it_read_and_exits_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["check"]) == 0
    said = capsys.readouterr().out
    assert "7 recipes" in said
    assert "2 kits" in said


def test_check_prints_every_fault_at_once_and_exits_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["new", str(tmp_path / "mine")]) == 0
    packs = tmp_path / "mine" / "packs.csv"
    packs.write_text(packs.read_text(encoding="utf-8").replace("Glycerin", "Glycerine"), encoding="utf-8")
    lines = tmp_path / "mine" / "recipes" / "r4-balm.csv"
    lines.write_text(lines.read_text(encoding="utf-8").replace("16.00", "15.00"), encoding="utf-8")
    capsys.readouterr()
    assert cli.main(["check", str(tmp_path / "mine")]) == 1
    said = capsys.readouterr().out
    assert "packs.csv, row" in said
    assert 'did you mean "Glycerin"' in said
    assert "r4-balm" in said
    assert said.strip().splitlines()[-1].split()[1].startswith("fault")


def test_new_makes_a_workshop_that_reads_and_never_overwrites(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "mine"
    assert cli.main(["new", str(folder)]) == 0
    assert cli.main(["check", str(folder)]) == 0
    (folder / "packs.csv").write_text("mine", encoding="utf-8")
    assert cli.main(["new", str(folder)]) == 1
    assert (folder / "packs.csv").read_text(encoding="utf-8") == "mine"
    assert "nothing is ever overwritten" in capsys.readouterr().err


def test_open_names_the_nearest_notebook(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["open", "01_formul"]) == 1
    assert 'did you mean "01_formula.ipynb"' in capsys.readouterr().err


def test_open_starts_the_notebooks_on_the_workshop(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    seen: list[tuple[list[str], dict[str, str]]] = []
    monkeypatch.setattr(subprocess, "call", lambda words, env: seen.append((words, env)) or 0)
    cli.main(["new", str(tmp_path / "mine")])
    assert cli.main(["open", "02_make_or_buy", "--workshop", str(tmp_path / "mine")]) == 0
    words, environment = seen[0]
    assert "--LabApp.default_url=/lab/tree/02_make_or_buy.ipynb" in words
    assert Path(environment["MAKER_KIT_WORKSHOP"]) == tmp_path / "mine"


def test_open_takes_a_workshop_named_from_where_the_maker_stands(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    seen = []
    monkeypatch.setattr(subprocess, "call", lambda words, env: seen.append(env) or 0)
    monkeypatch.chdir(tmp_path)
    assert cli.main(["new", "my-workshop"]) == 0
    assert cli.main(["open", "--workshop", "my-workshop", "--no-browser"]) == 0
    assert seen[0]["MAKER_KIT_WORKSHOP"] == str(tmp_path / "my-workshop")  # the notebooks run in their own folder


def test_words_the_shell_does_not_know_end_with_2() -> None:
    with pytest.raises(SystemExit) as caught:
        cli.main(["reprot"])
    assert caught.value.code == 2


def test_every_verb_stands_in_the_readme_and_has_help() -> None:
    text = README.read_text(encoding="utf-8")
    for verb in ("open", "report", "check", "new"):
        assert f"maker-kit {verb}" in text
        done = subprocess.run(
            [sys.executable, "-m", "maker_kit.cli", verb, "--help"], capture_output=True, text=True, check=True
        )
        assert "usage" in done.stdout
