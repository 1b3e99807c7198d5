"""Packs on top of each other: who may change what, what the list shows, where packs come from."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

import pytest
from packwriting import book_of, write

from stillroom.advice.advise import advise
from stillroom.advice.packs import load_book
from stillroom.advice.trace import rules_list
from stillroom.base.fact import Fact

SLICED = (Fact("lot", {"batch": "plum-1", "food": "plum", "cut": "sliced"}),)
MY_SHEET = (
    "\n  - id: surface.mesh\n    when: [{as: lot, kind: lot, cut: sliced}]\n"
    "    advise: {topic: surface, value: solid-sheet}\n    say: Use a sheet.\n"
)


def said(folder: Path, *extra: Path) -> list[str]:
    return [ruling.text for ruling in advise(SLICED, book_of(folder, *extra)).rulings]


def test_switching_a_rule_off_changes_the_answer(tmp_path: Path) -> None:
    assert said(tmp_path) == ["Lay plum on a mesh."]
    assert said(tmp_path, write(tmp_path, "mine", "", "switch_off: [surface.mesh]\n")) == []


def test_taking_the_pack_away_changes_the_answer(tmp_path: Path) -> None:
    book_of(tmp_path)
    (tmp_path / "own" / "base.yaml").unlink()
    write(tmp_path / "own", "empty", "", "switch_off: []\n")
    book = load_book(built_in=tmp_path / "own", installed=False)
    assert advise(SLICED, book).rulings == ()


def test_replacing_and_who_comes_last_wins(tmp_path: Path) -> None:
    one = write(tmp_path, "one", MY_SHEET, "replace: [surface.mesh]\n")
    assert said(tmp_path, one) == ["Use a sheet."]
    two = write(tmp_path, "two", "", "switch_off: [surface.mesh]\n")
    assert said(tmp_path, one, two) == []
    listed = rules_list(book_of(tmp_path, one, two))
    assert "surface.mesh of base: replaced by one" in listed
    assert "surface.mesh of one: switched off by two" in listed


def test_without_replace_an_id_stays_with_the_first(tmp_path: Path) -> None:
    mine = write(tmp_path, "mine", MY_SHEET)
    assert [p.name for p in book_of(tmp_path, mine).problems] == ["id-taken"]
    assert said(tmp_path, mine) == ["Lay plum on a mesh."]


def test_an_override_takes_the_ruling_on_the_same_topic_and_batch(tmp_path: Path) -> None:
    rules = MY_SHEET.replace("surface.mesh", "my.sheet") + "    overrides: [surface.mesh]\n"
    assert said(tmp_path, write(tmp_path, "mine", rules)) == ["Use a sheet."]


def test_rules_that_override_each_other_are_told_and_both_stand(tmp_path: Path) -> None:
    one = MY_SHEET.replace("surface.mesh", "my.one") + "    overrides: [my.two]\n"
    two = (
        one.replace("my.two", "my.xxx").replace("my.one", "my.two").replace("my.xxx", "my.one")
    )  # fmt: skip
    mine = write(tmp_path, "mine", one + two.replace("Use", "Take"))
    assert [p.name for p in book_of(tmp_path, mine).problems] == ["override-cycle"]
    assert set(said(tmp_path, mine)) == {"Use a sheet.", "Take a sheet.", "Lay plum on a mesh."}


@pytest.mark.parametrize("rid", ["surface.mehs", "surface.mesh.x"])
def test_unknown_rules_are_named_with_the_nearest(tmp_path: Path, rid: str) -> None:
    mine = write(tmp_path, "mine", "", f"switch_off: [{rid}]\n")
    (problem,) = book_of(tmp_path, mine).problems
    assert (problem.line, problem.column, problem.name) == (4, 14, "unknown-rule")
    assert problem.remedy == "Did you mean 'surface.mesh'?"


def test_same_pack_name_twice(tmp_path: Path) -> None:
    problems = book_of(tmp_path, write(tmp_path, "base", MY_SHEET)).problems
    assert [p.name for p in problems] == ["pack-twice"]


def test_packs_of_the_home(tmp_path: Path) -> None:
    book_of(tmp_path)
    write(tmp_path / "home" / "rules", "mine", "", "switch_off: [surface.mesh]\n")
    book = load_book(built_in=tmp_path / "own", home=tmp_path / "home", installed=False)
    assert [pack.origin for pack in book.packs] == ["built-in", "home"]
    assert advise(SLICED, book).rulings == ()


def test_packs_of_an_installed_distribution_are_found_and_its_code_is_not_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "site" / "orchard_rules"
    write(package / "packs", "orchard", MY_SHEET, "replace: [surface.mesh]\n")
    (package / "__init__.py").write_text("raise SystemExit('this code must not run')\n")
    info = tmp_path / "site" / "orchard_rules-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: orchard-rules\nVersion: 1.0\n")
    (info / "entry_points.txt").write_text(
        "[stillroom.rules]\norchard = orchard_rules.packs\nbroken = no_such_package\n"
    )
    monkeypatch.syspath_prepend(str(tmp_path / "site"))
    importlib.invalidate_caches()
    book_of(tmp_path)
    book = load_book(built_in=tmp_path / "own")
    assert ("orchard", "installed") in [(pack.name, pack.origin) for pack in book.packs]
    assert "orchard_rules" not in sys.modules
    assert [ruling.text for ruling in advise(SLICED, book).rulings] == ["Use a sheet."]
