"""Conversions at the counter, against the sizes of NIST Handbook 44 (Appendix C)."""

from __future__ import annotations

import pytest

from stillroom.talk.convert import conversion
from stillroom.talk.session import Session


@pytest.mark.parametrize(
    ("note", "measure", "text"),
    [
        ("what's 2 lb in grams?", "us", "2 lb is 907 g."),  # 453.59237 g to the pound
        ("how many ml in a cup", "us", "1 cup is 237 ml."),  # 236.588 ml
        ("how many ml in a cup", "metric", "1 cup is 250 ml."),
        ("convert 140 F", "us", "140 °F is 60 °C."),
        ("60 C in F", "us", "60 °C is 140 °F."),
        ("what is half a pound in ounces", "us", "0.5 pound is 8 oz."),
    ],
)
def test_plain_conversions(note: str, measure: str, text: str) -> None:
    reply = conversion(note, measure)
    assert reply is not None
    assert reply.text == text


def test_weight_and_volume_need_a_food() -> None:
    reply = conversion("what is 2 cups in grams", "us")
    assert reply is not None
    assert "known food" in reply.text


@pytest.mark.parametrize("note", ["2 lb plums in 3 jars", "what is the temperature for plums",
                                  "how many jars in the cellar"])  # fmt: skip
def test_other_notes_are_no_conversion(note: str) -> None:
    assert conversion(note, "us") is None


def test_a_conversion_is_no_food_told_of(session: Session) -> None:
    session.reply("2 kg plums, halved")
    answer = session.reply("what's 2 lb in grams?")
    assert answer.replies[0].text == "2 lb is 907 g."
    assert not answer.reading.statements
