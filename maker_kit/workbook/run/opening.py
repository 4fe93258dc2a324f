"""The notebooks before a maker: copied, served to this machine only, shown in the browser, and put away at Ctrl-C."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import secrets
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import webbrowser
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from maker_kit.errors import NoticeError, near_miss
from maker_kit.workbook.report import notebook_folder
from maker_kit.workbook.run.copies import COPIES, Copies, clear_scratch, copy_notebooks

LOOPBACK = "127.0.0.1"
PATIENCE = 90.0
"""How long the notebooks may take to start [s]."""
LEAVE = 15.0
"""How long the notebooks may take to stop before they are ended [s]."""
LOG = "log.txt"
PASSED_ON = {"JUPYTER_PATH", "JUPYTER_DATA_DIR", "JUPYTER_PLATFORM_DIRS"}
"""What of the surroundings may still say where things are kept; everything else of Jupyter's is left out."""


def find_notebook(name: str) -> str:
    """File name of the notebook that is meant.

    Parameters
    ----------
    name : str
        With or without its ending.

    Returns
    -------
    str

    Raises
    ------
    NoticeError
        If there is none; the nearest is given.
    """
    wanted = name if name.endswith(".ipynb") else f"{name}.ipynb"
    names = sorted(path.name for path in notebook_folder().glob("*.ipynb"))
    if wanted not in names:
        msg = f'there is no notebook "{name}": {near_miss(wanted, names)}'
        raise NoticeError(msg)
    return wanted


def free_port(wanted: int | None) -> int:
    """A port of this machine that nobody listens on.

    Parameters
    ----------
    wanted : int, optional
        The one to take; any unless given.

    Returns
    -------
    int

    Raises
    ------
    NoticeError
        If the wanted one is no port, is taken, or may not be used.
    """
    if wanted is not None and not 1 <= wanted <= 65535:
        msg = f"--port is a number from 1 to 65535, not {wanted}; leave it out, and a free one is found"
        raise NoticeError(msg)
    with socket.socket() as probe:
        if os.name == "posix":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)  # a port that was closed a moment ago is free
        try:
            probe.bind((LOOPBACK, wanted or 0))
        except OSError as error:
            msg = f"port {wanted} cannot be used ({error.strerror or error}); leave --port out, and a free one is found, or name another"
            raise NoticeError(msg) from error
        return int(probe.getsockname()[1])


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


def open_notebooks(name: str, find_workshop: Callable[[], Path | None], *, port: int | None = None, browser: bool = True, say: Callable[[str], None]) -> int:
    """Serve copies of the notebooks to this machine, show one, and wait until Ctrl-C.

    The copies stand in the workshop's folder ``notebooks``; those of the demo, which stays as it is, in a scratch folder that goes at the end unless something in it was changed.

    Parameters
    ----------
    name : str
        Which notebook to show first.
    find_workshop : callable
        Gives the workshop's folder, or None for the demo; called while the server starts. What it raises ends the opening.
    port : int, optional
        Port to serve at; a free one unless given.
    browser : bool
        Whether to show the notebook in the browser.
    say : callable
        Takes each line for the maker.

    Returns
    -------
    int
        0, when it was stopped.

    Raises
    ------
    MakerKitError
        If something is wrong with what was given, or the server did not start.
    """
    shown = Shown(find_notebook(name), free_port(port), secrets.token_hex(24))
    room, server = _scratch(), None
    try:
        _end_it_as_ctrl_c_does()
        server = _start(room)
        workshop = find_workshop()
        copies = copy_notebooks(notebook_folder(), (workshop or room) / COPIES)
        _order(server, orders(shown, copies, workshop, room))
        _wait(server, shown, room)
        seen = not browser or _show(shown.address)
        for line in lines(shown, copies, seen=seen):
            say(line)
        while server.poll() is None:
            time.sleep(0.2)
        raise NoticeError(_fault(room))
    except KeyboardInterrupt:
        return 0
    finally:
        _put_away(server, room, say)


def lines(shown: Shown, copies: Copies, *, seen: bool) -> list[str]:
    """What the maker reads in the terminal.

    Parameters
    ----------
    shown : Shown
    copies : Copies
    seen : bool
        Whether a browser was found, or none was asked for.

    Returns
    -------
    list of str
    """
    told = [f"{name} is as you changed it; the workbook's own is newer: rename yours in {copies.folder}, and the next opening brings it" for name in copies.behind]
    if not seen:
        told.append("no browser was found here; open this address in one:")
    return [*told, f"the workbook is at {shown.address}", "it stops with Ctrl-C"]


def orders(shown: Shown, copies: Copies, workshop: Path | None, room: Path) -> dict[str, Any]:
    """What the server is told, once it has come up."""
    return {
        "first": shown.first, "port": shown.port, "token": shown.token, "folder": str(copies.folder), "own": list(copies.own), "untouched": list(copies.untouched),
        "workshop": str(workshop or ""), "room": str(room),
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
    rooms = {"JUPYTER_CONFIG_DIR": "config", "JUPYTER_RUNTIME_DIR": "runtime", "JUPYTERLAB_SETTINGS_DIR": "settings", "JUPYTERLAB_WORKSPACES_DIR": "workspaces"}
    return {**kept, "JUPYTER_NO_CONFIG": "1", "JUPYTER_PREFER_ENV_PATH": "1", **{name: str(room / part) for name, part in rooms.items()}}


def _scratch() -> Path:
    try:
        return Path(tempfile.mkdtemp(prefix="maker-kit-"))
    except OSError as error:
        msg = f"no scratch folder can be made ({error.strerror or error}); make room on the disk, or name another place in the environment's TMPDIR"
        raise NoticeError(msg) from error


def _end_it_as_ctrl_c_does() -> None:
    """A terminal that is closed, or a polite order to stop, ends as Ctrl-C does."""
    if threading.current_thread() is threading.main_thread():
        for word in ("SIGTERM", "SIGHUP"):
            if hasattr(signal, word):
                signal.signal(getattr(signal, word), signal.default_int_handler)


def _start(room: Path) -> subprocess.Popen[bytes]:
    """The server, out of reach of the terminal's Ctrl-C; it stops when the pipe to it closes, however this command ends."""
    apart: dict[str, Any] = {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP} if sys.platform == "win32" else {"start_new_session": True}
    with (room / LOG).open("wb") as log:
        return subprocess.Popen([sys.executable, "-m", "maker_kit.workbook.run.serving"], stdin=subprocess.PIPE, stdout=log, stderr=log, cwd=room, env=surroundings(room, os.environ), **apart)


def _order(server: subprocess.Popen[bytes], told: Mapping[str, Any]) -> None:
    """Tell the server what to serve; through the pipe, where no other user of the machine reads the token."""
    with contextlib.suppress(OSError):  # a server that has ended is noticed by whoever waits for it
        assert server.stdin is not None
        server.stdin.write(json.dumps(told).encode() + b"\n")
        server.stdin.flush()


def _wait(server: subprocess.Popen[bytes], shown: Shown, room: Path) -> None:
    end = time.monotonic() + PATIENCE
    while not _answers(shown):
        if server.poll() is not None or time.monotonic() > end:
            raise NoticeError(_fault(room))
        time.sleep(0.03)


def _answers(shown: Shown) -> bool:
    """Whether the server answers, and is ours: another would not know the token."""
    try:
        with contextlib.closing(http.client.HTTPConnection(LOOPBACK, shown.port, timeout=5)) as line:
            line.request("GET", "/api/status", headers={"Authorization": f"token {shown.token}"})
            return line.getresponse().status == http.client.OK
    except (OSError, http.client.HTTPException):
        return False


def _show(address: str) -> bool:
    """Show an address in the browser, without its noise. A browser that would take over the terminal is none, unless it was asked for."""
    try:
        found = webbrowser.get()
    except webbrowser.Error:
        return False
    if type(found) is webbrowser.GenericBrowser and not os.environ.get("BROWSER"):
        return False
    code = "import sys, webbrowser; webbrowser.open(sys.stdin.read())"
    quiet: Any = {"stdin": subprocess.PIPE, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "start_new_session": True}
    with contextlib.suppress(OSError):
        opener = subprocess.Popen([sys.executable, "-c", code], **quiet)
        opener.stdin.write(address.encode())
        opener.stdin.close()
        return True
    return False


def _fault(room: Path) -> str:
    """Why the server is not there, by the last line that it wrote."""
    with contextlib.suppress(OSError):
        told = [line.strip() for line in (room / LOG).read_text(encoding="utf-8", errors="replace").splitlines() if line.strip()]
        if told:
            return f"the notebooks are not open any more, or did not open: {told[-1]}"
    return "the notebooks are not open any more, or did not open"


def _put_away(server: subprocess.Popen[bytes] | None, room: Path, say: Callable[[str], None]) -> None:
    """Stop the server and its sessions, clear the scratch folder, and say what was kept; a second Ctrl-C does not interrupt this."""
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    if server is not None:
        with contextlib.suppress(OSError):
            assert server.stdin is not None
            server.stdin.close()
        for end in (lambda: None, server.terminate, server.kill):
            end()
            with contextlib.suppress(subprocess.TimeoutExpired):
                server.wait(LEAVE)
                break
    changed = clear_scratch(notebook_folder(), room)
    if changed:
        say(f"what you changed ({', '.join(changed[:3])}{', …' if len(changed) > 3 else ''}) is kept in {room / COPIES}; in a workshop of your own such changes stay: maker-kit new my-workshop")
