"""The facts of the example notes of rules, and a name for all that they rest on."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Callable, Sequence
from datetime import datetime
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from stillroom.base.fact import Fact
from stillroom.base.paths import knowledge_dir

EXAMPLE_MOMENT = "2026-08-14T09:00:00"
"""The moment in which examples are read when the call names none: a check gives the same verdict
on every day of the year."""
_CODE = ("base", "reader", "tables", "science", "enrich")
_PACKAGES = ("pint", "rapidfuzz", "jellyfish", "psychrolib", "python-dateutil")


def facts_at(now: datetime) -> Callable[[str], Sequence[Fact]]:
    """What gives a note its facts, in a kitchen and journal of which nothing is known."""
    from stillroom.base.statement import Context
    from stillroom.enrich.enrich import enrich
    from stillroom.reader.read import read
    from stillroom.tables.tables import tables

    known = tables()

    def facts_of(note: str) -> Sequence[Fact]:
        return enrich(read(note, Context(now)), (), {}, known).facts

    return facts_of


def mark(now: datetime) -> str:
    """A name for all that facts rest on: the code, the tables, the packages, the moment.

    The files are read and not just dated, so that a change of one letter makes another name.
    """
    made = hashlib.sha256(repr((sys.version, now.isoformat())).encode())
    for name in _PACKAGES:
        try:
            made.update(f"{name} {version(name)};".encode())
        except PackageNotFoundError:
            made.update(f"{name} -;".encode())
    package = Path(__file__).parents[1]
    files = [path for name in _CODE for path in (package / name).glob("*.py")]
    files += [Path(__file__), *(p for p in knowledge_dir().iterdir() if p.is_file())]
    for path in sorted(files):
        made.update(f"{path.name}:".encode())
        made.update(hashlib.sha256(path.read_bytes()).digest())
    return made.hexdigest()
