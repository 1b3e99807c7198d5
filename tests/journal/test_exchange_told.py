"""Whatever is told, taken back and put back: it verifies, goes out and in, reads alike."""

from __future__ import annotations

import tempfile
from datetime import timedelta
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from test_journal_properties import KNOW, START, state, statements

from stillroom.base.statement import Statement
from stillroom.journal.exchange import export_events, import_events, verify_store
from stillroom.journal.journal import Journal
from stillroom.journal.replan import Past, changes

STEPS = st.lists(
    st.one_of(
        st.lists(statements(), min_size=1, max_size=3),
        st.sampled_from(["undo", "undo", "redo", "foresee"]),
    ),
    min_size=1,
    max_size=16,
)


def told(steps: list[list[Statement] | str], home: str) -> Journal:
    journal = Journal(Path(home) / "journal.sqlite3", KNOW)
    for number, step in enumerate(steps):
        now = START + timedelta(hours=7 * number)
        if step == "undo":
            journal.undo(now)
        elif step == "redo":
            journal.redo(now)
        elif step == "foresee":
            figures = {"dry_mass": (1.0, 2.0 + number, 30.0)}
            journal.foresee(dict.fromkeys(journal.store.batches(), figures), now)
        elif isinstance(step, list):
            journal.keep(f"note {number}", step, now)
    return journal


@settings(max_examples=40, deadline=None)
@given(STEPS)
def test_told_journal_verifies_and_comes_back_the_same(steps: list[list[Statement] | str]) -> None:
    with tempfile.TemporaryDirectory() as home:
        journal = told(steps, home)
        assert verify_store(journal.store) == []
        one, two = Path(home) / "one.jsonl", Path(home) / "two.jsonl"
        export_events(journal.store, one)
        other = Journal(Path(home) / "other.sqlite3", KNOW)
        import_events(other, one)
        export_events(other.store, two)
        assert one.read_bytes() == two.read_bytes()
        assert state(other) == state(journal)
        assert other.store.undone() == journal.store.undone()
        assert verify_store(other.store) == []
        journal.close()
        other.close()


@settings(max_examples=40, deadline=None)
@given(STEPS)
def test_the_same_readings_lead_to_the_same_deeds(steps: list[list[Statement] | str]) -> None:
    """Planning each note again on the journal as it was gives what was kept."""
    with tempfile.TemporaryDirectory() as home:
        journal = told(steps, home)
        said = {f"note {number}": step for number, step in enumerate(steps)}
        said["undo"] = [Statement("amend", "undo", undo=True)]

        def as_before(past: Past) -> list[list[Statement]]:
            step = said.get(past.event["note"])
            return [step if isinstance(step, list) else []]

        assert list(changes(journal, as_before)) == []
        journal.close()
