"""Kill the program at random moments while notes are told; nothing answered may be lost.

Run it: ``python tests/journal/kill_journal.py [KILLS] [--seed N]``. Each round starts
``stillroom tell`` with one note after the other in one temporary home and kills it (SIGKILL) at a
random moment. After every kill it is checked that

- every note whose answer was printed is in the journal, once, word for word;
- a note that was killed is in the journal whole or not at all;
- every event carries its hash and its predecessor's, and SQLite finds the file sound;
- what is derived equals what a rebuild from the events gives: nothing is half kept.

Moments are drawn over the whole life of the process, half of them about the moment of writing.
"""

from __future__ import annotations

import argparse
import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from stillroom.journal.exchange import verify_store
from stillroom.journal.journal import Journal
from stillroom.journal.store import Store

_FOODS = ("plums, halved", "courgettes, sliced 6 mm", "tomatoes, sliced", "beets, diced", "leeks")
_DUE_ROUNDS = 10


def notes() -> Iterator[str]:
    """Notes that all differ and all do something."""
    for number in range(1, 100_000):
        food = _FOODS[number % len(_FOODS)]
        if number % 3:
            yield f"{1000 + number} g {food}"
        else:
            yield f"weighed the {food.split(',')[0]}, {300 + number} g"


@dataclass
class Run:
    """What was told in one home and what came of it."""

    home: Path
    answered: list[str] = field(default_factory=list)
    killed: list[str] = field(default_factory=list)
    kept_though_killed: int = 0
    kills: int = 0
    faults: list[str] = field(default_factory=list)


def _start(run: Run, note: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "stillroom", "--home", str(run.home), "tell", note],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )  # fmt: skip


def _tell(run: Run, note: str, kill_after_s: float | None) -> float:
    """Tell one note; returns how long the process lived [s]."""
    start = time.monotonic()
    process = _start(run, note)
    try:
        out, told = process.communicate(timeout=kill_after_s)
    except subprocess.TimeoutExpired:
        process.kill()
        out, told = process.communicate()
    if process.returncode is not None and process.returncode < 0:
        run.kills += 1
    elif process.returncode not in (0, 1):
        why = told.decode(errors="replace").strip()
        run.faults.append(f"{note!r} ended with status {process.returncode}: {why}")
    # one printed line is an answer: by then the note must be on the disk
    (run.answered if b"\n" in out else run.killed).append(note)
    return time.monotonic() - start


def _moment(random_: random.Random, life_s: float) -> float:
    if random_.random() < 0.5:
        return random_.uniform(0.02, life_s)
    return random_.uniform(0.55, 1.0) * life_s


def check(run: Run) -> None:
    """Look at the journal; what is wrong goes to ``run.faults``."""
    store = Store(run.home / "journal.sqlite3")
    run.faults += [str(problem) for problem in verify_store(store)]
    told = [row[4] for row in store.rows() if row[3] in ("note", "ask")]
    store.close()
    for note in run.answered:
        if told.count(note) != 1:
            run.faults.append(f"answered, but kept {told.count(note)} times: {note!r}")
    run.kept_though_killed = sum(note in told for note in run.killed)
    for note in run.killed:
        if told.count(note) > 1:
            run.faults.append(f"killed, but kept {told.count(note)} times: {note!r}")
    if set(told) - {*run.answered, *run.killed}:
        run.faults.append("the journal has notes that nobody told")


def check_derived(run: Run) -> None:
    """Whether what was derived step by step is what a rebuild gives."""
    journal = Journal(run.home / "journal.sqlite3")
    before = journal.store.batches(open_only=False), journal.kitchen()
    journal.rebuild()
    if before != (journal.store.batches(open_only=False), journal.kitchen()):
        run.faults.append("a rebuild gives other batches")
    journal.close()


def kill_series(home: Path, kills: int, seed: int) -> Run:
    """Kill so many times in one home, checking after each.

    Args:
        home: an empty folder.
        kills: how many processes to kill.
        seed: of the random moments.
    """
    random_ = random.Random(seed)
    run = Run(home)
    source = notes()
    life = _tell(run, next(source), None)
    while run.kills < kills and not run.faults:
        # quick to notice a slower or faster machine
        life = 0.8 * life + 0.2 * _tell(run, next(source), None) if not run.kills % 20 else life
        _tell(run, next(source), _moment(random_, life))
        check(run)
        if run.kills % _DUE_ROUNDS == 0:
            check_derived(run)
    check(run)
    check_derived(run)
    return run


def main() -> int:
    """Run from the command line; status 1 when anything was lost or damaged."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("kills", nargs="?", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        run = kill_series(Path(folder), options.kills, options.seed)
    sys.stdout.write(
        f"{run.kills} kills, {len(run.answered)} notes answered and all looked for, "
        f"{len(run.killed)} killed before an answer ({run.kept_though_killed} of them kept whole), "
        f"{len(run.faults)} faults\n"
    )
    for fault in run.faults:
        sys.stdout.write(f"- {fault}\n")
    return 1 if run.faults else 0


if __name__ == "__main__":
    sys.exit(main())
