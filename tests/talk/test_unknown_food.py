"""A food that no table knows gets figures of its kind, wider than a known one's, and is told so."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from stillroom.enrich.loads import Kitchen
from stillroom.enrich.unknown import unknown_food
from stillroom.talk.session import Session


@pytest.fixture
def quiet(tmp_path: Path) -> Session:
    return Session(tmp_path, clock=lambda: datetime(2026, 8, 14, 9))


@pytest.mark.parametrize(
    ("note", "name", "kind"),
    [
        ("3 kg samphire, chopped, on the trays at 55 C", "samphire", "vegetable"),
        ("1 kg salsify, sliced 5 mm, how long to dry?", "salsify", "vegetable"),
        ("how long to dry samphire?", "samphire", "vegetable"),
        ("2 kg of sea buckthorn berries on trays", "sea buckthorn berries", "fruit"),
        ("500 g woodruff leaves to dry", "woodruff", "herb"),
    ],
)
def test_an_unknown_food_goes_by_its_kind(quiet: Session, note: str, name: str, kind: str) -> None:
    answer = quiet.reply(note)
    reply = answer.replies[0]
    assert f"I do not know “{name}”" in reply.text
    assert f"As a {kind}" in reply.detail[0]
    assert answer.unread == ()


@pytest.mark.parametrize("note", ["what a lovely day", "5 kg of cement", "thanks", "2 kg of air"])
def test_other_talk_is_no_unknown_food(quiet: Session, note: str) -> None:
    assert all(reply.about != "unknown-food" for reply in quiet.reply(note).replies)


def test_a_stop_is_not_answered_with_figures(quiet: Session) -> None:
    answer = quiet.reply("2 kg hemlock leaves on the trays")
    assert answer.stopped
    assert all(reply.about != "unknown-food" for reply in answer.replies)


def test_the_range_is_wider_than_that_of_a_known_food(quiet: Session) -> None:
    odd = {n.name: n for n in unknown_food("samphire", "vegetable", 1000, {}, Kitchen())}
    known = {n.name: n for n in quiet.reply("1 kg courgettes, sliced, on the trays").numbers}
    for name in ("drying_time", "dry_mass"):
        wide = odd[name].high / odd[name].low
        assert wide > known[name].high / known[name].low


def test_a_heat_beyond_the_sums_gets_no_figure(quiet: Session) -> None:
    reply = quiet.reply("3 kg samphire, sliced, on the trays at 150 C").replies[0]
    assert "does not reach" in reply.text
    assert reply.detail == ()
