"""Notes read end to end, and input that must not break the reading."""

from __future__ import annotations

from datetime import datetime

import pytest

from stillroom.base.statement import Context
from stillroom.reader.read import read

CONTEXT = Context(now=datetime(2026, 8, 14, 9))

CASES = [
    ("6 kg courgettes, shredded", [("have", "zucchini")]),
    ("4 lb damsons, halved, 3 trays at 135F", [("load", "plum")]),
    ("Damsons are leathery. They weigh 310 g.", [("look", "plum"), ("weigh", "plum")]),
    ("How long do dried tomatoes keep?", [("ask", "tomato")]),
    ("Scratch that.", [("amend", None)]),
    ("The kitchen is 82 F and muggy.", [("set", None)]),
    ("the post came late and it was mostly bills", []),
]


@pytest.mark.parametrize(("note", "expected"), CASES)
def test_read_finds_act_and_food(note: str, expected: list[tuple[str, str | None]]) -> None:
    assert [(s.act, s.food) for s in read(note, CONTEXT).statements] == expected


@pytest.mark.parametrize(
    "note",
    ["", " ", "\0\x01", "7" * 5000, "1/0 lb kale", "🍅🍅", "one hundred and " * 4000, "(" * 999],
)
def test_read_survives(note: str) -> None:
    assert read(note, CONTEXT).note == note


def test_read_keeps_the_words() -> None:
    note = "Plums: 12 lb, pitted. How hot?"
    for statement in read(note, CONTEXT).statements:
        assert statement.text == note[statement.start : statement.end]
