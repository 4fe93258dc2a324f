"""Stands before ipykernel's own launcher while tests run: asks for a kernel that has its packages already.

`forked.py` beside it has them and divides; where it is not there, or keeps other settings of Python than are asked for
here, the kernel starts as it always does.
"""

from __future__ import annotations

import os
import signal
import sys

ASKED_AT = "MAKER_KIT_TESTS_KERNELS"
"""The environment's name for the socket; the tests say it where processes can divide."""


def main() -> None:
    """Have the kernel forked, and stand for it: its signals go on to it, its end is the end of this process."""
    here = os.path.dirname(os.path.abspath(__file__))  # noqa: PTH100, PTH120  pathlib costs more than all the rest
    path = os.environ.get(ASKED_AT, "")
    sys.path[:] = [place for place in sys.path if place not in {"", os.getcwd(), here}]  # noqa: PTH109
    if path:
        sys.path.append(here)
        import forked

        line = forked.asked(path, sys.argv)
        if line is not None:
            child, connection = line
            for number in (signal.SIGINT, signal.SIGTERM):
                signal.signal(number, lambda number, _: os.kill(child, number))
            ended = connection.recv(1)
            sys.exit(ended[0] if ended else 1)

    from ipykernel import kernelapp

    kernelapp.launch_new_instance()


if __name__ == "__main__":
    main()
