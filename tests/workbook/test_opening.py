"""`maker-kit open` without a browser: copies that keep what a maker changed, a server that only this machine reaches,
sentences for what is wrong, and a quiet end.
"""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest

from maker_kit import cli
from maker_kit.errors import NoticeError
from maker_kit.workbook.run import opening, server, serving
from maker_kit.workbook.run.copies import COPIES, RECORD, clear_scratch, copy_notebooks, digest, was_changed

TOP = Path(__file__).resolve().parents[2]
ROOT = hasattr(os, "geteuid") and os.geteuid() == 0


def notebook(*sources: str, outputs: bool = False) -> bytes:
    cells = [
        nbformat.v4.new_code_cell(source, outputs=[nbformat.v4.new_output("stream", text="ran")] if outputs else [])
        for source in sources
    ]
    return nbformat.writes(nbformat.v4.new_notebook(cells=cells)).encode()


@pytest.fixture
def source(tmp_path: Path) -> Path:
    folder = tmp_path / "source"
    folder.mkdir()
    for name in ("a.ipynb", "b.ipynb"):
        (folder / name).write_bytes(notebook(f"# {name}"))
    return folder


# copies


def test_a_run_is_no_change_and_a_word_is() -> None:
    assert digest(notebook("x = 1")) == digest(notebook("x = 1", outputs=True))
    assert digest(notebook("x = 1")) != digest(notebook("x = 2"))
    assert digest(notebook("x", "y")) != digest(notebook("y", "x"))
    assert digest(b"spoilt") != digest(b"spoilt too")


def test_copies_are_made_and_the_originals_stay(source: Path, tmp_path: Path) -> None:
    before = {p.name: p.read_bytes() for p in source.iterdir()}
    done = copy_notebooks(source, tmp_path / "mine")
    assert done.own == ("a.ipynb", "b.ipynb")
    assert done.untouched == done.own
    assert (
        {p.name: p.read_bytes() for p in (tmp_path / "mine").glob("*.ipynb")}
        == before
        == {p.name: p.read_bytes() for p in source.iterdir()}
    )


def test_an_unchanged_copy_follows_the_original_even_if_it_was_run(source: Path, tmp_path: Path) -> None:
    copy_notebooks(source, tmp_path / "mine")
    (tmp_path / "mine" / "a.ipynb").write_bytes(notebook("# a.ipynb", outputs=True))
    (source / "a.ipynb").write_bytes(notebook("# newer"))
    assert copy_notebooks(source, tmp_path / "mine").changed == ()
    assert digest((tmp_path / "mine" / "a.ipynb").read_bytes()) == digest(notebook("# newer"))


def test_a_changed_copy_is_never_overwritten_and_what_is_newer_is_told(source: Path, tmp_path: Path) -> None:
    copy_notebooks(source, tmp_path / "mine")
    mine = notebook("# mine")
    (tmp_path / "mine" / "a.ipynb").write_bytes(mine)
    done = copy_notebooks(source, tmp_path / "mine")
    assert (done.changed, done.behind, done.untouched) == (("a.ipynb",), (), ("b.ipynb",))
    (source / "a.ipynb").write_bytes(notebook("# newer"))
    for _ in range(2):
        done = copy_notebooks(source, tmp_path / "mine")
        assert (done.changed, done.behind) == (("a.ipynb",), ("a.ipynb",))
        assert (tmp_path / "mine" / "a.ipynb").read_bytes() == mine
    (tmp_path / "mine" / "a.ipynb").rename(tmp_path / "mine" / "a kept.ipynb")
    assert copy_notebooks(source, tmp_path / "mine").changed == ()
    assert (tmp_path / "mine" / "a kept.ipynb").read_bytes() == mine


@pytest.mark.parametrize("record", [None, "", "[1]", "{", '{"a.ipynb": 5}'])
def test_without_a_record_whatever_differs_counts_as_changed(source: Path, tmp_path: Path, record: str | None) -> None:
    copy_notebooks(source, tmp_path / "mine")
    (tmp_path / "mine" / "a.ipynb").write_bytes(notebook("# mine"))
    (tmp_path / "mine" / RECORD).unlink()
    if record is not None:
        (tmp_path / "mine" / RECORD).write_text(record, encoding="utf-8")
    assert copy_notebooks(source, tmp_path / "mine").changed == ("a.ipynb",)
    assert digest((tmp_path / "mine" / "a.ipynb").read_bytes()) == digest(notebook("# mine"))


def test_a_copy_whose_original_is_gone_goes_unless_it_was_changed(source: Path, tmp_path: Path) -> None:
    copy_notebooks(source, tmp_path / "mine")
    (tmp_path / "mine" / "b.ipynb").write_bytes(notebook("# mine"))
    for path in source.iterdir():
        path.unlink()
    copy_notebooks(source, tmp_path / "mine")
    assert [p.name for p in (tmp_path / "mine").glob("*.ipynb")] == ["b.ipynb"]


def test_a_record_names_nothing_outside_of_its_folder(source: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.ipynb"
    other.write_bytes(notebook("# other"))
    copy_notebooks(source, tmp_path / "mine")
    (tmp_path / "mine" / RECORD).write_text(
        json.dumps({"../other.ipynb": digest(other.read_bytes())}), encoding="utf-8"
    )
    copy_notebooks(source, tmp_path / "mine")
    assert other.exists()


def test_a_folder_that_cannot_be_written_to_is_one_sentence(
    source: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(NoticeError, match="cannot be copied to"):
        copy_notebooks(source, tmp_path / "file")
    with pytest.raises(NoticeError, match="cannot be copied to"):
        copy_notebooks(source, tmp_path / "file" / "deeper")

    def full(self: Path, content: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(NoticeError, match="No space left on device"):
        copy_notebooks(source, tmp_path / "mine")
    assert not list((tmp_path / "mine").iterdir())


@pytest.mark.skipif(ROOT, reason="this user may write everywhere")
def test_a_read_only_folder_is_one_sentence(source: Path, tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir(mode=0o500)
    with pytest.raises(NoticeError, match="cannot be copied to"):
        copy_notebooks(source, tmp_path / "mine")


def test_a_scratch_folder_goes_unless_something_in_it_was_changed(source: Path, tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / name / "config").mkdir(parents=True)
        (tmp_path / name / "log.txt").write_text("", encoding="utf-8")
        copy_notebooks(source, tmp_path / name / COPIES)
    assert clear_scratch(source, tmp_path / "one") == []
    assert not (tmp_path / "one").exists()
    (tmp_path / "two" / COPIES / "new.ipynb").write_bytes(notebook("# new"))
    (tmp_path / "two" / COPIES / "a.ipynb").write_bytes(notebook("# mine"))
    assert (
        clear_scratch(source, tmp_path / "two")
        == ["a.ipynb", "new.ipynb"]
        == was_changed(source, tmp_path / "two" / COPIES)
    )
    assert [p.name for p in (tmp_path / "two").iterdir()] == [COPIES]


# what is given, and what is told


def test_a_port_that_is_taken_or_none_is_one_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert cli.main(["open", "--port", str(port), "--no-browser"]) == 1
    said = capsys.readouterr().err
    assert f"port {port} cannot be used" in said
    assert len(said.splitlines()) == 1
    for port in (0, -1, 65536):
        with pytest.raises(NoticeError, match="a number from 1 to 65535"):
            opening.free_port(port)


def test_without_a_browser_the_address_is_told(monkeypatch: pytest.MonkeyPatch, source: Path, tmp_path: Path) -> None:
    def none(*_: object) -> object:
        raise opening.webbrowser.Error

    monkeypatch.setattr(opening.webbrowser, "get", none)
    shown = server.Shown("a.ipynb", 1234, "secret")
    assert not opening._show(shown.address)
    told = opening.lines(shown, copy_notebooks(source, tmp_path / "mine"), seen=False)
    assert "no browser was found" in told[0]
    assert "http://127.0.0.1:1234/doc/tree/a.ipynb?token=secret" in told[1]


def test_a_browser_that_would_take_over_the_terminal_is_none_unless_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening.webbrowser, "get", lambda *_: opening.webbrowser.GenericBrowser("w3m"))
    monkeypatch.delenv("BROWSER", raising=False)
    assert not opening._show("http://127.0.0.1:1/")


def test_the_server_is_told_loopback_a_token_and_a_folder_and_nothing_on_its_command_line(
    monkeypatch: pytest.MonkeyPatch, source: Path, tmp_path: Path
) -> None:
    shown = server.Shown("a.ipynb", 1234, "secret")
    told = server.orders(shown, copy_notebooks(source, tmp_path / "mine"), tmp_path, tmp_path)
    words = serving.words(told)
    assert "--ServerApp.ip=127.0.0.1" in words
    assert "--IdentityProvider.token=secret" in words
    assert f"--ServerApp.root_dir={tmp_path / 'mine'}" in words
    assert "--ServerApp.allow_remote_access=False" in words
    started: list[list[str]] = []
    monkeypatch.setattr(subprocess, "Popen", lambda words, **_: started.append(words))
    server.start(tmp_path)
    assert "secret" not in " ".join(started[0])


def test_nothing_of_the_makers_own_settings_of_jupyter_is_passed_on(tmp_path: Path) -> None:
    given = {
        "JUPYTER_TOKEN": "",
        "JUPYTER_CONFIG_PATH": "/x",
        "JUPYTER_CONFIG_DIR": "/x",
        "JUPYTER_DATA_DIR": "/d",
        "JUPYTERLAB_DIR": "/x",
        "MAKER_KIT_HEADLESS": "1",
        "HOME": "/h",
    }
    kept = server.surroundings(tmp_path, given)
    assert kept["JUPYTER_NO_CONFIG"] == "1"
    assert "/x" not in kept.values()
    assert {"JUPYTER_TOKEN", "MAKER_KIT_HEADLESS"}.isdisjoint(kept)
    assert (kept["JUPYTER_DATA_DIR"], kept["HOME"]) == ("/d", "/h")


def test_a_server_that_does_not_come_up_is_one_sentence_and_leaves_nothing(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    real = subprocess.Popen
    monkeypatch.setattr(
        subprocess,
        "Popen",
        lambda words, **more: real([sys.executable, "-c", "raise SystemExit('no such luck')"], **more),
    )
    assert cli.main(["open", "--no-browser"]) == 1
    assert capsys.readouterr().err == "the notebooks are not open any more, or did not open: no such luck\n"
    assert not list(tmp_path.iterdir())


def test_ctrl_c_while_it_comes_up_ends_it_with_0_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def pressed(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    for module, name in ((opening, "wait"), (opening, "copy_notebooks"), (opening, "find_notebook")):
        monkeypatch.setattr(module, name, pressed)
        assert cli.main(["open", "--no-browser"]) == 0
    assert capsys.readouterr().err == ""
    assert not list(tmp_path.glob("maker-kit-*"))


def test_a_workshop_with_faults_is_told_and_nothing_stays_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    assert cli.main(["open", "--no-browser", "--workshop", str(tmp_path / "nowhere")]) == 1
    assert "no such folder" in capsys.readouterr().err
    assert not list(tmp_path.glob("maker-kit-*"))


# one server, started as a maker starts it, against settings of Jupyter that would open it to everybody


HOSTILE = {
    "ServerApp": {
        "ip": "0.0.0.0",
        "token": "",
        "password": "",
        "allow_root": True,
        "allow_remote_access": True,
        "allow_origin": "*",
        "disable_check_xsrf": True,
        "port": 1,
        "open_browser": True,
        "root_dir": "/",
    },
    "IdentityProvider": {"token": ""},
    "PasswordIdentityProvider": {"hashed_password": ""},
    "LabApp": {"default_url": "/nowhere", "token": ""},
}


def hostile_lines(mark: Path) -> str:
    """The same settings as a file of Python, which leaves a mark where it is run."""
    lines = [f"c.{part}.{name} = {value!r}" for part, settings in HOSTILE.items() for name, value in settings.items()]
    return "\n".join([f"open({str(mark)!r}, 'w').close()", "c = get_config()", *lines])


class Running:
    """`maker-kit open` as a process."""

    def __init__(self, place: Path, words: list[str], environment: dict[str, str]) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "maker_kit.cli", "open", "--no-browser", *words],
            cwd=place,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            bufsize=1,
        )
        self.said: list[str] = []
        while not self.said or "Ctrl-C" not in self.said[-1]:
            line = self.process.stdout.readline()
            assert line, self.process.stderr.read()
            self.said.append(line)
        found = re.search(r"http://127\.0\.0\.1:(\d+)/doc/tree/(\S+)\?token=(\S+)", "".join(self.said))
        self.port, self.shown, self.token = int(found[1]), found[2], found[3]

    def asked(self, path: str, **headers: str) -> tuple[int, str]:
        with contextlib.closing(http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)) as line:
            line.request("GET", path, headers=headers)
            answer = line.getresponse()
            return answer.status, answer.read().decode()

    def stop(self, word: int = signal.SIGINT) -> str:
        self.process.send_signal(word)
        out, err = self.process.communicate(timeout=60)
        assert self.process.returncode == 0
        assert err == ""
        return out


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("typed here")
    cli.main(["new", str(place / "my-workshop")])
    return place


@pytest.fixture(scope="module")
def environment(place: Path) -> dict[str, str]:
    for folder in ("config", "path", "home/.jupyter", "scratch"):
        (place / folder).mkdir(parents=True)
        for name in ("jupyter_config", "jupyter_server_config", "jupyter_lab_config"):
            (place / folder / f"{name}.json").write_text(json.dumps(HOSTILE), encoding="utf-8")
            (place / folder / f"{name}.py").write_text(hostile_lines(place / "ran.txt"), encoding="utf-8")
            (place / folder / f"{name}.d").mkdir()
            (place / folder / f"{name}.d" / "more.json").write_text(json.dumps(HOSTILE), encoding="utf-8")
    shutil.rmtree(place / "scratch")
    (place / "scratch").mkdir()
    return {
        **os.environ,
        "HOME": str(place / "home"),
        "JUPYTER_CONFIG_DIR": str(place / "config"),
        "JUPYTER_CONFIG_PATH": str(place / "path"),
        "JUPYTER_TOKEN": "",
        "TMPDIR": str(place / "scratch"),
        "http_proxy": "http://127.0.0.1:9",
        "JUPYTER_DATA_DIR": str(place / "data"),
    }


@pytest.fixture(scope="module")
def running(place: Path, environment: dict[str, str]) -> Iterator[Running]:
    running = Running(place, ["02_make_or_buy", "--workshop", "my-workshop"], environment)
    yield running
    if running.process.poll() is None:
        running.process.kill()
        running.process.communicate()


@pytest.mark.skipif(os.name != "posix", reason="asks the machine who listens, as Linux tells it")
def test_it_listens_on_this_machine_only_whatever_the_makers_settings_say(running: Running, place: Path) -> None:
    assert not (place / "ran.txt").exists()
    assert running.asked("/api/contents")[0] == 403
    assert running.asked("/api/contents", Authorization="token ")[0] == 403
    assert running.asked("/api/contents", Authorization=f"token {running.token}")[0] == 200
    assert running.asked("/api/contents", Authorization=f"token {running.token}", Host="elsewhere.example")[0] == 403
    tables = Path("/proc/net/tcp"), Path("/proc/net/tcp6")
    listening = [
        line.split()[1]
        for table in tables
        if table.exists()
        for line in table.read_text(encoding="ascii").splitlines()[1:]
        if line.split()[3] == "0A"
    ]
    assert [address for address in listening if address.endswith(f":{running.port:04X}")] == [
        f"0100007F:{running.port:04X}"
    ]  # 127.0.0.1, as the kernel writes it


def test_a_relative_workshop_is_served_from_copies_of_its_own(running: Running, place: Path) -> None:
    assert len(running.said) == 2
    assert running.shown == "02_make_or_buy.ipynb"
    folder = place / "my-workshop" / COPIES
    assert {p.name for p in folder.glob("*.ipynb")} == {p.name for p in (TOP / "notebooks").glob("*.ipynb")}
    names = {
        one["name"]
        for one in json.loads(running.asked("/api/contents", Authorization=f"token {running.token}")[1])["content"]
    }
    assert "00_start_here.ipynb" in names
    sessions = json.loads(running.asked("/api/sessions", Authorization=f"token {running.token}")[1])
    assert [one["path"] for one in sessions] == ["02_make_or_buy.ipynb"]
    assert cli.main(["check", str(place / "my-workshop")]) == 0


def test_ctrl_c_ends_it_with_0_and_nothing_stays_behind(running: Running, place: Path) -> None:
    assert running.stop() == ""
    assert not list((place / "scratch").glob("maker-kit-*"))
    end = time.monotonic() + 10
    with socket.socket() as probe:
        while probe.connect_ex(("127.0.0.1", running.port)) == 0:
            assert time.monotonic() < end
    assert (place / "my-workshop" / COPIES / "02_make_or_buy.ipynb").is_file()


@pytest.mark.skipif(os.name != "posix", reason="a command that is killed, as Linux kills it")
def test_a_command_that_was_killed_leaves_no_server_and_no_scratch_folder(
    place: Path, environment: dict[str, str]
) -> None:
    killed = Running(place, [], environment)
    killed.process.kill()
    killed.process.communicate()
    end = time.monotonic() + 30
    while list((place / "scratch").glob("maker-kit-*")):
        assert time.monotonic() < end
        time.sleep(0.1)
    with pytest.raises(OSError, match="refused"):
        killed.asked("/api")


@pytest.mark.slow
def test_a_report_takes_a_relative_workshop(place: Path) -> None:
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "maker_kit.cli",
            "report",
            "r4-balm",
            "--set",
            "upto=4",
            "--set",
            "batches=3",
            "--workshop",
            "my-workshop",
            "--to",
            "reports",
        ],
        cwd=place,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert (place / "reports" / "r4-balm.html").is_file()
