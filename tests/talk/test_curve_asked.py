"""A drying curve asked for in plain words, at the width of a phone and of a desk."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from stillroom.talk.curve_asked import curve_asked
from stillroom.talk.screen import plain_text
from stillroom.talk.session import Session


@pytest.fixture
def dried(tmp_path: Path) -> Session:
    now = [datetime(2026, 8, 14, 9)]
    session = Session(tmp_path, clock=lambda: now[0])
    session.reply("4 kg plums, halved and pitted, on ten trays at 60 C")
    for hours, kilos in ((4, 2.9), (6, 2.0), (6, 1.4)):
        now[0] += timedelta(hours=hours)
        session.reply(f"the plums weigh {kilos} kg")
    return session


@pytest.mark.parametrize(
    "note",
    [
        "show me the curve", "plot the plums", "can you graph the plums?", "draw plum-1",
        "Show the drying curve of the plums", "how does the curve look?", "the curve please",
        "I want to see a chart of the weights",
    ],
)  # fmt: skip
@pytest.mark.parametrize("width", [40, 96])
def test_a_curve_is_drawn_for_plain_words(dried: Session, note: str, width: int) -> None:
    text = plain_text(dried.lines(note)[0], width)
    assert "O" in text
    assert "plum-1" in text
    assert "[kg]" in " ".join(text.split())
    assert max(map(len, text.splitlines())) <= width


@pytest.mark.parametrize(
    "note",
    [
        "picked 2 kg of plums from the lower plot", "the plums are curving at the edges",
        "show me the stock", "drew off 300 ml of juice", "the knife has a curved blade",
    ],
)  # fmt: skip
def test_other_talk_asks_for_no_curve(note: str) -> None:
    assert curve_asked(note) == ""


def test_without_a_batch_on_the_trays_it_says_what_is_needed(tmp_path: Path) -> None:
    session = Session(tmp_path, clock=lambda: datetime(2026, 8, 14, 9))
    assert "weigh" in plain_text(session.lines("plot the tomatoes")[0], 80)
