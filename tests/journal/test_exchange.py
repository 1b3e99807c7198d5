"""Export, import and the search for damage, on stores alone: the events' content is free here."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stillroom.base.problem import EXIT_DAMAGED, ProblemError
from stillroom.journal.exchange import export_events, import_events, verify_store
from stillroom.journal.store import Store


def event(note: str, number: int = 1, **more: Any) -> Any:
    base = {
        "seq": 0, "said": f"2026-08-{1 + number % 28:02d}T09:00:00", "kept": "2026-08-30T09:00:00",
        "kind": "note", "note": note, "statements": [{"act": "have", "text": note}],
        "deeds": [{"do": "begin", "batch": f"plum-{number}", "grams": 0.1 + number}],
        "predicted": {f"plum-{number}": {"dry_mass": [1.5, 2.0, 3.25]}}, "target": None,
        "version": "0.1.0", "prior": "", "hash": "",
    }  # fmt: skip
    return {**base, **more}


def fill(path: Path, notes: list[str], **more: Any) -> Store:
    store = Store(path)
    with store.writing():
        for number, note in enumerate(notes, start=1):
            store.append(event(note, number, **more))
    return store


def journal_of(store: Store) -> Any:
    return SimpleNamespace(store=store, rebuild=lambda: None)


NOTES = ["2 kg plums, halved", "tray three is down to 410", "shook the jars", "three pints, dated"]


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return fill(tmp_path / "a" / "journal.sqlite3", NOTES)


def names(error: ProblemError) -> list[tuple[str, int]]:
    return [(problem.name, problem.line) for problem in error.problems]


def taken(path: Path, home: Path) -> int:
    return import_events(journal_of(Store(home / "journal.sqlite3")), path)


def refused(path: Path, home: Path) -> ProblemError:
    with pytest.raises(ProblemError) as caught:
        taken(path, home)
    assert Store(home / "journal.sqlite3").head()[0] == 0, "nothing may be taken in"
    return caught.value


def test_export_has_a_head_and_a_line_for_each_event(store: Store, tmp_path: Path) -> None:
    out = tmp_path / "out.jsonl"
    assert export_events(store, out) == len(NOTES)
    lines = [json.loads(line) for line in out.read_text(encoding="utf-8").splitlines()]
    assert lines[0]["stillroom"] == "journal"
    assert lines[0]["version"] == 1
    assert lines[0]["events"] == len(NOTES)
    assert [line["note"] for line in lines[1:]] == NOTES
    assert list(tmp_path.glob(".out*")) == []


def test_export_hash_can_be_worked_out_from_the_documented_form(
    store: Store, tmp_path: Path
) -> None:
    import hashlib

    out = tmp_path / "out.jsonl"
    export_events(store, out)
    head, *events = [json.loads(line) for line in out.read_text(encoding="utf-8").splitlines()]
    style: Any = {"ensure_ascii": False, "separators": (",", ":"), "sort_keys": True}
    for item in events:
        body = {key: item[key] for key in ("statements", "deeds", "predicted", "target")}
        item["body"] = json.dumps(body, **style)
        text = json.dumps([item[key] for key in head["over"]], **style)
        assert hashlib.sha256(text.encode()).hexdigest() == item["hash"]


def test_export_then_import_then_export_is_identical(store: Store, tmp_path: Path) -> None:
    one, two = tmp_path / "one.jsonl", tmp_path / "two.jsonl"
    export_events(store, one)
    other = Store(tmp_path / "b" / "journal.sqlite3")
    assert import_events(journal_of(other), one) == len(NOTES)
    export_events(other, two)
    assert one.read_bytes() == two.read_bytes()
    assert verify_store(other) == []


texts = st.text(st.characters(exclude_categories=("Cs",)), max_size=30)
values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
    | texts,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3),
    max_leaves=8,
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(notes=st.lists(texts, max_size=5), extra=values)
def test_any_text_and_value_survives_the_way_out_and_in(
    tmp_path_factory: pytest.TempPathFactory, notes: list[str], extra: object
) -> None:
    folder = tmp_path_factory.mktemp("way")
    one, two = folder / "one.jsonl", folder / "two.jsonl"
    store = fill(folder / "a.sqlite3", notes, deeds=[{"do": "set", "extra": extra}])
    export_events(store, one)
    other = Store(folder / "b.sqlite3")
    import_events(journal_of(other), one)
    export_events(other, two)
    assert one.read_bytes() == two.read_bytes()
    assert list(other.rows()) == list(store.rows())


def test_import_of_what_is_here_adds_nothing(store: Store, tmp_path: Path) -> None:
    out = tmp_path / "out.jsonl"
    export_events(store, out)
    before = list(store.rows())
    assert import_events(journal_of(store), out) == 0
    assert list(store.rows()) == before


def test_import_goes_on_where_an_older_copy_ends(store: Store, tmp_path: Path) -> None:
    early, late = tmp_path / "early.jsonl", tmp_path / "late.jsonl"
    export_events(store, early)
    with store.writing():
        store.append(event("topped the jar up"))
    export_events(store, late)
    other = Store(tmp_path / "b.sqlite3")
    assert import_events(journal_of(other), early) == len(NOTES)
    assert import_events(journal_of(other), late) == 1
    assert import_events(journal_of(other), early) == 0, "the older copy says nothing new"
    assert list(other.rows()) == list(store.rows())


def test_import_of_a_later_part_needs_what_came_before(store: Store, tmp_path: Path) -> None:
    whole, part = tmp_path / "whole.jsonl", tmp_path / "part.jsonl"
    export_events(store, whole)
    lines = whole.read_bytes().splitlines(keepends=True)
    part.write_bytes(b"".join([lines[0], *lines[3:]]))
    assert names(refused(part, tmp_path / "b")) == [("foreign-journal", 0)]
    assert import_events(journal_of(store), part) == 0


def test_import_refuses_another_story_and_says_where_they_part(
    store: Store, tmp_path: Path
) -> None:
    out = tmp_path / "out.jsonl"
    export_events(store, out)
    other = fill(tmp_path / "b.sqlite3", [*NOTES[:2], "something else"])
    before = list(other.rows())
    with pytest.raises(ProblemError, match="part at event 3") as caught:
        import_events(journal_of(other), out)
    assert names(caught.value) == [("foreign-journal", 0)]
    assert list(other.rows()) == before


def test_import_refuses_a_newer_form(store: Store, tmp_path: Path) -> None:
    out = tmp_path / "out.jsonl"
    export_events(store, out)
    out.write_text(out.read_text(encoding="utf-8").replace('"version": 1', '"version": 2', 1))
    error = refused(out, tmp_path / "b")
    assert names(error) == [("export-newer", 1)]
    assert error.exit_status == EXIT_DAMAGED


@pytest.mark.parametrize("text", ["", "\n", "[]\n", "{}\n", "notes of mine\n", "\x00\xff"])
def test_import_refuses_what_is_no_journal(text: str, tmp_path: Path) -> None:
    out = tmp_path / "out.jsonl"
    out.write_text(text, encoding="latin-1")
    assert names(refused(out, tmp_path / "b")) == [("not-a-journal", 1)]


@pytest.mark.parametrize("change", [('"events": 4', '"events": "x"'), ('"last": "', '"lost": "')])
def test_import_refuses_a_damaged_head(
    store: Store, tmp_path: Path, change: tuple[str, str]
) -> None:
    out = tmp_path / "out.jsonl"
    export_events(store, out)
    out.write_text(out.read_text(encoding="utf-8").replace(*change, 1), encoding="utf-8")
    assert names(refused(out, tmp_path / "b")) == [("head-damaged", 1)]


def test_import_of_a_missing_file_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match="No such file"):
        taken(tmp_path / "none.jsonl", tmp_path / "b")


def test_import_finds_a_changed_event_at_its_line(store: Store, tmp_path: Path) -> None:
    out = tmp_path / "out.jsonl"
    export_events(store, out)
    text = out.read_text(encoding="utf-8")
    out.write_text(text.replace("down to 410", "down to 140"), encoding="utf-8")
    error = refused(out, tmp_path / "b")
    assert ("event-changed", 3) in names(error)
    assert error.exit_status == EXIT_DAMAGED


def test_import_finds_a_missing_event_at_its_line(store: Store, tmp_path: Path) -> None:
    out = tmp_path / "out.jsonl"
    export_events(store, out)
    lines = out.read_bytes().splitlines(keepends=True)
    out.write_bytes(b"".join(lines[:2] + lines[3:]))
    error = refused(out, tmp_path / "b")
    assert names(error) == [("event-missing", 3)]
    assert "Event 2 is missing" in str(error)


@pytest.mark.parametrize("events_left", [0, 1, 3])
def test_import_finds_a_file_cut_between_lines(
    store: Store, tmp_path: Path, events_left: int
) -> None:
    out = tmp_path / "out.jsonl"
    export_events(store, out)
    lines = out.read_bytes().splitlines(keepends=True)
    out.write_bytes(b"".join(lines[: 1 + events_left]))
    error = refused(out, tmp_path / "b")
    assert names(error) == [("event-missing", events_left + 2)]
    assert "ends early" in str(error)


def test_import_finds_a_file_cut_inside_a_line(store: Store, tmp_path: Path) -> None:
    out = tmp_path / "out.jsonl"
    export_events(store, out)
    out.write_bytes(out.read_bytes()[:-20])
    assert ("event-unreadable", 5) in names(refused(out, tmp_path / "b"))


def test_import_finds_any_flipped_bit(store: Store, tmp_path: Path) -> None:
    """Every 7th byte of the events, one bit each: none may pass unnoticed."""
    out = tmp_path / "out.jsonl"
    export_events(store, out)
    whole = out.read_bytes()
    start = whole.index(b"\n") + 1
    home = tmp_path / "b"
    for place in range(start, len(whole), 7):
        flipped = bytearray(whole)
        flipped[place] ^= 1 << (place % 8)
        if json_same(bytes(flipped[start:]), whole[start:]):
            continue  # a blank between two signs of JSON carries nothing
        out.write_bytes(bytes(flipped))
        assert refused(out, home).exit_status == EXIT_DAMAGED


def json_same(one: bytes, other: bytes) -> bool:
    try:
        return [json.loads(line) for line in one.split(b"\n") if line] == [
            json.loads(line) for line in other.split(b"\n") if line
        ]
    except ValueError:
        return False


def test_export_does_not_write_over_the_journal(store: Store) -> None:
    for path in (store.path, store.path.with_name(store.path.name + "-wal")):
        with pytest.raises(ProblemError, match="the journal itself"):
            export_events(store, path)
    assert verify_store(store) == []


def test_export_into_a_missing_folder_is_one_sentence(store: Store, tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match="Cannot be written"):
        export_events(store, tmp_path / "no" / "out.jsonl")


def tamper(store: Store, *statements: str) -> Store:
    """Change what the program itself refuses to change, as a failing disk would."""
    path = store.path
    store.close()
    database = sqlite3.connect(path)
    database.executescript(
        "DROP TRIGGER event_stays; DROP TRIGGER event_is_kept;" + ";".join(statements)
    )
    database.close()
    return Store(path)


def located(store: Store) -> list[tuple[str, str]]:
    return [(problem.name, problem.text.split(" was")[0].split(" is")[0].split(" does")[0])
            for problem in verify_store(store)]  # fmt: skip


def test_verify_passes_a_whole_journal_and_an_empty_one(store: Store, tmp_path: Path) -> None:
    assert verify_store(store) == []
    assert verify_store(Store(tmp_path / "empty.sqlite3")) == []


@pytest.mark.parametrize(
    "change",
    ["note='tray three is down to 140'", "said='2026-08-05T09:00:00'", "kind='undo'",
     "version='9'", "body=replace(body, '2.1', '2.2')", "kept='2020-01-01T00:00:00'"],
)  # fmt: skip
def test_verify_finds_each_changed_field(store: Store, change: str) -> None:
    damaged = tamper(store, f"UPDATE event SET {change} WHERE seq=2")
    assert located(damaged) == [("event-changed", "Event 2")]


def test_verify_finds_a_missing_event(store: Store) -> None:
    assert located(tamper(store, "DELETE FROM event WHERE seq IN (2, 3)")) == [
        ("event-missing", "Events 2 to 3 are missing.")
    ]


def test_verify_finds_a_resealed_event_by_its_follower(store: Store) -> None:
    """A change whose hash was worked out anew still breaks the chain after it."""
    from stillroom.journal.events import event_hash

    row = list(store.rows())[1]
    fake = event_hash([*row[:4], "two kilos of plums", *row[5:8]])
    damaged = tamper(
        store, f"UPDATE event SET note='two kilos of plums', hash='{fake}' WHERE seq=2"
    )
    assert located(damaged) == [("event-order", "Event 3")]


def test_verify_finds_the_end_lost_while_batches_remember_it(store: Store) -> None:
    from stillroom.journal.records import new_batch

    batch = {**new_batch("plum-1", "plum", "2026-08-01T09:00:00"), "touched": 4}
    with store.writing():
        store.put_batches({"plum-1": (True, batch)})  # type: ignore[dict-item] # a Batch in shape
    assert located(tamper(store, "DELETE FROM event WHERE seq=4")) == [("event-missing", "Event 4")]


def test_verify_finds_text_that_is_no_text(store: Store) -> None:
    damaged = tamper(store, "UPDATE event SET note=CAST(x'ff80' AS TEXT) WHERE seq=2")
    assert ("event-unreadable", "Event 2 cannot be read.") in [
        (problem.name, problem.text) for problem in verify_store(damaged)
    ]


def test_export_refuses_an_event_that_cannot_be_read(store: Store, tmp_path: Path) -> None:
    damaged = tamper(store, "UPDATE event SET body='{' WHERE seq=3")
    with pytest.raises(ProblemError, match="Event 3") as caught:
        export_events(damaged, tmp_path / "out.jsonl")
    assert caught.value.exit_status == EXIT_DAMAGED
    assert list(tmp_path.glob("*.jsonl")) == []
