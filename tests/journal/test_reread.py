"""Old notes under a newer reader: nothing changes by itself, and what is kept can be taken back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from stillroom.base.clock import parse_now
from stillroom.base.statement import Amount, Context, Reading, Statement
from stillroom.journal.exchange import verify_store
from stillroom.reader.read import read
from stillroom.talk.reread import reread
from stillroom.talk.session import Session

START = parse_now("2026-08-14T08:00:00")
NOTES = (
    "3 kg plums, halved, on 5 trays at 60 C",
    "2 kg courgettes, sliced 6 mm",
    "the courgettes went in, 4 trays",
    "no, five kilos of plums",
    "scratch that",
    "weighed the plums, 1800 g",
    "what needs doing today?",
    "the courgettes are crisp, 110 g, into a jar to condition",
)


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """A journal of eight notes, two hours apart; kept without the answers, which are slow."""
    moment = [START]
    session = Session(tmp_path, clock=lambda: moment[0])
    for number, note in enumerate(NOTES):
        moment[0] = START + timedelta(hours=2 * number)
        reading = read(note, session.context(moment[0]))
        session.journal.keep(note, reading.statements, moment[0])
    return session


def reader_that(
    monkeypatch: pytest.MonkeyPatch, change: Callable[[Statement], Statement | None]
) -> None:
    """Put a newer reader in place: it reads as ours does, then changes statements."""

    def newer(note: str, context: Context) -> Reading:
        reading = read(note, context)
        told = [changed for item in reading.statements if (changed := change(item))]
        return Reading(note, tuple(told), reading.mentions)

    monkeypatch.setattr("stillroom.reader.read.read", newer)


def batch(session: Session, name: str) -> dict[str, Any]:
    return dict(session.journal.store.batches(open_only=False)[name])


def thicker(item: Statement) -> Statement:
    return item.having(thickness_mm=7.5) if item.thickness_mm else item


def test_the_same_reader_changes_nothing(session: Session) -> None:
    before = list(session.journal.store.rows())
    assert reread(session) == []
    assert reread(session, keep=True) == []
    assert list(session.journal.store.rows()) == before


def test_what_would_change_is_shown_and_nothing_kept(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    reader_that(monkeypatch, thicker)
    before = list(session.journal.store.rows())
    (line,) = reread(session)
    assert line.startswith("2026-08-14 “2 kg courgettes, sliced 6 mm”: thickness mm was 6")
    assert "is now 7.5" in line
    assert list(session.journal.store.rows()) == before


def test_new_readings_are_kept_by_an_event_that_can_be_taken_back(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    reader_that(monkeypatch, thicker)
    name = next(name for name in session.journal.store.batches() if name.startswith("zucchini"))
    old = list(session.journal.store.rows())
    *_, told = reread(session, keep=True)
    assert told == "1 of these readings are kept now; “scratch that” takes them back."
    assert batch(session, name)["thickness_mm"] == 7.5
    rows = list(session.journal.store.rows())
    assert rows[: len(old)] == old, "no event was changed"
    assert len(rows) == len(old) + 1
    assert reread(session) == [], "what was taken over is not shown again"
    assert verify_store(session.journal.store) == []
    session.journal.undo(session.clock())
    assert batch(session, name)["thickness_mm"] == 6.0
    assert len(reread(session)) == 1


def test_what_the_person_put_right_stays_right(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    moment = session.clock()
    note = "sorry, the courgettes are 2.5 kg"
    item = Statement("amend", note, food="zucchini", amount=Amount("kg", "g", 2.5, 2500.0))
    session.journal.keep(note, [item], moment)

    def heavier(said: Statement) -> Statement:
        if said.act == "have" and said.food == "zucchini" and said.amount:
            return said.having(amount=Amount("kg", "g", 9.0, 9000.0))
        return item if said.act == "amend" and said.text in note else said

    reader_that(monkeypatch, heavier)
    reread(session, keep=True)
    name = next(name for name in session.journal.store.batches() if name.startswith("zucchini"))
    assert batch(session, name)["fresh_g"] == 2500.0


def test_a_note_that_would_do_something_else_is_left_to_the_person(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    def other(item: Statement) -> Statement | None:
        return None if item.act == "weigh" else item

    reader_that(monkeypatch, other)
    before = session.journal.store.batches(open_only=False)
    lines = reread(session, keep=True)
    assert any("say it anew" in line for line in lines)
    assert lines[-1].endswith("say those notes anew.")
    assert session.journal.store.batches(open_only=False) == before


def test_notes_taken_back_are_not_read_again(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_again: list[str] = []

    def watch(note: str, context: Context) -> Reading:
        read_again.append(note)
        return read(note, context)

    monkeypatch.setattr("stillroom.reader.read.read", watch)
    reread(session)
    assert "no, five kilos of plums" not in read_again
    assert NOTES[0] in read_again


def test_reading_again_sees_the_moment_each_note_was_said(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: dict[str, datetime] = {}

    def watch(note: str, context: Context) -> Reading:
        seen[note] = context.now
        return read(note, context)

    monkeypatch.setattr("stillroom.reader.read.read", watch)
    reread(session)
    assert seen[NOTES[0]] == START
    assert seen[NOTES[5]] == START + timedelta(hours=10)
