"""Run as a program: 200 processes that write into the log of a folder, one after the other, each killed at a random
moment; what they asked for and what was confirmed to them is printed. A program of its own, for it is forked 200 times:
a whole run of the tests holds ten times as much memory, all of which every fork would have to list.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time

from maker_kit.bench.log.opening import open_log
from maker_kit.bench.log.values import new_id


def writes_until_killed(folder: str, told: int) -> None:
    with open_log(folder) as log:
        while True:
            row = new_id()
            os.write(told, f"?{row}\n".encode())
            log.add("reading", row, batch="R2-07", kind="pH", value=5.5, read_at="t")
            os.write(told, f"!{row}\n".encode())


def begun(folder: str, told: int) -> int:
    """A process that writes; it ends in no other way than killed, or with 1."""
    process = os.fork()
    if not process:
        try:
            writes_until_killed(folder, told)
        finally:
            os._exit(1)
    return process


def main(folder: str) -> None:
    moments, confirmed, asked = random.Random(417), set(), set()
    for _ in range(200):
        hears, tells = os.pipe()
        process = begun(folder, tells)
        os.close(tells)
        said, wanted = os.read(hears, 1), moments.randrange(3)
        while said.count(b"!") < wanted:
            more = os.read(hears, 4096)
            assert more, "it ended by itself"
            said += more
        time.sleep(moments.uniform(0, 0.008))
        os.kill(process, signal.SIGKILL)
        assert os.waitstatus_to_exitcode(os.waitpid(process, 0)[1]) == -signal.SIGKILL
        with os.fdopen(hears, "rb") as rest:
            lines = (said + rest.read()).decode().split("\n")[:-1]
        confirmed |= {line[1:] for line in lines if line[0] == "!"}
        asked |= {line[1:] for line in lines}
    sys.stdout.write(json.dumps([sorted(confirmed), sorted(asked)]))


if __name__ == "__main__":
    main(sys.argv[1])
