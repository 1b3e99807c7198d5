"""The cache is a shortcut: the same rules come out, and whatever is in its way is no matter."""

from __future__ import annotations

from pathlib import Path

import pytest
from packwriting import MOULD, book_of, write

from stillroom.advice.advise import advise
from stillroom.advice.book import RuleBook
from stillroom.advice.packs import load_book
from stillroom.base import cache
from stillroom.base.fact import Fact

SLICED = (Fact("lot", {"batch": "plum-1", "food": "plum", "cut": "sliced"}),)


def built_in(*, remember: bool) -> RuleBook:
    return load_book(installed=False, remember=remember)


def entries(folder: Path) -> list[Path]:
    return sorted((folder / "cache" / "rules").glob("*.json"))


def test_rules_from_the_cache_are_the_rules(tmp_path: Path) -> None:
    first, again, full = built_in(remember=True), built_in(remember=True), built_in(remember=False)
    assert first.rules == again.rules == full.rules
    assert first.layers == again.layers == full.layers
    assert first.problems == again.problems == full.problems
    assert first.plan is None or again.plan is not None
    if not full.problems and first.plan and again.plan:
        assert first.plan.as_json() == again.plan.as_json()


def test_second_load_reads_no_yaml(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    book_of(tmp_path, remember=True)
    assert len(entries(tmp_path)) >= 2
    monkeypatch.setattr("stillroom.advice.pack.parse_pack", None)
    assert len(book_of(tmp_path, remember=True).rules) == 4


def test_changed_pack_is_read_anew(tmp_path: Path) -> None:
    book_of(tmp_path, remember=True)
    write(tmp_path / "own", "base", MOULD.replace("on a mesh", "on a net"))
    book = load_book(built_in=tmp_path / "own", installed=False)
    assert advise(SLICED, book).rulings[0].text == "Lay plum on a net."


@pytest.mark.parametrize(
    "damage",
    [b"", b"{}", b"junk\n[1, 2]", b"\xff" * 100, None],
    ids=["", "{}", "junk", "ff", "cut"],
)
def test_damaged_entries_are_made_anew(tmp_path: Path, damage: bytes | None) -> None:
    whole = book_of(tmp_path, remember=True)
    for entry in entries(tmp_path):
        entry.write_bytes(entry.read_bytes()[:-20] if damage is None else damage)
    assert book_of(tmp_path, remember=True).rules == whole.rules


@pytest.mark.parametrize("data", [[], {}, {"name": 3}, [1, 2], "text", {"rules": [[1]]}])
def test_sound_entries_of_another_shape_are_made_anew(tmp_path: Path, data: object) -> None:
    whole = book_of(tmp_path, remember=True)
    for entry in entries(tmp_path):
        cache.keep(entry.stem, data)
    assert book_of(tmp_path, remember=True).rules == whole.rules


def test_cache_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("a file is in the way")
    assert len(book_of(tmp_path, remember=True).rules) == 4


def test_faulty_pack_keeps_its_places(tmp_path: Path) -> None:
    bad = write(tmp_path, "mine", "", "switch_off: [no.such]\n")
    for _ in range(2):
        (problem,) = book_of(tmp_path, bad, remember=True).problems
        assert (problem.line, problem.column) == (4, 14)


def test_cache_does_not_grow_for_ever(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "MAX_ENTRIES", 8)
    for index in range(30):
        cache.keep(f"k{index}", index)
    assert len(entries(tmp_path)) <= 8
    assert cache.fetch("k29") == 29


def test_gates_from_the_cache_are_the_gates(tmp_path: Path) -> None:
    built_in(remember=True)
    again, full = built_in(remember=True), built_in(remember=False)
    assert [g.as_json() for g in again.gates] == [g.as_json() for g in full.gates]
    assert [g.awake(SLICED) for g in again.gates] == [g.awake(SLICED) for g in full.gates]
