"""Cold `stillroom tell` against pint's own start, a chat turn, and memory; run by hand.

    python tests/benchmarks/bench_start.py [runs]

Prints the medians and the ratio that the goal names: a cold tell under 1.5 times
`python -c "import pint; pint.UnitRegistry()"` in the same run, a chat turn under 50 ms, memory
under 120 MB; exit status 1 is a missed goal. Byte code is kept in a temporary folder, as
an installed program has it.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

from stillroom.talk.session import Session

RATIO, TURN_MS, MEMORY_MB = 1.5, 50, 120
NOTE = "6 kg courgettes, shredded, drained a bit, kitchen's at 30 and muggy"
TURNS = (
    "10 lb tomatoes, sliced 1/4 inch, 5 mesh trays, 135F", "how long do tomatoes take?", "why?",
    "the plums are leathery but tacky", "what needs doing today?", "2 kg beets, cooked, diced",
    "how much brine for nine half-litre jars of beet slices?", "scratch that",
)  # fmt: skip


def cold_s(words: list[str], environment: dict[str, str]) -> float:
    """Seconds from start to end of one process."""
    begin = time.perf_counter()
    subprocess.run([sys.executable, *words], env=environment, check=False, capture_output=True)
    return time.perf_counter() - begin


def turns_ms(folder: Path) -> list[float]:
    """Milliseconds of each chat turn after the first."""
    session = Session(folder / "chat")
    session.lines("1 kg plums")
    found = []
    for note in TURNS * 3:
        begin = time.perf_counter()
        session.lines(note)
        found.append((time.perf_counter() - begin) * 1000)
    return found


def main() -> int:
    """Print the figures; 1 when a goal is missed."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        environment = {
            **os.environ, "STILLROOM_HOME": name, "XDG_CACHE_HOME": name,
            "PYTHONPYCACHEPREFIX": name + "/pyc",
        }  # fmt: skip
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        tell = ["-m", "stillroom", "tell", NOTE]
        pint = ["-c", "import pint; pint.UnitRegistry()"]
        cold_s(tell, environment)
        cold_s(pint, environment)
        times = [(cold_s(tell, environment), cold_s(pint, environment)) for _ in range(runs)]
        ours, theirs = median(t for t, _ in times), median(p for _, p in times)
        print(f"cold tell {ours:.3f} s, pint {theirs:.3f} s, ratio {ours / theirs:.2f}")
        peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        turns = turns_ms(folder)
        chat = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"memory of a cold tell at most {peak:.0f} MB, of a conversation {chat:.0f} MB")
        print(f"chat turn median {median(turns):.0f} ms, slowest {max(turns):.0f} ms")
    return int(ours > RATIO * theirs or median(turns) > TURN_MS or max(peak, chat) > MEMORY_MB)


if __name__ == "__main__":
    sys.exit(main())
