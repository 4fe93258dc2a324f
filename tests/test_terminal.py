"""What the shell shows whatever it is given and wherever it writes: sentences, never a traceback."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from maker_kit import cli, terminal
from maker_kit.__main__ import main
from maker_kit.errors import NoticeError
from maker_kit.visible import steering, unsteered, visible

LONG = "x" * 5_000
SHELL = [sys.executable, "-m", "maker_kit"]


@pytest.mark.parametrize("encoding", ["cp1252", "cp437", "ascii"])
def test_an_output_of_few_signs_shows_all_of_a_sentence(monkeypatch: pytest.MonkeyPatch, encoding: str) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding=encoding))
    terminal.prepare()
    terminal.say("75 °C – “Crème” × 2 ≤ 3 …, 日本, ■ STOP")
    terminal._finish()
    told = raw.getvalue().decode(encoding)
    assert "75" in told
    assert "STOP" in told
    assert "\\u65e5\\u672c" in told  # what nothing is like is written out
    assert "Cr" in told
    assert "me" in told
    monkeypatch.undo()


def test_the_fold_keeps_letters_and_writes_out_the_rest() -> None:
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="ascii", errors=terminal.FOLDED)
    out.write("é – Ω")
    out.flush()
    assert raw.getvalue() == b"e - \\u03a9"


class Full(io.StringIO):
    def __init__(self, error: OSError) -> None:
        super().__init__()
        self.error = error

    def write(self, text: str) -> int:
        raise self.error


@pytest.mark.parametrize(
    ("error", "told"),
    [(BrokenPipeError(32, "Broken pipe"), "closed the output"), (OSError(28, "No space left"), "room")],
)
def test_a_closed_and_a_full_output_end_in_a_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], error: OSError, told: str
) -> None:
    monkeypatch.setattr(sys, "stdout", Full(error))
    assert cli.main(["judge", "r4-balm"]) == 1
    monkeypatch.undo()
    assert told in capsys.readouterr().err


def test_without_any_output_it_ends_with_a_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert cli.main(["judge", "r4-balm"]) == 1
    monkeypatch.undo()
    assert "nowhere to write" in capsys.readouterr().err


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
def test_a_full_device_by_the_shell() -> None:
    with Path("/dev/full").open("w") as full:
        ended = subprocess.run([*SHELL, "--help"], stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert ended.returncode == 1
    assert ended.stderr.startswith("not all could be written")
    assert "Traceback" not in ended.stderr
    assert "Exception" not in ended.stderr


def test_orders_to_the_screen_are_written_out(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["judge", "\x1b[31mred\x07\u202e\r"]) == 1
    told = capsys.readouterr().err
    assert "\\x1b[31mred\\x07\\u202e" in told
    assert "\x1b" not in told
    with pytest.raises(SystemExit):
        cli.main(["judge", "--\x1b[2J"])
    assert "\x1b" not in capsys.readouterr().err


def test_signs_that_steer_are_told_from_letters() -> None:
    assert steering("Crème brûlée, Ωmega\u00a0§ \u200d") == ""
    assert steering("two\nlines\tand a tab") == ""
    assert steering("a\u202eb") == "\\u202e"
    assert steering("a\x1b[0m") == "\\x1b"
    assert unsteered("one\rtwo\nthree") == "one\\rtwo\nthree"
    assert visible("a\x00b") == "a\\x00b"


WORDS = [
    ["judge", LONG],
    ["report", LONG],
    ["report", "../packs"],
    ["report", "/etc/passwd"],
    ["decide", "../x"],
    ["sheet", "../x"],
    ["open", LONG],
    ["check", LONG],
    ["log", "--workshop", f"/{LONG}"],
    ["new", f"/{LONG}"],
    ["report", "r4-balm", "--set", "upto=4_5"],
    ["report", "r4-balm", "--set", "upto=٣"],
    ["report", "r4-balm", "--set", f"{LONG}=3"],
    ["report", "r4-balm", "--seconds", "1_0"],
]


@pytest.mark.parametrize("words", WORDS, ids=lambda words: " ".join(words)[:40])
def test_names_that_are_none_end_in_one_short_sentence(
    words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(words) == 1
    told = "".join(capsys.readouterr())
    assert told.strip()
    assert max(map(len, told.splitlines())) < 700
    assert not list(tmp_path.rglob("*.html"))
    assert not [path for path in tmp_path.rglob("*") if path.name not in ("reports", "sheets")]


@pytest.mark.parametrize("text", ["1_0", "٣", "1.0", "", "0x10", LONG])
def test_a_count_is_in_digits(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        cli.main(["sheet", "r4-balm", "--containers", text])
    assert "whole number" in capsys.readouterr().err


@pytest.mark.skipif(os.name != "posix", reason="elsewhere no folder goes while somebody stands in it")
@pytest.mark.parametrize(
    "words",
    [
        ["report", "r4-balm"],
        ["sheet", "r4-balm"],
        ["decide", "r4-balm"],
        ["check", "x"],
        ["new", "x"],
        ["report", "r4-balm", "--to"],
    ],
)
def test_a_folder_that_is_gone_is_told(
    words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    assert cli.main([*words, str(tmp_path / "o")] if words[-1] == "--to" else words) == 1
    assert "is not there any more" in capsys.readouterr().err


def test_a_place_that_no_folder_can_have_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["sheet", "r4-balm", "--to", "a\0b"]) == 1
    assert "choose another folder with --to" in capsys.readouterr().err


def test_capitals_name_the_same_recipe(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from maker_kit.workbook.run import report

    asked = []

    def run(*_: object, **__: object) -> None:
        asked.append(_[2]["recipe"])
        msg = "enough"
        raise NoticeError(msg)

    monkeypatch.setattr(report, "run_notebook", run)
    with pytest.raises(NoticeError, match="enough"):
        report.write_reports(["R4-BALM"], "", [], tmp_path, progress=False)
    assert asked == ["r4-balm"]
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("where", ["build_parser", "_judge"])
def test_ctrl_c_ends_in_a_sentence_wherever_it_comes(
    where: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(*_: object) -> int:
        raise KeyboardInterrupt

    before = signal.getsignal(signal.SIGINT)
    try:
        monkeypatch.setattr(cli, where, stopped)
        assert cli.main(["judge"]) == 1
    finally:
        signal.signal(signal.SIGINT, before)
    assert capsys.readouterr().err == "stopped; nothing was left half written\n"


@pytest.mark.parametrize(("verb", "code", "told"), [("judge", 1, "stopped before it began\n"), ("open", 0, "")])
def test_ctrl_c_while_the_verbs_are_fetched_ends_in_a_sentence(
    verb: str, code: int, told: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Stopped:
        def find_spec(self, name: str, *_: object) -> None:
            if name == "maker_kit.cli":
                raise KeyboardInterrupt

    monkeypatch.setattr(sys, "argv", ["maker-kit", verb])
    monkeypatch.setattr(sys, "meta_path", [Stopped(), *sys.meta_path])
    monkeypatch.delitem(sys.modules, "maker_kit.cli")
    assert main() == code
    assert capsys.readouterr().err == told


def test_ctrl_c_while_a_class_is_made_is_no_other_fault(capsys: pytest.CaptureFixture[str]) -> None:
    # Python 3.11 raises RuntimeError from whatever comes while it names the parts of a class
    def wrapped() -> int:
        raise RuntimeError from KeyboardInterrupt()

    def broken() -> int:
        raise RuntimeError

    before = signal.getsignal(signal.SIGINT)
    try:
        assert terminal.ended(wrapped, lambda: False, last=False) == 1
        with pytest.raises(RuntimeError):
            terminal.ended(broken, lambda: False, last=False)
    finally:
        signal.signal(signal.SIGINT, before)
    assert capsys.readouterr().err == "stopped; nothing was left half written\n"


@pytest.mark.skipif(os.name != "posix", reason="signals are sent otherwise elsewhere")
def test_ctrl_c_while_it_works_shows_no_traceback() -> None:
    running = subprocess.Popen([*SHELL, "judge"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    end = time.monotonic() + 30
    while running.poll() is None and "maker_kit" not in _maps(running.pid) and time.monotonic() < end:
        time.sleep(0.02)
    time.sleep(0.3)
    running.send_signal(signal.SIGINT)
    told = running.communicate(timeout=60)[1]
    assert "Traceback" not in told


def _maps(pid: int) -> str:
    """What a process has open of numpy's; by then our own code runs."""
    try:
        return "maker_kit" if "numpy" in Path(f"/proc/{pid}/maps").read_text() else ""
    except OSError:
        return "maker_kit"


def test_what_goes_wrong_with_a_file_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refused(_: object) -> int:
        raise PermissionError(13, "Permission denied", "/somewhere")

    monkeypatch.setattr(cli, "_judge", refused)
    assert cli.main(["judge"]) == 1
    assert capsys.readouterr().err.startswith("/somewhere cannot be used: Permission denied")


def test_a_line_to_nowhere_is_a_notice() -> None:
    with pytest.raises(NoticeError):
        terminal.say("x", file=Full(OSError(5, "gone")))
