"""The reading of our own labelled notes, typed and as a phone hears them, slot by slot."""

from __future__ import annotations

import csv
import json
from datetime import datetime
from pathlib import Path

import pytest
from reading_score import Score

from stillroom.base.statement import Context
from stillroom.reader.read import read

HERE = Path(__file__).parent
CONTEXT = Context(now=datetime(2026, 8, 14, 9))
NOTES = [
    json.loads(line)
    for path in sorted(HERE.glob("notes*.jsonl"))
    for line in path.read_text("utf-8").splitlines()
]
QUESTIONS = list(csv.DictReader((HERE / "questions.csv").read_text("utf-8").splitlines()))


@pytest.mark.parametrize(("kind", "least"), [("typed", 0.95), ("voice", 0.93)])
def test_notes_are_read(kind: str, least: float) -> None:
    score = Score()
    wrong = []
    for case in NOTES:
        if case["kind"] == kind:
            read_now = [one.as_json() for one in read(case["note"], CONTEXT).statements]
            if not score.add(case["statements"], read_now):
                wrong.append(case["note"])
    print(f"\n{kind}\n{score.table()}\n" + "\n".join(wrong))
    assert score.f1 >= least, wrong


def test_no_food_appears_that_was_not_said() -> None:
    surplus = {}
    for case in NOTES:
        said = {one.get("food") for one in case["statements"]}
        found = {one.food for one in read(case["note"], CONTEXT).statements if one.food}
        if found - said:
            surplus[case["note"]] = found - said
    assert len(surplus) <= 2, surplus


def test_questions_find_what_they_are_about() -> None:
    wrong = []
    for row in QUESTIONS:
        statements = read(row["question"], CONTEXT).statements
        if [one.about for one in statements] != [row["about"]]:
            wrong.append((row["about"], row["question"], [(s.act, s.about) for s in statements]))
    assert len(wrong) <= len(QUESTIONS) * 0.03, wrong
