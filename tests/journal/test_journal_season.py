"""A season of sixty-odd notes with undos, a re-dry, a split, a merge and discards, day by day."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import yaml
from test_journal_stories import missing, tell

from stillroom.journal.journal import Journal
from stillroom.journal.stock import balance_g, present
from stillroom.tables.tables import tables
from stillroom.talk.knowhow import knowhow

SEASON = yaml.safe_load(
    (Path(__file__).parents[1] / "data" / "journal_season.yaml").read_text(encoding="utf-8")
)


def check(journal: Journal, wanted: dict[str, Any]) -> None:
    view = journal.view(datetime.fromisoformat(wanted["at"]))
    foods = {batch["name"]: batch["food"] for batch in view["batches"]}
    for part in ("batches", "stock"):
        assert missing(wanted.get(part, []), view[part]) == [], (wanted["at"], view[part])
    due = {(thing["what"], foods[thing["batch"]]) for thing in view["due"]}
    assert {tuple(pair) for pair in wanted.get("due", [])} <= due, wanted["at"]
    assert not {tuple(pair) for pair in wanted.get("absent", [])} & due, wanted["at"]
    for food, count in wanted.get("listed", {}).items():
        assert list(foods.values()).count(food) == count, wanted["at"]
    for key, value in wanted.get("kitchen", {}).items():
        assert journal.kitchen()[key] == value
    assert all(abs(balance_g(b)) < 1 for b in journal.store.batches(open_only=False).values())


def test_season(tmp_path: Path) -> None:
    assert len(SEASON["turns"]) >= 60
    journal = Journal(tmp_path / "journal.sqlite3", knowhow(tables()))
    checks = list(SEASON["checks"])
    for when, note in SEASON["turns"]:
        while checks and checks[0]["at"] < when:
            check(journal, checks.pop(0))
        tell(journal, when, note)
    for wanted in checks:
        check(journal, wanted)
    before = journal.store.batches(open_only=False)
    journal.rebuild()
    assert journal.store.batches(open_only=False) == before


def test_all_that_dried_is_accounted_for(tmp_path: Path) -> None:
    """What was weighed dry is in stock, used, thrown out, or in the mix; to a gram."""
    journal = Journal(tmp_path / "journal.sqlite3", knowhow(tables()))
    for when, note in SEASON["turns"]:
        tell(journal, when, note)
    kept = journal.store.batches(open_only=False).values()
    roots = [batch for batch in kept if not batch["parents"] and batch["food"]]
    dried = sum(batch["dry_g"] or 0.0 for batch in roots)
    split = [batch for batch in kept if batch["parents"] and batch["dry_g"] is not None]
    dried += sum(
        batch["dry_g"] or 0.0
        for batch in split
        if all(_root_is_fresh(journal, name) for name in batch["parents"])
    )
    there = sum(present(batch) or 0.0 for batch in kept)
    left = sum(batch["used_g"] + batch["discarded_g"] for batch in kept)
    salt = 10.0
    assert abs(dried + salt - there - left) < 1.0


def _root_is_fresh(journal: Journal, name: str) -> bool:
    """Whether a parent was divided before it was dry, so that its own end weight is unknown."""
    batch = journal.store.batches(names=[name])[name]
    return batch["dry_g"] is None
