"""Disks that are full, read-only, busy or damaged, and clocks that go wrong: one clear sentence,
nothing lost, and the damage located."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from stillroom.base.clock import parse_now
from stillroom.base.problem import EXIT_DAMAGED, ProblemError
from stillroom.base.statement import Amount, Statement
from stillroom.journal.exchange import export_events, import_events, verify_file, verify_store
from stillroom.journal.journal import Journal
from stillroom.journal.schema import SCHEMA_VERSION
from stillroom.journal.store import Store

NOW = parse_now("2026-08-14T09:00:00")


def plums(number: int) -> tuple[str, list[Statement]]:
    grams = 1000.0 + number
    note = f"{grams:.0f} g plums"
    return note, [Statement("have", note, food="plum", amount=Amount("g", "g", grams, grams))]


def tell(journal: Journal, number: int, now: datetime = NOW) -> str:
    note, statements = plums(number)
    journal.keep(note, statements, now)
    return note


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A journal of forty notes, closed, with nothing left in the log beside it."""
    path = tmp_path / "home" / "journal.sqlite3"
    journal = Journal(path)
    for number in range(40):
        tell(journal, number, NOW + timedelta(hours=number))
    journal.close()
    assert not path.with_name(path.name + "-wal").exists()
    return path


def sentence(error: ProblemError) -> str:
    (problem,) = error.problems
    assert problem.text.endswith(".")
    assert problem.remedy.endswith(".")
    assert "Traceback" not in str(problem)
    return problem.name


def notes_in(path: Path) -> list[str]:
    store = Store(path)
    found = [row[4] for row in store.rows()]
    store.close()
    return found


# a full disk


def tell_until_refused(journal: Journal, told: list[str]) -> str:
    """Tell notes, adding those that were kept, until one is refused; the name of the refusal."""
    for number in range(100, 3000):
        try:
            told.append(tell(journal, number))
        except ProblemError as error:
            return sentence(error)
    raise AssertionError("the disk never filled up")


def test_full_database_keeps_what_was_and_says_so(path: Path) -> None:
    """SQLite's own limit on pages stands in for the disk: the same error, SQLITE_FULL."""
    journal = Journal(path)
    pages = journal.store._db.execute("PRAGMA page_count").fetchone()[0]
    journal.store._db.execute(f"PRAGMA max_page_count={pages + 2}")
    told = [f"{1000 + number:.0f} g plums" for number in range(40)]
    assert tell_until_refused(journal, told) == "journal-full"
    assert verify_store(journal.store) == []
    journal.store._db.execute(f"PRAGMA max_page_count={pages + 1000}")
    told.append(tell(journal, 999))
    journal.close()
    assert notes_in(path) == told


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="mounts a small tmpfs")
def test_full_disk_keeps_what_was_and_says_so(tmp_path: Path) -> None:
    small = tmp_path / "small"
    small.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=400k", "tmpfs", str(small)]
    if subprocess.run(mount, check=False, capture_output=True).returncode:
        pytest.skip("may not mount")
    try:
        told: list[str] = []
        journal = Journal(small / "journal.sqlite3")
        assert tell_until_refused(journal, told) in ("journal-full", "journal-disk")
        assert [row[4] for row in journal.store.rows()] == told
        assert verify_store(journal.store) == []
        with pytest.raises(ProblemError, match="Cannot be written"):
            export_events(journal.store, small / "out.jsonl")
        assert list(small.glob("*.jsonl")) == []
        assert list(small.glob(".*.part")) == []
        journal.close()
    finally:
        subprocess.run(["umount", str(small)], check=True)


# places that may not be written


@contextmanager
def as_nobody() -> Iterator[None]:
    """Root may write anywhere; give the right up for a while."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def open_way(tmp_path: Path) -> None:
    """Let others into the folders above, so that only the last one refuses."""
    for folder in (tmp_path, *tmp_path.parents):
        if folder.owner() == Path.home().owner() and folder != Path("/"):
            folder.chmod(folder.stat().st_mode | 0o055)


posix = pytest.mark.skipif(sys.platform == "win32", reason="rights as POSIX has them")


@posix
@pytest.mark.usefixtures("open_way")
def test_read_only_home_is_one_sentence(tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir(mode=0o555)
    with as_nobody(), pytest.raises(ProblemError) as caught:
        Journal(home / "sub" / "journal.sqlite3")
    assert sentence(caught.value) == "journal-unopened"
    with as_nobody(), pytest.raises(ProblemError) as caught:
        Journal(home / "journal.sqlite3")
    assert sentence(caught.value) == "journal-unopened"


@posix
@pytest.mark.usefixtures("open_way")
def test_read_only_journal_can_not_be_told_and_loses_nothing(path: Path) -> None:
    before = notes_in(path)
    path.chmod(0o444)
    path.parent.chmod(0o555)
    try:
        with as_nobody(), pytest.raises(ProblemError) as caught:
            tell(Journal(path), 99)
        assert sentence(caught.value) in ("journal-read-only", "journal-unopened")
    finally:
        path.parent.chmod(0o755)
        path.chmod(0o644)
    assert notes_in(path) == before


def test_home_that_is_a_file_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "home").write_text("a file where a folder belongs")
    with pytest.raises(ProblemError) as caught:
        Journal(tmp_path / "home" / "journal.sqlite3")
    assert sentence(caught.value) == "journal-unopened"


def test_journal_that_is_a_folder_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "journal.sqlite3").mkdir()
    with pytest.raises(ProblemError) as caught:
        Journal(tmp_path / "journal.sqlite3")
    assert sentence(caught.value) == "journal-unopened"


# two programs at once


def test_locked_journal_is_one_sentence_and_keeps_nothing(path: Path) -> None:
    journal = Journal(path)
    journal.store._db.execute("PRAGMA busy_timeout=50")
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(ProblemError) as caught:
        tell(journal, 99)
    assert sentence(caught.value) == "journal-busy"
    assert len(journal.view(NOW)["batches"]), "reading goes on meanwhile"
    other.execute("ROLLBACK")
    other.close()
    tell(journal, 99)
    assert len(list(journal.store.rows())) == 41


_WRITER = """
import sys
from datetime import datetime
from pathlib import Path
from stillroom.base.statement import Amount, Statement
from stillroom.journal.journal import Journal
journal = Journal(Path(sys.argv[1]))
for number in range(25):
    note = f"{sys.argv[2]}{number} g plums"
    item = Statement("have", note, food="plum", amount=Amount("g", "g", 500.0, 500.0))
    journal.keep(note, [item], datetime(2026, 8, 14, 9))
"""


def test_two_programs_on_one_home_lose_nothing(path: Path) -> None:
    writers = [
        subprocess.Popen([sys.executable, "-c", _WRITER, str(path), str(name)]) for name in (7, 8)
    ]
    assert [writer.wait(60) for writer in writers] == [0, 0]
    journal = Journal(path)
    assert len(set(notes_in(path))) == 40 + 50
    assert verify_store(journal.store) == []
    before = journal.store.batches(open_only=False)
    journal.rebuild()
    assert journal.store.batches(open_only=False) == before


# versions


def test_newer_journal_is_refused_and_left_alone(path: Path) -> None:
    database = sqlite3.connect(path)
    database.execute(f"PRAGMA user_version={SCHEMA_VERSION + 1}")
    database.close()
    before = path.read_bytes()
    with pytest.raises(ProblemError, match="newer stillroom"):
        verify_file(path)
    with pytest.raises(ProblemError, match="newer stillroom") as caught:
        Journal(path)
    assert sentence(caught.value) == "journal-newer"
    assert caught.value.exit_status == EXIT_DAMAGED
    assert path.read_bytes() == before


# damage


def damage(path: Path) -> list[Any]:
    """Everything that is said of a damaged file."""
    return verify_file(path)


def test_truncated_file_is_found(path: Path) -> None:
    whole = path.read_bytes()
    for share in (0.1, 0.5, 0.9):
        path.write_bytes(whole[: int(len(whole) * share)])
        assert damage(path), f"cut to {share:.0%}"


def test_file_that_is_no_database_is_found(path: Path) -> None:
    path.write_bytes(b"plums, halved\n" * 400)
    (problem,) = damage(path)
    assert problem.name == "journal-damaged"


def test_flipped_byte_in_a_note_is_located(path: Path) -> None:
    whole = path.read_bytes()
    place = whole.index(b"1024 g plums")
    path.write_bytes(whole[:place] + b"2" + whole[place + 1 :])
    assert [problem.text for problem in damage(path)] == ["Event 25 was changed or damaged."]


def test_flipped_bit_anywhere_in_the_events_is_found(path: Path) -> None:
    """One bit in each of many places where the file holds text of events."""
    whole = path.read_bytes()
    places = [at for word in (b"2026-08-", b'"deeds"', b" g plums") for at in _all(whole, word)]
    in_events = 0
    store = Store(path)
    told = {text for row in store.rows() for text in (row[4], row[5])}
    store.close()
    for place in places[::9]:
        changed = bytearray(whole)
        changed[place + 3] ^= 4
        path.write_bytes(bytes(changed))
        found = damage(path)
        if found:
            in_events += 1
        else:  # only what is derived, or a free page, may pass: the events are word for word
            fresh = Store(path)
            assert {text for row in fresh.rows() for text in (row[4], row[5])} == told
            fresh.close()
    assert in_events > 10


def _all(text: bytes, word: bytes) -> Iterator[int]:
    at = text.find(word)
    while at >= 0:
        yield at
        at = text.find(word, at + 1)


def test_damage_to_what_is_derived_is_told_from_damage_to_events(path: Path) -> None:
    database = sqlite3.connect(path)
    database.execute("UPDATE d_batch SET body=replace(body, '1022.0', '1822.0')")
    database.commit()
    database.close()
    (problem,) = damage(path)
    assert problem.name == "derived-damaged"
    assert "plum-12" in problem.text
    database = sqlite3.connect(path)
    database.execute("UPDATE d_batch SET body='{' WHERE name='plum-1'")
    database.commit()
    database.close()
    assert damage(path)


def test_every_flipped_byte_is_found_or_harmless(path: Path) -> None:
    """Places all over the file: found, or the journal shows the same and its events are equal."""
    whole = path.read_bytes()
    journal = Journal(path)
    shown, rows = journal.view(NOW), list(journal.store.rows())
    journal.close()
    found = 0
    for place in range(700, len(whole), len(whole) // 60):
        changed = bytearray(whole)
        changed[place] ^= 0x11
        path.write_bytes(bytes(changed))
        if damage(path):
            found += 1
            continue
        again = Journal(path)
        assert list(again.store.rows()) == rows
        assert again.view(NOW) == shown
        again.close()
    assert found > 15


def test_page_of_noise_is_found_and_the_rest_still_read(path: Path) -> None:
    whole = bytearray(path.read_bytes())
    place = whole.index(b"1024 g plums") // 4096 * 4096
    whole[place : place + 4096] = bytes(range(256)) * 16
    path.write_bytes(bytes(whole))
    problems = damage(path)
    names = {problem.name for problem in problems}
    assert "pages-damaged" in names or "journal-damaged" in names
    assert any("Event 25" in problem.text or "25" in problem.text for problem in problems)


def test_lost_log_leaves_a_whole_if_older_journal(path: Path) -> None:
    """A log that is gone takes its events along; what is left is sound, and an export fills it."""
    journal = Journal(path)
    tell(journal, 50)
    out = path.parent / "out.jsonl"
    export_events(journal.store, out)
    main = path.read_bytes()
    journal.close()
    path.write_bytes(main)
    path.with_name(path.name + "-wal").unlink(missing_ok=True)
    again = Journal(path)
    assert len(list(again.store.rows())) == 40
    assert verify_store(again.store) == []
    assert import_events(again, out) == 1
    assert len(list(again.store.rows())) == 41


# clocks


def test_clock_that_goes_backwards_loses_nothing(path: Path) -> None:
    journal = Journal(path)
    late = tell(journal, 60, NOW + timedelta(days=30))
    early = tell(journal, 61, NOW - timedelta(days=300))
    assert notes_in(path)[-2:] == [late, early]
    assert verify_store(journal.store) == []
    assert journal.view(NOW)["batches"]
    before = journal.store.batches(open_only=False)
    journal.rebuild()
    assert journal.store.batches(open_only=False) == before


def test_daylight_saving_and_another_zone_change_no_note(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Moments are the cook's own clock without a zone, so moving home shifts nothing."""
    import time

    journal = Journal(path)
    before = journal.view(NOW), list(journal.store.rows())
    try:
        for zone in ("Pacific/Auckland", "America/St_Johns", "UTC"):
            monkeypatch.setenv("TZ", zone)
            time.tzset()
            again = Journal(path)
            assert (again.view(NOW), list(again.store.rows())) == before
            tell(again, 70, parse_now("2026-10-25T02:30:00"))  # comes twice in Europe
            assert verify_store(again.store) == []
            before = again.view(NOW), list(again.store.rows())
    finally:
        monkeypatch.undo()
        time.tzset()


# export, import and rebuild of a real journal


def test_export_import_export_of_a_told_journal_is_identical(path: Path) -> None:
    journal = Journal(path)
    journal.undo(NOW)
    one, two = path.parent / "one.jsonl", path.parent / "two.jsonl"
    export_events(journal.store, one)
    other = Journal(path.parent / "other.sqlite3")
    assert import_events(other, one) == 41
    export_events(other.store, two)
    assert one.read_bytes() == two.read_bytes()
    assert other.view(NOW) == journal.view(NOW)
    assert other.store.batches(open_only=False) == journal.store.batches(open_only=False)
    assert other.store.undone() == journal.store.undone()


def test_import_cut_off_before_the_refill_is_made_good_on_opening(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = Journal(path)
    out = path.parent / "out.jsonl"
    export_events(journal.store, out)
    other = Journal(path.parent / "other.sqlite3")

    def killed() -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(other, "rebuild", killed)
    with pytest.raises(KeyboardInterrupt):
        import_events(other, out)
    other.close()
    again = Journal(path.parent / "other.sqlite3")
    assert again.view(NOW) == journal.view(NOW)
