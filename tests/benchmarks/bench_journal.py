"""`tell` and "what needs doing?" on a journal of 100,000 events against an empty one; run by hand.

    python tests/benchmarks/bench_journal.py [events] [runs]

A season of eight foods is told once through the session; its events are then written again and
again with new batch names and days, in one transaction, until the journal holds so many. All but
the newest season is used up. Prints medians of a call in a running conversation and of a fresh
process, and the ratio to the same on an empty journal; the goal is a ratio under 2.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from statistics import median

from stillroom.journal.deeds import batches_of
from stillroom.journal.records import Event
from stillroom.talk.session import Session

FOODS = ("plums", "courgettes", "tomatoes", "peppers", "beets", "leeks", "carrots", "onions")
STORY = (
    (0, "2 kg {food}, sliced 6 mm, on 4 trays at 57 C"),
    (8, "weighed the {food}, 900 g"),
    (14, "the {food} are brittle, 180 g, into a quart jar to condition"),
    *((14 + 24 * day, "shook the {food}, all loose") for day in range(1, 8)),
    (14 + 24 * 7 + 4, "packed the {food} in two pint jars, vacuum sealed, larder, labelled"),
    *((14 + 24 * (20 + 9 * week), "took 20 g of the dried {food} for soup") for week in range(8)),
    (14 + 24 * 100, "used the rest of the dried {food}"),
)
NOTES = ("3 kg plums, halved, pitted, on 6 trays at 60 C", "what needs doing?")
START = datetime(2001, 6, 1, 8)
NOW = "2026-08-14T09:00:00"


def season(folder: Path) -> list[Event]:
    """The events of one season, told through the session."""
    moment = [START]
    session = Session(folder, measure="metric", clock=lambda: moment[0])
    told = sorted((hours, food, note) for food in FOODS for hours, note in STORY)
    for hours, food, note in told:
        moment[0] = START + timedelta(hours=hours)
        session.reply(note.format(food=food))
    events = list(reversed(list(session.journal.store.newest(10_000))))
    session.journal.close()
    return events


def written_again(event: Event, round_: int) -> Event:
    """The event of a later season: other batch names, later days."""
    text = json.dumps(event)
    names = {name for deed in event["deeds"] for name in batches_of(deed)} | set(event["predicted"])
    for name in names:
        stem = name.rpartition("-")[0]
        text = text.replace(f'"{name}"', f'"{stem}-{round_ + 1}"')
    again: Event = json.loads(text)
    later = timedelta(days=2 * round_)
    again["said"] = (datetime.fromisoformat(event["said"]) + later).isoformat()
    for deed in again["deeds"]:
        if "at" in deed:
            deed["at"] = (datetime.fromisoformat(deed["at"]) + later).isoformat()
    return again


def many(events: list[Event], count: int) -> Iterator[Event]:
    """So many events, the last season left open after its packing."""
    rounds = -(-count // len(events))
    for round_ in range(rounds):
        last = round_ == rounds - 1
        for event in events:
            if last and any(deed["do"] == "use" for deed in event["deeds"]):
                continue
            yield written_again(event, round_)


def fill(home: Path, count: int) -> int:
    """Write the events into a journal; returns how many there are."""
    with tempfile.TemporaryDirectory() as name:
        events = season(Path(name))
    session = Session(home)
    store = session.journal.store
    with store.writing():
        for event in many(events, count):
            store.append(event)
    session.journal.rebuild()
    total = store.head()[0]
    session.journal.close()
    return total


def in_session_ms(home: Path, note: str, runs: int) -> list[float]:
    """Milliseconds of a turn in a running conversation."""
    session = Session(home, measure="metric", clock=lambda: datetime.fromisoformat(NOW))
    session.reply("what needs doing?")
    found = []
    for _ in range(runs):
        begin = time.perf_counter()
        session.reply(note)
        found.append((time.perf_counter() - begin) * 1000)
    session.journal.close()
    return found


def fresh_ms(home: Path, note: str, runs: int) -> list[float]:
    """Milliseconds of a fresh process from start to end."""
    words = ["-m", "stillroom", "--home", str(home), "--now", NOW, "tell", note]
    dropped = ("STILLROOM_HOME", "PYTHONDONTWRITEBYTECODE")
    environment = {key: value for key, value in os.environ.items() if key not in dropped}
    environment["PYTHONPYCACHEPREFIX"] = str(home.parent / "pyc")  # as an installed program has it
    found = []
    for _ in range(runs + 1):
        begin = time.perf_counter()
        subprocess.run([sys.executable, *words], env=environment, check=False, capture_output=True)
        found.append((time.perf_counter() - begin) * 1000)
    return found[1:]


def main() -> None:
    """Print the figures."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else 9
    with tempfile.TemporaryDirectory() as name:
        full = Path(name) / "full"
        begin = time.perf_counter()
        total = fill(full, count)
        print(f"{total} events written and projected in {time.perf_counter() - begin:.0f} s")
        for note in NOTES:
            for label, measure in (("in a session", in_session_ms), ("fresh process", fresh_ms)):
                empty = Path(name) / "empty"
                shutil.rmtree(empty, ignore_errors=True)
                copy = Path(name) / "copy"
                shutil.rmtree(copy, ignore_errors=True)
                shutil.copytree(full, copy)
                small, large = (median(measure(home, note, runs)) for home in (empty, copy))
                print(f"{label}, “{note}”: empty {small:.0f} ms, full {large:.0f} ms, "
                      f"ratio {large / small:.2f}")  # fmt: skip


if __name__ == "__main__":
    main()
