"""Moments said in every way, against a fixed clock and, where it counts, a fixed zone."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stillroom.base.statement import Context
from stillroom.reader.pieces import cut_pieces
from stillroom.reader.read import read
from stillroom.reader.times import Times

NOW = datetime(2026, 9, 18, 20, 15)  # a Friday


def moment(words: str, now: datetime = NOW) -> datetime | None:
    lows = [piece.low for piece in cut_pieces(words)]
    return Times(lows, now).find(0, len(lows) - 1)


def at(month: int, day: int, hour: int = 12, minute: int = 0, year: int = 2026) -> datetime:
    return datetime(year, month, day, hour, minute)


CASES = [
    # calendar dates
    ("loaded on the 3rd of September", at(9, 3)),
    ("loaded on the third of September", at(9, 3)),
    ("loaded on September the third", at(9, 3)),
    ("12 Sept, plums", at(9, 12)),
    ("Sept. 12: plums", at(9, 12)),
    ("September 3rd at nine in the morning", at(9, 3, 9)),
    ("jarred 2026-09-03", at(9, 3)),
    ("jarred 03/09/2026", at(9, 3)),
    ("jarred 09/03/2026", at(9, 3)),
    ("jarred 3.9.2026", at(9, 3)),
    ("jarred 13/8/26", at(8, 13)),
    ("jarred on 13/8", at(8, 13)),
    ("the twenty first of August", at(8, 21)),
    ("the thirty first of August, 2025", at(8, 31, year=2025)),
    ("packed on the 2nd of October", at(10, 2, year=2025)),
    ("on the 29th of February", at(2, 29, year=2024)),
    ("on the 12th I loaded three trays", at(9, 12)),
    ("since the 31st", at(8, 31)),
    ("25 december", at(12, 25, year=2025)),
    ("on 3 May", at(5, 3)),
    ("May 3rd at noon", at(5, 3, 12)),
    # no date
    ("31/02/2026", None),
    ("on the 31st of June", None),
    ("best by 12 Sept 2027", None),
    ("use by the 3rd of September", None),
    ("12 Sept 2027", None),
    ("I may 3 times a day", None),
    ("in March 3 kg came in", None),
    ("on the 3rd tray", None),
    ("on the third day", None),
    ("3/4 inch slices", None),
    ("on 3/4 of the trays", None),
    ("a date with the almanac", None),
    # so long ago
    ("two hours ago", at(9, 18, 18, 15)),
    ("an hour ago", at(9, 18, 19, 15)),
    ("half an hour ago", at(9, 18, 19, 45)),
    ("an hour and a half ago", at(9, 18, 18, 45)),
    ("two and a half hours ago", at(9, 18, 17, 45)),
    ("about 6 hrs ago", at(9, 18, 14, 15)),
    ("twenty minutes or so ago", at(9, 18, 19, 55)),
    ("a fortnight ago", at(9, 4, 20, 15)),
    ("three weeks ago", at(8, 28, 20, 15)),
    ("a couple of days ago", at(9, 16, 20, 15)),
    ("10 days ago", at(9, 8, 20, 15)),
    ("a month ago", at(8, 18, 20, 15)),
    ("six months ago", at(3, 18, 20, 15)),
    ("a year ago", at(9, 18, 20, 15, 2025)),
    ("ages ago", None),
    ("999999999 days ago", None),
    # days
    ("yesterday", at(9, 17)),
    ("the day before yesterday", at(9, 16)),
    ("yesterday at noon", at(9, 17)),
    ("yesterday morning", at(9, 17, 8)),
    ("last night", at(9, 17, 21)),
    ("this morning", at(9, 18, 8)),
    ("last Tuesday", at(9, 15)),
    ("on Tuesday evening", at(9, 15, 19)),
    ("Tuesday at half past eight in the morning", at(9, 15, 8, 30)),
    ("last friday", at(9, 11)),
    ("a week last Tuesday", at(9, 8)),
    ("a week ago", at(9, 11, 20, 15)),
    ("on sat", at(9, 12)),
    ("last week", at(9, 11)),
    ("last month", at(8, 18)),
    ("we sat in the sun", None),
    ("for Sunday", None),
    ("by next Tuesday", None),
    ("Sunday's dinner", None),
    ("stood out since dusk", at(9, 18, 20)),
    ("stood out since midnight", at(9, 18, 0)),
    # the clock
    ("since nine", at(9, 18, 9)),
    ("since half nine", at(9, 18, 9, 30)),
    ("at half past eight", at(9, 18, 8, 30)),
    ("quarter to six", at(9, 18, 17, 45)),
    ("at a quarter past ten", at(9, 18, 10, 15)),
    ("at ten to seven", at(9, 18, 18, 50)),
    ("at twenty five past four", at(9, 18, 16, 25)),
    ("at 9:30", at(9, 18, 9, 30)),
    ("at 21:15 last night", at(9, 17, 21, 15)),
    ("started at 9.30", at(9, 18, 9, 30)),
    ("7.45 this morning", at(9, 18, 7, 45)),
    ("6 pm", at(9, 18, 18)),
    ("six o'clock this morning", at(9, 18, 6)),
    ("six o'clock", at(9, 18, 18)),
    ("nine thirty in the morning", at(9, 18, 9, 30)),
    ("five forty five this morning", at(9, 18, 5, 45)),
    ("noon today", at(9, 18, 12)),
    ("tonight", None),
    ("half nine kilos", None),
    ("at one thirty", None),
    ("set to nine trays", None),
    ("9.30 kg", None),
    ("at 55", None),
]  # fmt: skip


@pytest.mark.parametrize(("words", "expected"), CASES)
def test_times_finds_the_moment(words: str, expected: datetime | None) -> None:
    assert moment(words) == expected


def test_a_part_of_the_day_still_to_come_is_that_of_yesterday() -> None:
    morning = NOW.replace(hour=9)
    assert moment("stood out since lunchtime", morning) == at(9, 17)
    assert moment("this afternoon", morning) is None


def test_times_never_lie_ahead() -> None:
    for hour in range(24):
        now = NOW.replace(hour=hour)
        for words, _ in CASES:
            found = moment(words, now)
            assert found is None or found <= now + timedelta(minutes=5), (words, now)


SHAPES = [
    lambda day: f"on {day:%Y-%m-%d}",
    lambda day: f"on the {day.day}{suffix(day.day)} of {day:%B} {day.year}",
    lambda day: f"{day:%B} {day.day}, {day.year}",
    lambda day: f"{day.day} {day:%b} {day.year}",
    lambda day: f"{day:%b}{'.' * (day.month != 5)} {day.day}{suffix(day.day)} {day.year}",
]


def suffix(day: int) -> str:
    return "th" if 10 < day < 20 else {1: "st", 2: "nd", 3: "rd"}.get(day % 10, "th")


@given(st.dates(date(1990, 1, 1), date(2026, 9, 17)))
@settings(max_examples=150, deadline=None)
def test_every_date_reads_back_from_five_shapes(day: date) -> None:
    for shape in SHAPES:
        assert moment(shape(day)) == datetime(day.year, day.month, day.day, 12), shape(day)


@given(st.dates(date(2026, 3, 1), date(2026, 9, 17)))
@settings(max_examples=100, deadline=None)
def test_a_date_without_its_year_is_the_newest(day: date) -> None:
    for words in (f"{day.day} {day:%B}", f"{day:%B} the {day.day}{suffix(day.day)}"):
        assert moment(words) == datetime(2026, day.month, day.day, 12)


@given(st.dates(date(2026, 7, 1), date(2026, 9, 17)))
def test_a_written_date_is_read_either_way_round(day: date) -> None:
    for words in (f"{day:%d/%m/%Y}", f"{day:%d.%m.%Y}", f"{day:%d-%m-%Y}"):
        found = moment(words)
        assert found is not None
        assert datetime(day.year, day.month, day.day, 12) <= found


@pytest.fixture
def dublin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "Europe/Dublin")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.mark.usefixtures("dublin")
@pytest.mark.parametrize(
    ("words", "now", "expected"),
    [
        # the clocks went on at 01:00 on 29 March 2026 and back at 02:00 on 25 October 2026
        ("nine hours ago", datetime(2026, 3, 29, 9), datetime(2026, 3, 28, 23)),
        ("nine hours ago", datetime(2026, 10, 25, 9), datetime(2026, 10, 25, 1)),
        ("half past one this morning", datetime(2026, 3, 29, 9), datetime(2026, 3, 29, 2, 30)),
        ("two days ago", datetime(2026, 3, 30, 9), datetime(2026, 3, 28, 9)),
        ("a year ago", datetime(2028, 2, 29, 9), datetime(2027, 2, 28, 9)),
    ],
)
def test_times_follow_the_clocks(words: str, now: datetime, expected: datetime) -> None:
    assert moment(words, now) == expected


@pytest.mark.parametrize(
    ("note", "act", "food", "hour"),
    [
        ("12 Sept: 4 lb damsons, halved, on three trays", "load", "plum", at(9, 12)),
        ("loaded the beets six hours ago on 2 trays at 55 C", "load", "beet", at(9, 18, 14, 15)),
        ("On the 3rd of May I jarred the courgettes, two pints", "pack", "zucchini", at(5, 3)),
        ("pears 2026-09-12 on 3 trays", "load", "pear", at(9, 12)),
    ],
)  # fmt: skip
def test_dates_are_no_amounts(note: str, act: str, food: str, hour: datetime) -> None:
    statement = read(note, Context(now=NOW)).statements[-1]
    assert (statement.act, statement.food, statement.at) == (act, food, hour)
    assert statement.hours is None
    if statement.amount is not None:
        assert statement.amount.unit in ("lb", "pt")
