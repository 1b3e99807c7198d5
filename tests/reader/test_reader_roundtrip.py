"""Statements spoken by a small grammar and read back, and input of any kind."""

from __future__ import annotations

from datetime import datetime

from hypothesis import given, settings
from hypothesis import strategies as st

from stillroom.base.statement import Context
from stillroom.reader.read import read

CONTEXT = Context(now=datetime(2026, 8, 14, 9))
FOODS = st.sampled_from([
    ("plums", "plum"), ("courgettes", "zucchini"), ("beets", "beet"), ("leeks", "leek"),
    ("pears", "pear"), ("runner beans", "green bean"), ("apricots", "apricot"),
])  # fmt: skip
CUTS = st.sampled_from(["sliced", "halved", "diced", "chopped", "shredded"])
PREPS = st.sampled_from(["washed", "peeled", "trimmed", "drained", "blanched"])
ONES = ["two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
COUNTS = st.integers(2, 12)


@given(FOODS, COUNTS, CUTS, PREPS, st.booleans())
@settings(max_examples=150, deadline=None)
def test_food_in_hand_reads_back(
    food: tuple[str, str], pounds: int, cut: str, prep: str, spoken: bool
) -> None:
    number = ONES[pounds - 2] if spoken else str(pounds)
    note = f"{number} pounds of {food[0]} {prep} and {cut}"
    (statement,) = read(note, CONTEXT).statements
    assert (statement.act, statement.food, statement.cut, statement.prep) == (
        "have", food[1], cut, (prep,),
    )  # fmt: skip
    assert statement.amount is not None
    assert statement.amount.value == pounds


@given(FOODS, COUNTS, st.integers(35, 70))
@settings(max_examples=100, deadline=None)
def test_load_reads_back(food: tuple[str, str], trays: int, celsius: int) -> None:
    (statement,) = read(f"{food[0]} on {trays} trays at {celsius} C", CONTEXT).statements
    assert (statement.act, statement.food, statement.trays, statement.temperature_c) == (
        "load", food[1], trays, celsius,
    )  # fmt: skip


@given(st.text(max_size=200))
@settings(max_examples=200, deadline=None)
def test_any_text_is_read_without_fault(note: str) -> None:
    reading = read(note, CONTEXT)
    assert all(s.text == note[s.start : s.end] for s in reading.statements)
