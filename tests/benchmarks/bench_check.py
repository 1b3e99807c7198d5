"""How long `stillroom rules check` takes on the built-in packs, with and without kept facts.

Run by hand: ``python tests/benchmarks/bench_check.py``; exit status 1 is a missed goal. Wall time
is what a person waits, CPU time what the machine works, all processes together. Byte code is kept
in a temporary folder, as an installed program has it.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time

GOAL_S = 3.0
CHECK = [sys.executable, "-m", "stillroom", "rules", "check"]


def took(environment: dict[str, str]) -> tuple[float, float]:
    """Seconds of one check: wall and CPU."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    before, begin = used.ru_utime + used.ru_stime, time.perf_counter()
    subprocess.run(CHECK, env=environment, check=True, capture_output=True)
    wall, used = time.perf_counter() - begin, resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, used.ru_utime + used.ru_stime - before


def main() -> int:
    """Print the figures; 1 when a check takes longer than the goal."""
    with tempfile.TemporaryDirectory() as name:
        environment = {
            **os.environ, "STILLROOM_HOME": name, "XDG_CACHE_HOME": name + "/cache",
            "PYTHONPYCACHEPREFIX": name + "/pyc",
        }  # fmt: skip
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        took({**environment, "XDG_CACHE_HOME": name + "/other"})
        walls = []
        for label in ("nothing kept", "facts kept", "facts kept"):
            wall, work = took(environment)
            walls.append(wall)
            print(f"{label}: {wall:.1f} s, CPU {work:.1f} s")
    return int(max(walls) > GOAL_S)


if __name__ == "__main__":
    sys.exit(main())
