"""A glut week in the kitchen's own words: off the trays, part-litre jars, the trays there are."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest

from stillroom.base.statement import Context
from stillroom.reader.read import read

CONTEXT = Context(now=datetime(2026, 8, 17, 9))


@pytest.mark.parametrize(
    ("note", "slots"),
    [
        ("took the plums off, 980 g", {"act": "weigh", "food": "plum"}),
        ("courgettes are crackly, they're off. 96 g all told", {"act": "weigh"}),
        ("took the plums off, 980 g, into a litre jar", {"act": "pack", "vessel_ml": 1000}),
        ("took 60 g out of the plum jar", {"act": "use"}),
        ("picked 3 kg of plums off the tree", {"act": "have", "food": "plum"}),
        ("tomatoes into four quarter-litre jars", {"vessel_ml": 250, "vessel_count": 4}),
        ("tomatoes into four half litre jars", {"vessel_ml": 500, "vessel_count": 4}),
        ("there's only nine trays in the machine", {"act": "set", "trays": 9}),
        ("tomatoes too, 5 kilo of the plum sort", {"food": "tomato"}),
        ("the rest of the trays got tomatoes", {"act": "load", "food": "tomato"}),
        ("sealed the mix in a jar, pantry", {"act": "pack", "food": None}),
        ("5 kg of plum tomatoes", {"food": "tomato"}),
    ],
)
def test_told_of_the_kitchen(note: str, slots: dict[str, Any]) -> None:
    last = read(note, CONTEXT).statements[-1]
    assert {name: getattr(last, name) for name in slots} == slots


@pytest.mark.parametrize(
    ("note", "about"),
    [
        ("when'll they be ready?", "time"),
        ("anything needing doing?", "due"),
        ("what's running low?", "stock"),
        ("what if I turned it up to 70?", "temperature"),
        ("what did the plums weigh going in?", "history"),
        ("what day are the plums on?", "conditioning"),
        ("have I room for it all?", "loading"),
    ],
)
def test_asked_in_few_words(note: str, about: str) -> None:
    (one,) = read(note, CONTEXT).statements
    assert (one.act, one.about) == ("ask", about)
