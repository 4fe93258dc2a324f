"""The kernels of the tests are processes of their own, each with its own folder and environment, and end as any."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

import pytest
from jupyter_client.manager import KernelManager, start_new_kernel

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="kernels divide on Linux only")


def _said(client: object, code: str) -> str:
    told = []
    client.execute_interactive(code, timeout=60, output_hook=lambda message: told.append(message["content"]))
    return "".join(piece.get("text", "") for piece in told)


def _gone(number: int) -> bool:
    end = time.monotonic() + 10
    while Path(f"/proc/{number}").exists():
        if time.monotonic() > end:
            return False
        time.sleep(0.02)
    return True


def _ends(manager: KernelManager, client: object) -> None:
    client.stop_channels()
    manager.shutdown_kernel()


def test_two_kernels_know_nothing_of_each_other(tmp_path: Path) -> None:
    pairs = [
        start_new_kernel(cwd=str(tmp_path), env={**os.environ, "MAKER_KIT_WORKSHOP": name}) for name in ("one", "two")
    ]
    try:
        for (_, client), name in zip(pairs, ("one", "two"), strict=True):
            told = _said(client, "import os, sys; print(os.getcwd(), os.environ['MAKER_KIT_WORKSHOP'], os.getpid())")
            folder, workshop, number = told.split()
            assert (Path(folder), workshop) == (tmp_path, name)
            assert int(number) != os.getpid()
        _said(pairs[0][1], "import maker_kit; maker_kit.left = 1")
        assert _said(pairs[1][1], "import maker_kit; print(hasattr(maker_kit, 'left'))") == "False\n"
    finally:
        for pair in pairs:
            _ends(*pair)


def test_a_kernel_can_be_interrupted_and_killed_and_nothing_of_it_stays() -> None:
    manager, client = start_new_kernel()
    number = int(_said(client, "import os; print(os.getpid())"))
    asked = client.execute("import time; print('here', flush=True); time.sleep(60)")
    while client.get_iopub_msg(timeout=30)["content"].get("text") != "here\n":
        pass
    manager.interrupt_kernel()
    answer = client.get_shell_msg(timeout=30)
    assert (answer["parent_header"]["msg_id"], answer["content"]["ename"]) == (asked, "KeyboardInterrupt")
    client.stop_channels()
    manager.shutdown_kernel(now=True)
    assert _gone(number)
