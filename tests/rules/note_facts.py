"""From a note to the facts that the built-in rules see, without a journal."""

from __future__ import annotations

from datetime import datetime

from stillroom.base.fact import Fact
from stillroom.base.statement import Context
from stillroom.enrich.known import known_facts
from stillroom.reader.read import read
from stillroom.tables.tables import tables


def facts_of(note: str) -> list[Fact]:
    now = datetime(2026, 8, 20, 9)
    return known_facts(read(note, Context(now)), [], {}, tables())
