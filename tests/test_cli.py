"""The shell's verbs: what they answer, what they refuse, and how they end."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from maker_kit import cli
from maker_kit.bench.log import open_log
from maker_kit.workshop import new_workshop

README = Path(__file__).resolve().parents[1] / "README.md"


def test_check_says_what_it_read_and_exits_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["check"]) == 0
    said = capsys.readouterr().out
    assert "8 recipes" in said
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


def test_judge_says_first_what_stops_and_folds_what_is_good_to_know(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["judge", "r4-balm"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert re.fullmatch(
        r"Hand and heel balm: nothing stops this recipe, \d+ to look at; law as of 20\d\d-\d\d-\d\d", lines[0]
    )
    assert {line.split()[0] for line in lines if re.match("  [a-z]", line)} == {"look", "and"}
    known = int(re.search(r"and (\d+) more to know", lines[-1])[1])
    assert cli.main(["judge", "r4-balm", "--all"]) == 0
    everything = capsys.readouterr().out.splitlines()
    assert sum(line.startswith("  know") for line in everything) == known
    assert all(len(line) <= 110 for line in everything)


def test_judge_of_all_recipes_ends_with_1_where_one_is_stopped(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["judge"]) == 1
    said = capsys.readouterr().out
    assert len(re.findall(r"(?m)^\S.*this recipe, ", said)) == 8
    assert "stop this recipe" in said or "stops this recipe" in said


def test_judge_names_the_nearest_recipe(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["judge", "r4-blam"]) == 1
    assert 'did you mean "r4-balm"' in capsys.readouterr().err


def test_open_names_the_nearest_notebook(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["open", "01_formul"]) == 1
    assert 'did you mean "01_formula.ipynb"' in capsys.readouterr().err


@pytest.mark.parametrize("verb", [["check", "mine"], ["judge", "--workshop", "mine"], ["report", "r4-balm"]])
def test_a_folder_that_is_gone_is_told(
    verb: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "gone").mkdir()
    monkeypatch.chdir(tmp_path / "gone")
    (tmp_path / "gone").rmdir()
    assert cli.main(verb) == 1
    assert "is not there any more" in capsys.readouterr().err


def test_words_the_shell_does_not_know_end_with_2() -> None:
    with pytest.raises(SystemExit) as caught:
        cli.main(["reprot"])
    assert caught.value.code == 2


def own_log(folder: Path) -> None:
    """A workshop with a log: one lot, one batch, two units, one of them given away."""
    new_workshop(folder)
    with open_log(folder, make=True) as log:
        log.add("lot", code="N-0417", item="Propanediol")
        log.add("batch", number="R2-07", recipe="r2-gel-cream", version="v", containers=2, made_on="2026-11-02")
        log.add("weighing", batch="R2-07", item="Propanediol", lot="N-0417", mass_mg=20_000)
        for k in (1, 2):
            log.add("unit", batch="R2-07", code=f"R2-07/{k}")
        log.add("gone", unit="R2-07/1", place="a cousin", use="gift", gone_on="2026-11-03")


def test_sheet_trace_letter_and_log_by_the_shell(tmp_path: Path, capsys) -> None:
    own = tmp_path / "own"
    own_log(own)
    assert cli.main(["check", str(own)]) == 0  # the log and its tables are no faults of the workshop
    assert cli.main(["sheet", "r2-gel-cream", "--containers", "4", "--workshop", str(own), "--to", str(tmp_path)]) == 0
    assert {p.suffix for p in tmp_path.glob("r2-gel-cream-sheet.*")} == {".pdf", ".html"}
    capsys.readouterr()
    assert cli.main(["trace", "N-0417", "--workshop", str(own)]) == 0
    said = capsys.readouterr().out
    assert "1 a cousin" in said
    assert "1 not handed out" in said
    assert cli.main(["trace", "n-0417", "--letter", "--why", "splinters", "--workshop", str(own)]) == 0
    letter = capsys.readouterr()
    assert "a cousin: 1 (R2-07/1)" in letter.out
    assert "splinters" in letter.out
    assert "1223/2009" in letter.err  # the duty is told to the maker, not to the cousin
    assert "1223/2009" not in letter.out
    assert cli.main(["log", "--workshop", str(own)]) == 0
    assert "2 unit" in capsys.readouterr().out
    assert cli.main(["trace", "N-0418", "--workshop", str(own)]) == 1
    assert 'did you mean "N-0417"' in capsys.readouterr().err


def test_a_workshop_without_a_log_says_so(tmp_path: Path, capsys) -> None:
    new_workshop(tmp_path / "own")
    assert cli.main(["trace", "N-0417", "--letter", "--workshop", str(tmp_path / "own")]) == 1
    assert len(capsys.readouterr().err.splitlines()) == 1


def test_every_verb_stands_in_the_readme_and_has_help(capsys: pytest.CaptureFixture[str]) -> None:
    text = README.read_text(encoding="utf-8")
    (verbs,) = (action.choices for action in cli.build_parser()._actions if action.dest == "verb")
    assert len(verbs) == 13
    for verb in verbs:
        assert f"maker-kit {verb}" in text
        with pytest.raises(SystemExit) as ended:
            cli.main([verb, "--help"])
        told = capsys.readouterr().out
        assert (ended.value.code, told.startswith(f"usage: maker-kit {verb}")) == (0, True)
        about = {action.dest: action.help for action in verbs[verb]._actions}
        assert all(about.values()), about  # each word that it takes says what it means


def shown(kind: str) -> list[list[str]]:
    """The lines of every block of one kind that the README shows."""
    return [block.splitlines() for block in re.findall(rf"(?ms)^```{kind}\n(.*?)^```", README.read_text("utf-8"))]


def test_the_readme_opens_with_two_commands_a_picture_and_lines_for_windows() -> None:
    text = README.read_text(encoding="utf-8")
    assert [len(block) for block in shown("sh")] == [1, 1]
    name = re.search(r"(?s)!\[([^\]]+)\]\(([^)]+)\)", text)
    picture = README.parent / name[2]
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert picture.stat().st_size < 200_000
    assert text.index(name[0]) < text.index("```sh")
    (windows,) = shown("powershell")
    unix = shown("sh")[0][0].split(" && ")
    for here, there in zip(windows, unix, strict=True):  # the same words, with the other system's names of programs
        assert here.replace("py -3.11", "python3").replace("\\", "/").replace("Scripts", "bin") == there


def test_the_readme_is_prose_for_a_narrow_window() -> None:
    free = re.sub(r"(?ms)^```.*?^```|^\|.*?$", "", README.read_text(encoding="utf-8"))
    assert [line for line in free.splitlines() if len(line) > 104] == []


def test_what_the_readme_shows_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    lines = [line.removeprefix("$ .venv/bin/maker-kit ") for block in shown("console") for line in block]
    assert all(not line.startswith("$") for line in lines)
    ends = {line: cli.main(line.split()) for line in lines if not line.startswith("open")}
    assert set(ends.values()) == {0}, capsys.readouterr().err
    assert {p.name for p in (tmp_path / "reports").glob("*.html")} == {
        "r2-gel-cream.html",
        "r4-balm.html",
        "r1b-hand-wash.html",
        "r1b-hand-wash-decision.html",
    }


def test_new_empty_is_headings_only_and_reads(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["new", str(tmp_path / "mine"), "--empty"]) == 0
    assert cli.main(["check", str(tmp_path / "mine")]) == 0
    assert "0 recipes" in capsys.readouterr().out
