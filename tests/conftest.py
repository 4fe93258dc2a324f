"""How the tests are shared out: folders over a few processes, the longest files first; files that are named, in one."""

from __future__ import annotations

import gc
import itertools
import os
import shutil
import socket
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from kernels import forked

from maker_kit.collecting import set_apart

# Examples are drawn anew in every run, so that more runs find more; a failure prints its case and a line that
# repeats it. How long one example takes says nothing on a busy machine.
settings.register_profile(
    "house", derandomize=False, deadline=None, print_blob=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("house")

# What was compiled once is kept, here and in every kernel, server and command that a test starts: where the machine
# says otherwise, a hundred processes would compile the package anew, each in a quarter of a second and more.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

gc.disable()  # until all tests are found: what is made by then stays to the end
TOP = Path(__file__).resolve().parents[1]
KERNELS = TOP / "tests" / "kernels"
WORKERS = 3
LONGEST = ("tests/browser", "tests/notebooks", "notebooks", "tests/workbook", "tests/buying", "tests/workshop")
LONGEST_ROOM = 90
"""Characters of a folder in which a socket can have its name: Linux allows a name of 107."""
FIRST_PORT, PORTS_EACH = 20_000, 4_000  # below those that a system hands out by itself, 32,768 and up


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """Three where there are two cores and a folder is asked for: with two, a tenth of the time nobody worked, as a
    browser was waited for.

    None for files, where starting them costs more than it saves, and none for ``-s``, as a worker would keep the words.
    """
    folders = any(Path(str(name).partition("::")[0]).is_dir() for name in config.args)
    return WORKERS if folders and config.option.capture != "no" and (os.cpu_count() or 1) > 1 else 0


def pytest_configure(config: pytest.Config) -> None:
    """Give the kernels of each worker ports of their own.

    Two processes that ask the system for a free port at once may be handed the same; then a kernel dies at its start.
    """
    worker = os.environ.get("PYTEST_XDIST_WORKER", "")
    if worker:
        _kernels_take_ports_from(FIRST_PORT + PORTS_EACH * int(worker.removeprefix("gw")))
    elif sys.platform == "linux" and not config.option.collectonly:
        _kernels_divide(config)


def _kernels_divide(config: pytest.Config) -> None:
    """Have kernels forked from one process that has fetched their packages, for all workers (``tests/kernels``)."""
    room = Path(tempfile.mkdtemp(prefix="maker-kit-tests-"))
    if len(str(room)) > LONGEST_ROOM:
        return
    os.environ["MAKER_KIT_TESTS_KERNELS"] = str(room / "kernels")
    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, [str(KERNELS), os.environ.get("PYTHONPATH")]))
    dividing = forked.begin(str(room / "kernels"))

    def end() -> None:
        dividing.kill()
        dividing.wait()
        shutil.rmtree(room, ignore_errors=True)

    config.add_cleanup(end)


def _kernels_take_ports_from(first: int) -> None:
    from jupyter_client.connect import LocalPortCache

    at = os.getpid() % PORTS_EACH  # not where another run of the tests begins
    ports = itertools.cycle([*range(first + at, first + PORTS_EACH), *range(first, first + at)])

    def free(self: LocalPortCache, ip: str) -> int:
        for port in ports:
            with socket.socket() as probe:
                try:
                    probe.bind((ip, port))
                except OSError:
                    continue
            return port
        raise AssertionError

    LocalPortCache.find_available_port = free


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """With workers, the folders that take longest come first, so that the last files handed out are short ones."""
    if hasattr(config, "workerinput"):
        items.sort(key=_place)


def pytest_collection_finish() -> None:
    """Leave modules and tests out of every later search for what nobody holds any more."""
    set_apart()
    gc.enable()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item, nextitem: pytest.Item | None) -> Iterator[None]:
    """After the last test of a file, look once for what nobody holds any more, and never again among what stays.

    What a run keeps grows; looking through all of it, again and again, took a twelfth of the whole.
    """
    result = yield
    if nextitem is None or nextitem.path != item.path:
        gc.collect()
        set_apart()
    return result


def _place(item: pytest.Item) -> int:
    folder = item.path.parent.relative_to(TOP).as_posix()
    return LONGEST.index(folder) if folder in LONGEST else len(LONGEST)
