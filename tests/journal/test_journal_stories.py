"""Stories told note by note: what the journal shows at the end; a rebuild shows the same."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
import yaml

from stillroom.base.statement import Context
from stillroom.journal.journal import Journal
from stillroom.journal.stock import balance_g
from stillroom.reader.read import read
from stillroom.tables.tables import tables
from stillroom.talk.knowhow import knowhow

STORIES = yaml.safe_load(
    (Path(__file__).parents[1] / "data" / "journal_stories.yaml").read_text(encoding="utf-8")
)


def tell(journal: Journal, when: str, note: str) -> Any:
    now = datetime.fromisoformat(when)
    statements = journal.recent(6)
    foods = dict.fromkeys(item.food for item in reversed(statements) if item.food)
    open_ = tuple((lot["batch"], lot.get("food"), lot["stage"]) for lot in journal.lots(now))
    context = Context(now, "us", tuple(foods), tuple(statements), batches=open_)
    return journal.keep(note, read(note, context).statements, now)


def agrees(want: dict[str, Any], got: dict[str, Any]) -> bool:
    for key, value in want.items():
        other = got.get(key)
        if isinstance(value, int | float) and not isinstance(value, bool):
            if not isinstance(other, int | float) or abs(other - value) > max(2, 0.02 * value):
                return False
        elif other != value:
            return False
    return True


def missing(wants: list[dict[str, Any]], gots: list[dict[str, Any]]) -> list[dict[str, Any]]:
    left, lost = list(gots), []
    for want in wants:
        hit = next((got for got in left if agrees(want, got)), None)
        if hit is None:
            lost.append(want)
        else:
            left.remove(hit)
    return lost


def check_due(journal: Journal, wanted: dict[str, list[str]]) -> None:
    for day, whats in wanted.items():
        due = journal.view(datetime.fromisoformat(f"{day}T08:00:00"))["due"]
        found = sorted({thing["what"] for thing in due if thing["at"].startswith(day)})
        assert found == sorted(whats), day


@pytest.mark.parametrize("story", STORIES, ids=[story["name"] for story in STORIES])
def test_story(story: dict[str, Any], tmp_path: Path) -> None:
    journal = Journal(tmp_path / "journal.sqlite3", knowhow(tables()))
    asked = []
    for number, (when, note) in enumerate(story["turns"]):
        asked += [number] if tell(journal, when, note).questions else []
    assert asked == story.get("asks", asked)
    view = journal.view(datetime.fromisoformat(story["turns"][-1][0]))
    assert missing(story.get("batches", []), view["batches"]) == [], view["batches"]
    assert missing(story.get("stock", []), view["stock"]) == [], view["stock"]
    assert len(view["batches"]) == story.get("count", len(view["batches"])), view["batches"]
    assert len(view["stock"]) == story.get("stock_count", len(view["stock"])), view["stock"]
    check_due(journal, story.get("due_on", {}))
    kept = journal.store.batches(open_only=False)
    assert all(abs(balance_g(batch)) < 1 for batch in kept.values())
    journal.rebuild()
    assert journal.store.batches(open_only=False) == kept
