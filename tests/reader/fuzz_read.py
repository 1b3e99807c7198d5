"""Reads many odd notes; a crash or a slow one fails.

Run by hand: python tests/reader/fuzz_read.py [COUNT] [SEED].
"""

from __future__ import annotations

import json
import random
import sys
import time
from datetime import datetime
from pathlib import Path

from stillroom.base.statement import Context
from stillroom.reader.read import read

CONTEXT = Context(now=datetime(2026, 8, 14, 9))
SLOWEST_S_PER_100_WORDS = 0.05


def odd_note(notes: list[str], words: list[str], dice: random.Random) -> str:
    """Words shuffled, notes cut and joined, or characters of any kind."""
    kind = dice.random()
    if kind < 0.6:
        return " ".join(dice.choice(words) for _ in range(dice.randint(1, 40)))
    if kind < 0.8:
        note = dice.choice(notes)
        return note[dice.randint(0, len(note)) :] + dice.choice(notes)[: dice.randint(0, 60)]
    signs = (dice.choice([dice.randint(0, 126), dice.randint(0, 0x2FFF)]) for _ in range(120))
    return "".join(map(chr, signs))


def main() -> int:
    """Runs, and returns 1 when a note was too slow; a crash shows itself."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    dice = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    lines = (Path(__file__).parent / "notes.jsonl").read_text("utf-8").splitlines()
    notes = [json.loads(line)["note"] for line in lines]
    words = " ".join(notes).split()
    read("2 lb brocolli and 3 lb xylocarp, sliced", CONTEXT)
    worst = (0.0, "")
    for _ in range(count):
        note = odd_note(notes, words, dice)
        began = time.perf_counter()
        reading = read(note, CONTEXT)
        took = (time.perf_counter() - began) / max(1.0, len(note.split()) / 100)
        worst = max(worst, (took, note))
        if any(s.text != note[s.start : s.end] for s in reading.statements):
            raise SystemExit(f"text and place differ: {note!r}")
    print(f"{count} notes, slowest {worst[0] * 1000:.1f} ms per 100 words: {worst[1][:80]!r}")
    return int(worst[0] > SLOWEST_S_PER_100_WORDS)


if __name__ == "__main__":
    raise SystemExit(main())
