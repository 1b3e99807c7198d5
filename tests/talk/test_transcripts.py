"""The demo transcripts: each reads as its reviewed expectation says; together they touch it all."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from stillroom.base.fact import TOPICS
from stillroom.talk.session import Session

ROOT = Path(__file__).resolve().parents[2]
TRANSCRIPTS = sorted((ROOT / "transcripts_demo").glob("*.txt"))
EXPECTED = Path(__file__).parent / "expected"
NOW = datetime(2026, 8, 14, 21, 0)
# The slots of a statement that are held; the stretch of the note is held apart.
SLOTS = (
    "act", "food", "amount", "size", "cut", "thickness_mm", "prep", "surface", "temperature_c",
    "trays", "hours", "day", "sign", "vessel", "vessel_ml", "vessel_count", "seal", "place",
    "about",
)  # fmt: skip


def held(statement: dict[str, Any]) -> dict[str, Any]:
    """The slots that are compared: sets sorted, amounts as said, figures rounded."""
    kept: dict[str, Any] = {}
    for name in SLOTS:
        value = statement.get(name)
        if value in (None, [], ""):
            continue
        if isinstance(value, list):
            value = sorted(value)
        if name == "amount":
            value = {key: value[key] for key in ("value", "low", "high", "unit") if key in value}
        kept[name] = round(value, 1) if isinstance(value, float) else value
    return kept


@pytest.mark.parametrize("path", TRANSCRIPTS, ids=lambda path: path.stem)
def test_reading(path: Path, session: Session) -> None:
    expected = json.loads((EXPECTED / f"{path.stem}.json").read_text(encoding="utf-8"))
    read: list[dict[str, Any]] = []
    for note in session.notes(path.read_text(encoding="utf-8")):
        answer = session.reply(note)
        for item in answer.as_json()["statements"]:
            assert " ".join(item["text"].split()) in " ".join(note.split())
            read.append(held(item))
    assert read == [held(item) for item in expected]


def test_every_transcript_has_one_expectation() -> None:
    assert [path.stem for path in TRANSCRIPTS] == sorted(
        path.stem for path in EXPECTED.glob("*.json")
    )


def test_together_they_touch_every_topic(tmp_path: Path) -> None:
    touched: set[str] = set()
    for path in TRANSCRIPTS:
        session = Session(tmp_path / path.stem, clock=lambda: NOW)
        for note in session.notes(path.read_text(encoding="utf-8")):
            answer = session.reply(note)
            touched |= {ruling.topic for ruling in answer.advice.rulings}
            touched |= {reply.about for reply in answer.replies}
    assert set(TOPICS) - touched == set()
