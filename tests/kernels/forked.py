"""A process that has fetched all packages once and divides for every kernel that the tests start.

A kernel of its own each, as ever, with its own folder, environment and ports; only fetching the packages, three
quarters of what a kernel of the workbook takes to start, is done once in all. Where a process cannot divide (Windows)
or should not (macOS), kernels start as they always do.
"""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import signal
import socket
import struct
import subprocess
import sys
import time
from pathlib import Path

PATIENCE = 60.0
"""How long a kernel waits for the packages to be fetched [s]."""
LOOK = 1.0
"""How often it is looked whether the tests are still there [s]."""
BEFORE = (
    "ipykernel.ipkernel",
    "ipykernel.kernelapp",
    "ipykernel.debugger",
    "IPython.core.completerlib",
    "IPython.extensions.storemagic",
    "tornado.platform.asyncio",
    "tornado.queues",
    "highspy",
    "scipy.special",
    "nbformat",
)
"""What is fetched besides all modules of the workbook, and before them: controls ask whether they are in a kernel."""
OF_PYTHON = ("PYTHON", "MPL", "LC_", "LANG", "TZ", "IPYTHON")
"""What of the environment is read while packages are fetched: a kernel that wants it otherwise is started anew."""


def settings(environment: dict[str, str]) -> dict[str, str]:
    """What of an environment was read while packages were fetched."""
    return {name: value for name, value in environment.items() if name.startswith(OF_PYTHON)}


def asked(path: str, argv: list[str]) -> tuple[int, socket.socket] | None:
    """Ask for a kernel: the process's number and the line to it; None where none can be had."""
    end = time.monotonic() + PATIENCE
    line = socket.socket(socket.AF_UNIX)
    while True:
        try:
            line.connect(path)
            break
        except OSError:
            if time.monotonic() > end or not Path(path).parent.is_dir():
                return None
            time.sleep(0.02)
    words = json.dumps({"argv": argv, "folder": str(Path.cwd()), "environment": dict(os.environ)}).encode()
    socket.send_fds(line, [struct.pack("!I", len(words))], [0, 1, 2])
    line.sendall(words)
    told = line.recv(4, socket.MSG_WAITALL)
    child = struct.unpack("!I", told)[0] if len(told) == 4 else 0
    return (child, line) if child else None


def begin(path: str) -> subprocess.Popen[bytes]:
    """Start the process that divides; it ends with the one that called this, or when it is ended."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST")}
    environment["PYDEVD_DISABLE_FILE_VALIDATION"] = "1"  # or its import warns that it does without breakpoints
    return subprocess.Popen(
        [sys.executable, __file__, path], env=environment, stdin=subprocess.DEVNULL, start_new_session=True
    )


def serve(path: str) -> None:
    """Fetch the packages, and divide for everybody who asks, until the tests are gone."""
    import gc
    import importlib
    import pkgutil

    owner = os.getppid()
    for name in BEFORE:
        importlib.import_module(name)
    import maker_kit

    for module in pkgutil.walk_packages(maker_kit.__path__, "maker_kit."):
        if ".run." not in module.name:
            importlib.import_module(module.name)
    mine = settings(dict(os.environ))
    gc.collect()
    gc.freeze()
    cold = True
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    with socket.socket(socket.AF_UNIX) as door:
        door.bind(path)
        door.listen(64)
        door.settimeout(LOOK)
        while os.getppid() == owner:
            with contextlib.suppress(TimeoutError):
                line, _ = door.accept()
                with line:
                    _answer(door, line, mine)
                if cold:  # the first kernel does not wait for it, and a run with one kernel does without
                    cold = False
                    with contextlib.suppress(Exception):  # a kernel that meets it again tells it better
                        _warm()
                    gc.collect()
                    gc.freeze()


def _warm() -> None:
    """Read the published tables and the letters, which every kernel would read anew; no integer program, which has
    threads of its own.
    """
    from maker_kit.plan import make_plan
    from maker_kit.workbook.shown.formula import limits_picture
    from maker_kit.workshop import find_workshop

    workshop = find_workshop("", partly=True)
    for name in workshop.recipes:
        plan = make_plan(workshop, name)
    limits_picture(plan)


def _answer(door: socket.socket, line: socket.socket, mine: dict[str, str]) -> None:
    line.settimeout(None)
    head, fds, _, _ = socket.recv_fds(line, 4, 3)
    (length,) = struct.unpack("!I", head)
    wanted = json.loads(line.recv(length, socket.MSG_WAITALL))
    if settings(wanted["environment"]) != mine:
        line.sendall(struct.pack("!I", 0))
    elif os.fork() == 0:
        door.close()
        _become(line, wanted, fds)
    for fd in fds:
        os.close(fd)


def _become(line: socket.socket, wanted: dict[str, object], fds: list[int]) -> None:
    """Be the kernel, and never come back."""
    code = 1
    try:
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        os.setsid()
        for fd, place in zip(fds, range(3), strict=True):
            os.dup2(fd, place)
            os.close(fd)
        os.environ.clear()
        os.environ.update(wanted["environment"])
        os.chdir(wanted["folder"])
        sys.argv = wanted["argv"]
        line.sendall(struct.pack("!I", os.getpid()))
        _end_with(line)
        _run()
        code = 0
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else int(end.code is not None)
    finally:
        import atexit

        atexit._run_exitfuncs()
        with contextlib.suppress(Exception):
            sys.stdout.flush()
            sys.stderr.flush()
            line.sendall(bytes([code & 255]))
        os._exit(code)


def _run() -> None:
    import ipywidgets
    from ipykernel.kernelapp import IPKernelApp

    app = IPKernelApp.instance(parent_handle=os.getppid())  # it ends when that one has gone
    app.initialize(sys.argv[1:])
    ipywidgets.register_comm_target()  # as they do themselves where they are fetched in a kernel
    app.start()


def _end_with(line: socket.socket) -> None:
    """Stop when the process that stands for this one is gone."""
    import threading

    def wait() -> None:
        with contextlib.suppress(OSError):
            line.recv(1)
        os._exit(1)

    threading.Thread(target=wait, daemon=True).start()


if __name__ == "__main__":
    try:
        serve(sys.argv[1])
    finally:  # whoever waits for it starts a kernel of its own
        shutil.rmtree(Path(sys.argv[1]).parent, ignore_errors=True)
