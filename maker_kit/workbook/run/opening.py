"""The notebooks before a maker: copied, served to this machine only, shown in the browser, and put away at Ctrl-C."""

from __future__ import annotations

import contextlib
import os
import secrets
import signal
import socket
import subprocess
import sys
import threading
import time
import webbrowser
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from maker_kit.errors import NoticeError, short
from maker_kit.names import near_miss
from maker_kit.scratch import clear_dead
from maker_kit.workbook.run.copies import COPIES, Copies, clear_scratch, copy_notebooks, notebook_folder
from maker_kit.workbook.run.server import LOOPBACK, Shown, fault, order, orders, scratch, start, stop, wait


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
        msg = f'there is no notebook "{short(name)}": {near_miss(wanted, names)}'
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
            msg = (
                f"port {wanted} cannot be used ({error.strerror or error}); "
                "leave --port out, and a free one is found, or name another"
            )
            raise NoticeError(msg) from error
        return int(probe.getsockname()[1])


def open_notebooks(
    name: str,
    find_workshop: Callable[[], Path | None],
    *,
    port: int | None = None,
    browser: bool = True,
    say: Callable[[str], None],
) -> int:
    """Serve copies of the notebooks to this machine, show one, and wait until Ctrl-C.

    The copies stand in the workshop's folder ``notebooks``, beside its workbook where it is one; those of the
    demo, which stays as it is, in a scratch folder that goes at the end unless something in it was changed.

    Parameters
    ----------
    name : str
        Which notebook to show first.
    find_workshop : callable
        Gives the workshop's folder or workbook, or None for the demo; called while the server starts. What
        it raises ends the opening.
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
    clear_dead("maker-kit", clear=lambda left: clear_scratch(notebook_folder(), left))
    room, server = scratch(), None
    with _ends_as_ctrl_c_does():
        try:
            server = start(room)
            workshop = find_workshop()
            home = workshop.parent if workshop and workshop.is_file() else workshop or room
            copies = copy_notebooks(notebook_folder(), home / COPIES)
            order(server, orders(shown, copies, workshop, room))
            wait(server, shown, room)
            for line in lines(shown, copies, seen=not browser or _show(shown.address)):
                say(line)
            while server.poll() is None:
                time.sleep(0.2)
            raise NoticeError(fault(room))
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
    told = [
        f"{name} is as you changed it; the workbook's own is newer: rename yours in {copies.folder}, "
        "and the next opening brings it"
        for name in copies.behind
    ]
    if not seen:
        told.append("no browser was found here; open this address in one:")
    return [*told, f"the workbook is at {shown.address}", "it stops with Ctrl-C"]


def _show(address: str) -> bool:
    """Show an address in the browser, without its noise. A browser that would take over the terminal is none, unless it
    was asked for.
    """
    try:
        found = webbrowser.get()
    except webbrowser.Error:
        return False
    if type(found) is webbrowser.GenericBrowser and not os.environ.get("BROWSER"):
        return False
    code = "import sys, webbrowser; webbrowser.open(sys.stdin.read())"
    quiet: Any = {
        "stdin": subprocess.PIPE,
        "stdout": subprocess.DEVNULL,
        "stderr": subprocess.DEVNULL,
        "start_new_session": True,
    }
    with contextlib.suppress(OSError):
        opener = subprocess.Popen([sys.executable, "-c", code], **quiet)
        opener.stdin.write(address.encode())
        opener.stdin.close()
        return True
    return False


@contextlib.contextmanager
def _ends_as_ctrl_c_does() -> Iterator[None]:
    """A terminal that is closed, or a polite order to stop, ends as Ctrl-C does; then signals are as they were."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = {
        word: signal.getsignal(word)
        for word in (signal.SIGINT, signal.SIGTERM, getattr(signal, "SIGHUP", signal.SIGTERM))
    }
    try:
        for word in before:
            signal.signal(word, signal.default_int_handler)
        yield
    finally:
        for word, handler in before.items():
            signal.signal(word, handler)


def _put_away(server: subprocess.Popen[bytes] | None, room: Path, say: Callable[[str], None]) -> None:
    """Stop the server and its sessions, clear the scratch folder, and say what was kept; a second Ctrl-C does not
    interrupt this.
    """
    if threading.current_thread() is threading.main_thread():
        for word in (signal.SIGINT, signal.SIGTERM, getattr(signal, "SIGHUP", signal.SIGTERM)):
            signal.signal(word, signal.SIG_IGN)
    if server is not None:
        stop(server)
    changed = clear_scratch(notebook_folder(), room)
    if changed:
        say(
            f"what you changed ({', '.join(changed[:3])}{', …' if len(changed) > 3 else ''}) is kept in "
            f"{room / COPIES}; "
            "in a workshop of your own such changes stay: maker-kit new my-workshop"
        )
