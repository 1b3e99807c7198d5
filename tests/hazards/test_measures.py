"""Hours, heats and shares that hazard rules test, as they are said."""

from __future__ import annotations

import pytest

from stillroom.reader.mention_numbers import measures
from stillroom.reader.mention_words import number_windows, tokens

CASES = [
    ("left out six and a half hours", "H", 6.5),
    ("left out for an hour and a half", "H", 1.5),
    ("sat out for a day and a half", "H", 36),
    ("two hours and a quarter", "H", 2.25),
    ("for two hours thirty", "H", 2.5),
    ("stood for 2h30", "H", 2.5),
    ("stood for 1 hr 45", "H", 1.75),
    ("an hour or two", "H", 2),
    ("between two and three hours", "H", 3),
    ("at 1,5 hours", "H", 1.5),
    ("out since half nine, twelve hours", "H", 12),
    ("2 hours, 30 jars", "H", 2),
    ("two hours 55 c", "H", 2),
    ("three weeks", "H", 504),
    ("12 hrs", "H", 12),
    ("90 mins", "H", 1.5),
    ("heated to one six five", "F", 165),
    ("at a hundred and sixty", "F", 160),
    ("at 71 C", "F", 159.8),
    ("four and a half percent", "P", 4.5),
]


@pytest.mark.parametrize(("words", "kind", "value"), CASES)
def test_what_is_measured_is_read(words: str, kind: str, value: float) -> None:
    found = tokens(words)
    number_windows(found, {})
    read = [one.value for some in measures(found).values() for one in some if one.kind == kind]
    assert read[-1:] == [pytest.approx(value)], read
