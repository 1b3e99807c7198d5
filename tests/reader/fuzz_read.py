"""Reads many odd notes; a crash or a slow one fails.

Run by hand: python tests/reader/fuzz_read.py [COUNT] [SEED]. Four kinds take turns: words of the
labelled notes shuffled, notes cut and joined, notes damaged in places (control signs, emoji,
right-to-left marks, half surrogate pairs, long tokens, wide digits), and signs of any kind.
"""

from __future__ import annotations

import json
import random
import sys
import time
from collections import Counter
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from stillroom.base.statement import Context, Reading
from stillroom.reader.read import read

CONTEXT = Context(now=datetime(2026, 8, 14, 9))
SLOWEST_S_PER_100_WORDS = 0.05
ODD = [
    "\0", "\x1b[31m", "\r", "\v", "\u2028", "\u200b", "\u202e", "\ufeff", "\ud83c", "\udf45", "🍅",
    "👩\u200d🌾", "é", "e\u0301", "ß", "İ", "ﬀ", "٣", "３", "二", "²", "⅟", "½", "1/0", "0/0",
    "1e309", "1e-9", "9" * 400, "a" * 3000, "-" * 50, "(((", "))", "\n\n\n", "£", "€1.2.3",
    "12:99", "31/02/2026", "2026-13-45", "29th of February", "day 0", "half past", "quarter to",
    "ago", "and a", "point", "a hundred and", "no no no", "between", "scratch that", "1,2,3,4",
    "%", "\\", "{food}",
]  # fmt: skip


def shuffled(notes: list[str], words: list[str], dice: random.Random) -> str:
    """Words of the notes in any order."""
    return " ".join(dice.choice(words) for _ in range(dice.randint(1, 40)))


def joined(notes: list[str], words: list[str], dice: random.Random) -> str:
    """The end of one note and the beginning of another."""
    note = dice.choice(notes)
    return note[dice.randint(0, len(note)) :] + dice.choice(notes)[: dice.randint(0, 60)]


def damaged(notes: list[str], words: list[str], dice: random.Random) -> str:
    """A note with signs dropped, doubled, changed, and odd stretches put in."""
    signs = list(dice.choice(notes))
    for _ in range(dice.randint(1, 6)):
        at = dice.randrange(len(signs) + 1)
        signs[at : at + dice.choice((0, 0, 1, 3))] = dice.choice((
            dice.choice(ODD), f" {dice.choice(ODD)} ", chr(dice.randint(0, 0x10FFFF)), "",
        ))  # fmt: skip
    return "".join(signs)


def anything(notes: list[str], words: list[str], dice: random.Random) -> str:
    """Bytes read as Latin, or signs from all over."""
    if dice.random() < 0.5:
        return dice.randbytes(dice.randint(1, 200)).decode("latin-1")
    return "".join(chr(dice.randrange(dice.choice((126, 0x2FFF)))) for _ in range(120))


KINDS: list[Callable[[list[str], list[str], random.Random], str]] = [
    shuffled, joined, damaged, anything,
]  # fmt: skip


def timed(note: str) -> tuple[Reading, float]:
    """The reading of a note, and how long it took for 100 words [s]."""
    began = time.process_time()
    try:
        reading = read(note, CONTEXT)
    except BaseException:
        print(f"note that broke it: {note!r}")
        raise
    return reading, (time.process_time() - began) / max(1.0, len(note.split()) / 100)


def main() -> int:
    """Runs, and returns 1 when a note was too slow; a crash shows itself."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    dice = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    lines = (Path(__file__).parent / "notes.jsonl").read_text("utf-8").splitlines()
    notes = [json.loads(line)["note"] for line in lines]
    words = " ".join(notes).split()
    read("2 lb brocolli and 3 lb xylocarp, sliced", CONTEXT)
    slow: Counter[str] = Counter()
    for number in range(count):
        note = KINDS[number % len(KINDS)](notes, words, dice)
        reading, took = timed(note)
        if took > SLOWEST_S_PER_100_WORDS:  # a pause of the machine does not come three times
            took = min(took, timed(note)[1], timed(note)[1])
        slow[note] = max(slow[note], round(took * 1e6))
        if len(slow) > 10_000:
            slow = Counter(dict(slow.most_common(20)))
        if any(s.text != note[s.start : s.end] for s in reading.statements):
            raise SystemExit(f"text and place differ: {note!r}")
    over = [note for note, took in slow.items() if took > SLOWEST_S_PER_100_WORDS * 1e6]
    for note, took in slow.most_common(5):
        print(f"{took / 1000:.1f} ms per 100 words: {note[:100]!r}")
    print(f"{count} notes read, {len(over)} slower than {SLOWEST_S_PER_100_WORDS * 1000:.0f} ms")
    return int(bool(over))


if __name__ == "__main__":
    raise SystemExit(main())
