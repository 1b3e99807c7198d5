"""Example notes: what is kept of them is used only while everything it rests on is the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

import pytest

from stillroom.advice import trials
from stillroom.advice.advise import advise
from stillroom.advice.check import rules_check
from stillroom.advice.packs import load_book
from stillroom.advice.trials import Trial, try_notes
from stillroom.base.fact import Fact
from stillroom.talk import example_facts
from stillroom.talk.example_facts import mark

PACK = """\
pack: shed
version: 1.0.0
standing: made up for a test
sources: {made-up: Nothing at all.}
rules:
  - id: shed.wet
    when: [{as: lot, kind: lot, food: plum, cut: shredded}]
    advise: {topic: surface, value: solid-sheet}
    say: Use a sheet.
    why: A made-up reason.
    sources: [made-up]
    examples:
      fires: ["wet"]
      silent: ["dry"]
"""


@dataclass
class Reader:
    """Gives facts by a table and counts how often it is asked."""

    cuts: dict[str, str]
    asked: list[str] = field(default_factory=list)

    def __call__(self, note: str) -> Sequence[Fact]:
        self.asked.append(note)
        return (Fact("lot", {"batch": "plum-1", "food": "plum", "cut": self.cuts[note]}),)


@pytest.fixture
def pack(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    file = tmp_path / "shed.yaml"
    file.write_text(PACK, encoding="utf-8")
    return file


def faults(pack: Path, reader: Reader, mark: str) -> list[str]:
    return [p.text for p in rules_check([pack], reader, mark=mark) if p.name == "example"]


def test_facts_are_read_once_while_the_mark_stands(pack: Path) -> None:
    reader = Reader({"wet": "shredded", "dry": "halved"})
    assert faults(pack, reader, "one") == []
    assert faults(pack, reader, "one") == []
    assert sorted(reader.asked) == ["dry", "wet"]


def test_another_reader_is_asked_again_and_its_verdict_counts(pack: Path) -> None:
    assert faults(pack, Reader({"wet": "shredded", "dry": "halved"}), "one") == []
    worse = Reader({"wet": "sliced", "dry": "halved"})
    assert faults(pack, worse, "two") == ["shed.wet: it stays silent on 'wet'."]


def test_without_a_mark_nothing_is_kept(pack: Path) -> None:
    reader = Reader({"wet": "shredded", "dry": "halved"})
    faults(pack, reader, "")
    faults(pack, reader, "")
    assert len(reader.asked) == 4


def test_a_damaged_entry_counts_as_none(pack: Path, tmp_path: Path) -> None:
    reader = Reader({"wet": "shredded", "dry": "halved"})
    faults(pack, reader, "one")
    entries = list((tmp_path / "cache").rglob("examples-*.json"))
    assert entries
    for entry in entries:
        entry.write_bytes(entry.read_bytes()[:-9])
    assert faults(pack, reader, "one") == []
    assert len(reader.asked) == 4


@pytest.mark.parametrize("cores", [1, 2])
def test_one_process_and_several_find_the_same(
    cores: int, pack: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(trials, "MANY_NOTES", 1)
    monkeypatch.setattr(trials, "_cores", lambda: cores)
    cuts = {f"note {n}": ("shredded", "halved", "diced")[n % 3] for n in range(60)}
    book = load_book(extra=[pack], installed=False, remember=False)
    reader = Reader(cuts)
    told: list[tuple[int, int]] = []
    found = try_notes(Trial(book, reader, "one"), cuts, lambda done, of: told.append((done, of)))
    for note in cuts:
        made = advise(reader(note), book, engine="plain")
        assert found[note].fired == {firing.rule for firing in made.firings}
        assert ("shed.wet" in found[note].fired) is (cuts[note] == "shredded")
    assert told[-1] == (60, 60)
    assert [done for done, _ in told] == sorted(done for done, _ in told)


def test_the_mark_changes_with_knowledge_and_moment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "foods.csv").write_text("id\nplum\n", encoding="utf-8")
    monkeypatch.setattr(example_facts, "knowledge_dir", lambda: tmp_path)
    now = datetime(2026, 8, 14)
    first = mark(now)
    assert mark(now) == first
    assert mark(datetime(2026, 8, 15)) != first
    (tmp_path / "foods.csv").write_text("id\npear\n", encoding="utf-8")
    assert mark(now) != first
