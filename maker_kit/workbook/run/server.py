"""The server of the notebooks as the command sees it: started in a scratch folder, told what to serve, waited for, and
stopped.
"""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import subprocess
import sys
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from maker_kit.errors import NoticeError
from maker_kit.scratch import new_room
from maker_kit.workbook.run.copies import Copies

LOOPBACK = "127.0.0.1"
PATIENCE = 90.0
"""How long the notebooks may take to start [s]."""
LEAVE = 15.0
"""How long the notebooks may take to stop before they are ended [s]."""
LOG = "log.txt"
PASSED_ON = {"JUPYTER_PATH", "JUPYTER_DATA_DIR", "JUPYTER_PLATFORM_DIRS"}
"""What of the surroundings may still say where things are kept; everything else of Jupyter's is left out."""


@dataclass(frozen=True)
class Shown:
    """What is shown, and where.

    Attributes
    ----------
    first : str
        File name of the notebook shown first.
    port : int
        Port of this machine.
    token : str
        What the address must carry; a new one each time.
    """

    first: str
    port: int
    token: str

    @property
    def address(self) -> str:
        """Where the browser finds it."""
        return f"http://{LOOPBACK}:{self.port}/doc/tree/{quote(self.first)}?token={self.token}"


def orders(shown: Shown, copies: Copies, workshop: Path | None, room: Path) -> dict[str, Any]:
    """What the server is told, once it has come up."""
    return {
        "first": shown.first,
        "port": shown.port,
        "token": shown.token,
        "folder": str(copies.folder),
        "own": list(copies.own),
        "untouched": list(copies.untouched),
        "workshop": str(workshop or ""),
        "room": str(room),
    }


def surroundings(room: Path, given: Mapping[str, str]) -> dict[str, str]:
    """The environment that the server runs in: nothing of the maker's own settings of Jupyter.

    Parameters
    ----------
    room : pathlib.Path
        Scratch folder.
    given : Mapping of str to str
        The environment of this command.

    Returns
    -------
    dict of str to str
    """
    kept = {name: value for name, value in given.items() if not name.startswith("JUPYTER") or name in PASSED_ON}
    kept.pop("MAKER_KIT_HEADLESS", None)
    rooms = {
        "JUPYTER_CONFIG_DIR": "config",
        "JUPYTER_RUNTIME_DIR": "runtime",
        "JUPYTERLAB_SETTINGS_DIR": "settings",
        "JUPYTERLAB_WORKSPACES_DIR": "workspaces",
    }
    return {
        **kept,
        "JUPYTER_NO_CONFIG": "1",
        "JUPYTER_PREFER_ENV_PATH": "1",
        **{name: str(room / part) for name, part in rooms.items()},
    }


def scratch() -> Path:
    """A new scratch folder that only this user may enter. Raises NoticeError where none can be made."""
    try:
        return new_room("maker-kit")
    except OSError as error:
        msg = (
            f"no scratch folder can be made ({error.strerror or error}); "
            "make room on the disk, or name another place in the environment's TMPDIR"
        )
        raise NoticeError(msg) from error


def start(room: Path) -> subprocess.Popen[bytes]:
    """The server, out of reach of the terminal's Ctrl-C; it stops when the pipe to it closes, however this command
    ends.
    """
    apart: dict[str, Any] = (
        {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP}
        if sys.platform == "win32"
        else {"start_new_session": True}
    )
    with (room / LOG).open("wb") as log:
        return subprocess.Popen(
            [sys.executable, "-m", "maker_kit.workbook.run.serving"],
            stdin=subprocess.PIPE,
            stdout=log,
            stderr=log,
            cwd=room,
            env=surroundings(room, os.environ),
            **apart,
        )


def order(server: subprocess.Popen[bytes], told: Mapping[str, Any]) -> None:
    """Tell the server what to serve; through the pipe, where no other user of the machine reads the token."""
    with contextlib.suppress(OSError):  # a server that has ended is noticed by whoever waits for it
        assert server.stdin is not None
        server.stdin.write(json.dumps(told).encode() + b"\n")
        server.stdin.flush()


def wait(server: subprocess.Popen[bytes], shown: Shown, room: Path) -> None:
    """Wait until the server answers. Raises NoticeError, with why, if it ends or takes too long."""
    end = time.monotonic() + PATIENCE
    while not _answers(shown):
        if server.poll() is not None or time.monotonic() > end:
            raise NoticeError(fault(room))
        time.sleep(0.03)


def _answers(shown: Shown) -> bool:
    """Whether the server answers, and is ours: another would not know the token."""
    try:
        with contextlib.closing(http.client.HTTPConnection(LOOPBACK, shown.port, timeout=5)) as line:
            line.request("GET", "/api/status", headers={"Authorization": f"token {shown.token}"})
            return line.getresponse().status == http.client.OK
    except (OSError, http.client.HTTPException):
        return False


def fault(room: Path) -> str:
    """Why the server is not there, by the last line that it wrote."""
    with contextlib.suppress(OSError):
        told = [
            line.strip()
            for line in (room / LOG).read_text(encoding="utf-8", errors="replace").splitlines()
            if line.strip()
        ]
        if told:
            return f"the notebooks are not open any more, or did not open: {told[-1]}"
    return "the notebooks are not open any more, or did not open"


def stop(server: subprocess.Popen[bytes]) -> None:
    """Close the pipe to the server, which stops it and its sessions; one that does not stop in time is ended."""
    with contextlib.suppress(OSError):
        assert server.stdin is not None
        server.stdin.close()
    for end in (lambda: None, server.terminate, server.kill):
        end()
        with contextlib.suppress(subprocess.TimeoutExpired):
            server.wait(LEAVE)
            return
