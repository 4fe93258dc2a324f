"""What the shell starts: Ctrl-C is met in a sentence even while the verbs are still being fetched."""

from __future__ import annotations

import sys


def main() -> int:
    """Run the words of the shell, see `maker_kit.cli.main`; 1 where they were stopped before that, 0 for ``open``."""
    try:
        from maker_kit.cli import main as typed
    except (KeyboardInterrupt, RuntimeError) as error:
        if not isinstance(error, KeyboardInterrupt) and not isinstance(error.__cause__, KeyboardInterrupt):
            raise  # Python 3.11 wraps whatever stops it while a class is being made
        if sys.argv[1:2] == ["open"]:
            return 0  # Ctrl-C is how it ends
        if sys.stderr is not None:
            sys.stderr.write("stopped before it began\n")
        return 1
    return typed()


if __name__ == "__main__":
    raise SystemExit(main())
