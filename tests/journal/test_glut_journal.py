"""What the journal must not take for food: empty jars, a mix only spoken of; all jars at once."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from stillroom.base.statement import Context
from stillroom.journal.journal import Journal
from stillroom.reader.read import read
from stillroom.tables.tables import tables
from stillroom.talk.knowhow import knowhow


def told(home: Path, *notes: tuple[str, str]) -> Journal:
    """A journal that was told dated notes."""
    journal = Journal(home / "journal.sqlite3", knowhow(tables()))
    for when, note in notes:
        now = datetime.fromisoformat(when)
        last = journal.recent(6)
        foods = tuple(dict.fromkeys(item.food for item in reversed(last) if item.food))
        statements = read(note, Context(now, "us", foods, tuple(last))).statements
        journal.keep(note, statements, now)
    return journal


def test_empty_jars_begin_no_batch(tmp_path: Path) -> None:
    journal = told(
        tmp_path,
        ("2026-09-05T08:30", "2 kg courgettes, cut in spears, pickled in brine"),
        ("2026-09-05T08:31", "I've four litre jars, how much brine do I need?"),
    )
    view = journal.view(datetime(2026, 9, 5, 9))
    assert [batch["name"] for batch in view["batches"]] == ["zucchini-1"]


def test_amount_put_right_long_after_is_not_of_the_shelf(tmp_path: Path) -> None:
    journal = told(
        tmp_path,
        ("2026-09-05T08:30", "dried onions, 120 g, in a jar on the shelf"),
        ("2026-09-05T08:31", "dried peppers, 80 g, in a jar on the shelf"),
        ("2026-09-05T08:32", "I want to make a soup mix with 40 g tomato powder and 30 g onion"),
        ("2026-09-05T08:33", "make that 25 g onion"),
    )
    stock = journal.view(datetime(2026, 9, 5, 9))["stock"]
    assert {line["food"]: line["remaining_g"] for line in stock}["onion"] == 120


@pytest.mark.parametrize("shake", ["gave them all a shake, nothing stuck", "shook the lot"])
def test_all_jars_are_shaken(tmp_path: Path, shake: str) -> None:
    journal = told(
        tmp_path,
        ("2026-09-05T08:30", "300 g dried peppers in a litre jar to condition"),
        ("2026-09-05T08:31", "200 g dried apples into a jar to condition"),
        ("2026-09-06T08:30", shake),
    )
    due = journal.view(datetime(2026, 9, 6, 9))["due"]
    assert not [thing for thing in due if thing["what"] == "shake" and thing["at"] <= "2026-09-06"]


def test_mix_that_is_not_kept_moves_no_other_jar(tmp_path: Path) -> None:
    journal = told(
        tmp_path,
        ("2026-09-05T08:30", "dried onions, 120 g, in a jar on the shelf"),
        ("2026-09-05T08:31", "sealed the mix in a jar, pantry"),
    )
    assert [line["place"] for line in journal.view(datetime(2026, 9, 5, 9))["stock"]] == ["shelf"]
