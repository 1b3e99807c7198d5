"""Start: `stillroom` and `python -m stillroom`."""

from __future__ import annotations

import gc
import sys


def main() -> None:
    """Run the command line and leave with its exit status.

    Start-up makes many small objects that live to the end; looking through them again and again
    for garbage costs a tenth of a cold answer. So the collector is set before anything is imported.
    """
    gc.set_threshold(100_000, 20, 20)
    from stillroom.talk.cli import run

    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
