"""Pace of use and jars that could be mistaken for each other."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from stillroom.base.statement import Amount, Statement
from stillroom.journal.journal import Journal
from stillroom.journal.records import Knowhow

KNOW = Knowhow(
    lookalikes=[(("zucchini", "powdered"), ("cucumber", "powdered"))],
    keeping=lambda line: {"zucchini": 100.0, "cucumber": 50.0}.get(str(line["food"])),
)


def grams(value: float) -> Amount:
    return Amount("g", "g", value, value)


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


@pytest.fixture
def journal(tmp_path: Path) -> Journal:
    journal = Journal(tmp_path / "journal.sqlite3", KNOW)
    for food in ("zucchini", "cucumber", "leek"):
        note = f"packed 200 g of {food} powder in a jar in the cellar"
        journal.keep(note, [Statement(
            "pack", note, food=food, cut="powdered", amount=grams(200.0), vessel="jar",
            vessel_count=1, place="cellar",
        )], at("2026-08-01T08:00:00"))  # fmt: skip
    return journal


def test_look_alikes_are_named_until_both_are_labelled(journal: Journal) -> None:
    assert journal.unlabelled_pairs() == [("cucumber-1", "zucchini-1")]
    for food in ("zucchini", "cucumber"):
        note = f"labelled the {food} powder"
        said = Statement("pack", note, food=food, cut="powdered", dated=True)
        journal.keep(note, [said], at("2026-08-02T08:00:00"))
    assert journal.unlabelled_pairs() == []


def test_pace(journal: Journal) -> None:
    for day in ("08", "15"):
        said = Statement("use", "used 20 g of leek powder", food="leek", amount=grams(20.0))
        journal.keep("used", [said], at(f"2026-08-{day}T08:00:00"))
    rows = {row["food"]: row for row in journal.pace(at("2026-08-29T08:00:00"))}
    assert rows["leek"] == {  # 40 g in four weeks, 160 g left: sixteen weeks more
        "food": "leek", "per_week_g": 10.0, "left_g": 160.0, "weeks": 16.0,
        "lasts_until": "2026-12-19", "season": "2027-08-01",
    }  # fmt: skip
    assert rows["zucchini"]["weeks"] is None


def test_a_week_is_too_short_for_a_pace(journal: Journal) -> None:
    assert journal.pace(at("2026-08-05T08:00:00")) == []
