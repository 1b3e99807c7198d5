"""How many notes a second are read, and how long a 3,000-word transcript takes.

Processor time is measured, so that a busy machine blurs it less. Run by hand:
``python tests/benchmarks/bench_reader.py``; exit status 1 is a missed goal.
"""

from __future__ import annotations

import json
import statistics
import time
from datetime import datetime
from pathlib import Path

from stillroom.base.statement import Context
from stillroom.reader.read import read

LONG_S, LONG_WORDS = 3.0, 3000
CONTEXT = Context(now=datetime(2026, 8, 14, 9))


def main() -> int:
    """Prints the figures; 1 when the transcript took too long."""
    path = Path(__file__).parents[1] / "reader" / "notes.jsonl"
    notes = [json.loads(line)["note"] for line in path.read_text("utf-8").splitlines()]
    began = time.process_time()
    read(notes[0], CONTEXT)
    print(f"first note {1000 * (time.process_time() - began):.0f} ms, tables and words loaded")
    times = []
    for note in notes:
        began = time.process_time()
        read(note, CONTEXT)
        times.append(time.process_time() - began)
    middle = 1000 * statistics.median(times)
    print(f"{len(notes) / sum(times):.0f} notes a second, median {middle:.2f} ms")
    words: list[str] = []
    while len(words) < LONG_WORDS:
        for note in notes:
            words += note.split()
    text = " ".join(words[:LONG_WORDS])
    began = time.process_time()
    found = len(read(text, CONTEXT).statements)
    took = time.process_time() - began
    print(f"{LONG_WORDS} words in {took:.2f} s (goal {LONG_S} s), {found} statements")
    return int(took > LONG_S)


if __name__ == "__main__":
    raise SystemExit(main())
