"""What the start of the opened notebooks goes without: it fetches no grammar, asks no Node.js and reads no tables."""

from __future__ import annotations

import gc
import os
import shutil
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import nbformat
import pytest

from maker_kit.collecting import seldom_collected
from maker_kit.workbook.run import lean, serving, warm


def test_no_program_is_in_reach_for_as_long_as_it_is_asked(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    program = tmp_path / "anything"
    program.write_text("#!/bin/sh\n")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    with lean.out_of_reach():
        assert shutil.which("anything") is None
    assert shutil.which("anything") == str(program)
    monkeypatch.delenv("PATH")
    with lean.out_of_reach():
        assert shutil.which("sh") is None
    assert "PATH" not in os.environ


@pytest.mark.skipif(os.name == "nt", reason="the stand-in for Node.js is a script of a shell")
def test_the_server_builds_no_grammar_and_asks_no_node(tmp_path: Path) -> None:
    for name in ("node", "nodejs"):
        (tmp_path / name).write_text(f"#!/bin/sh\necho asked > {tmp_path / 'asked'}\n")
        (tmp_path / name).chmod(0o755)
    words = (
        "import sys; from maker_kit.workbook.run import serving; assert serving.main() == 0;"
        "sys.exit('jupyterlab.labapp' not in sys.modules or 'lark' in sys.modules)"
    )
    surroundings = {
        **os.environ,
        "PATH": f"{tmp_path}{os.pathsep}{os.environ['PATH']}",
        "JUPYTER_CONFIG_DIR": str(tmp_path / "config"),
    }
    ended = subprocess.run([sys.executable, "-c", words], stdin=subprocess.DEVNULL, cwd=tmp_path, env=surroundings)
    assert ended.returncode == 0
    assert not (tmp_path / "asked").exists()


def test_the_command_that_opens_fetches_nothing_that_reads_tables() -> None:
    words = (
        "import sys; from maker_kit.workbook.run import opening;"
        "sys.exit(any(name in sys.modules for name in ('pandas', 'numpy', 'maker_kit.workshop')))"
    )
    assert subprocess.run([sys.executable, "-c", words], check=False).returncode == 0


def test_the_first_notebook_is_signed_at_once_and_every_other_soon_after(tmp_path: Path) -> None:
    names = ["b.ipynb", "a.ipynb", "c.ipynb"]
    for name in names:
        nbformat.write(nbformat.v4.new_notebook(metadata={"name": name}), tmp_path / name)
    signed, later = [], []
    server = SimpleNamespace(
        contents_manager=SimpleNamespace(notary=SimpleNamespace(sign=lambda nb: signed.append(nb.metadata["name"]))),
        io_loop=SimpleNamespace(call_later=lambda seconds, call, *given: later.append((seconds, call, given))),
    )
    serving._trust(server, {"first": "a.ipynb", "folder": str(tmp_path), "untouched": names})
    assert signed == ["a.ipynb"]
    for _, call, given in later:
        call(*given)
    assert sorted(signed) == sorted(names)
    assert all(0 < seconds < 1 for seconds, *_ in later)  # before a page that is reloaded can ask for it
    signed.clear()
    serving._trust(server, {"first": "a.ipynb", "folder": str(tmp_path), "untouched": []})
    assert signed == []


def test_a_session_starts_whatever_is_wrong_with_the_workshop(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    seen = []
    monkeypatch.setattr(warm, "_look", lambda: seen.append(1) or 1 / 0)
    warm.fetch()
    monkeypatch.undo()
    monkeypatch.setenv("MAKER_KIT_WORKSHOP", str(tmp_path / "is not there"))
    warm.fetch()
    assert seen == [1]
    apart = gc.get_freeze_count()
    assert apart > 10_000  # what was fetched is not looked over for garbage while a slider waits
    with seldom_collected():
        pass
    assert gc.get_freeze_count() > apart // 2  # but for a few that nobody holds any more
