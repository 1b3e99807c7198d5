"""What needs doing and how things stand, from a season on the hill farm."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from stillroom.talk.session import Session
from stillroom.talk.standing import due_sentences, job_words

NOW = datetime(2026, 8, 24, 8, 0)
NAMES = {"plum-1": "plums", "kale-1": "kale"}


def _shake(day: int) -> dict[str, str]:
    return {"at": f"2026-08-{day}", "what": "shake", "batch": "plum-1"}


def test_missed_days_are_told_with_the_newest() -> None:
    assert due_sentences([_shake(20), _shake(23), _shake(24)], NAMES, NOW) == [
        "Today: shake the plums (plum-1) and look for clumps and fog "
        "(Thursday and yesterday missed)."
    ]


def test_days_carry_capitals_and_a_coming_hour_its_clock() -> None:
    late = {"at": "2026-08-20", "what": "pack", "batch": "kale-1"}
    soon = {"at": "2026-08-24T14:30:00", "what": "check-dryness", "batch": "kale-1"}
    assert due_sentences([late, soon], NAMES, NOW) == [
        "Since Thursday 20 August: pack the kale (kale-1).",
        "Today at 14:30: look whether the kale (kale-1) is dry.",
    ]


def test_a_calendar_gets_the_job_without_its_day() -> None:
    assert job_words(_shake(24), NAMES) == "Shake the plums (plum-1) and look for clumps and fog"


@pytest.mark.parametrize(
    "question", ["now what?", "how are they doing?", "how are the plums getting on"]
)
def test_where_things_stand_is_told_when_nothing_is_due(session: Session, question: str) -> None:
    session.reply("6 kg plums, halved, pitted, on 6 trays at 60 C")
    session.clock = lambda: datetime(2026, 8, 14, 9, 0) + timedelta(hours=3)  # type: ignore[method-assign]
    heads = [reply for reply in session.reply(question).replies if reply.about == "due"]
    assert heads[0].text == "Nothing is due today."
    assert heads[0].detail[0].startswith("Plums (plum-1): ")


def test_a_shake_without_a_word_on_what_was_seen_counts_for_every_jar(session: Session) -> None:
    for note in ("6 kg plums, halved, pitted, on 6 trays at 60 C",
                 "plums are leathery and dry, 1 kg, into a 2 litre jar to condition"):  # fmt: skip
        session.reply(note)
    start = session.clock()
    session.clock = lambda: start + timedelta(days=1)  # type: ignore[method-assign]
    assert [item["what"] for item in session.journal.due(session.clock())] == ["shake"]
    session.reply("gave the jars a shake, all fine")
    assert session.journal.due(session.clock()) == []


def test_what_is_only_meant_changes_no_batch(session: Session) -> None:
    session.reply("6 kg plums, halved, pitted")
    session.reply("I'd like to pickle the plums")
    assert [b["stage"] for b in session.journal.view(NOW)["batches"]] == ["in-hand"]


def test_a_note_that_gave_nothing_is_shown_as_not_understood(session: Session) -> None:
    answer = session.reply("the quux frobs the wibble 9 times")
    assert answer.as_json()["unread"] == ["the quux frobs the wibble 9 times"]


def test_food_that_looks_dry_and_is_too_heavy_is_not_called_done(session: Session) -> None:
    session.reply("5 kg tomatoes, cored, sliced 6 mm, 8 trays at 57 C")
    answer = session.reply("the tomatoes are crisp and dry, 482 g")
    rules = {ruling.rule for ruling in answer.advice.rulings}
    assert "dryness.heavy" in rules
    assert "dryness.looks-done" not in rules


def test_how_long_fresh_food_waits_comes_before_how_long_dried_food_keeps(
    session: Session,
) -> None:
    session.reply("2 kg peppers")
    reply = session.reply("how long will the peppers keep?").replies[0]
    assert reply.text.startswith("Fresh peppers wait about ")


@pytest.mark.parametrize(
    ("question", "start"),
    [
        ("can I dry onions and plums together?", "Do not dry onions together with plums"),
        ("can I dry mint and plums together?", "Dry mint apart from plums"),
        ("can I dry pears and plums together?", "Pears and plums may share the dryer"),
    ],
)
def test_foods_that_may_and_may_not_share_the_dryer(
    session: Session, question: str, start: str
) -> None:
    (reply,) = session.reply(question).replies
    assert reply.text.startswith(start)


def test_a_question_without_a_number_gets_the_rule_that_takes_up_its_words(
    session: Session,
) -> None:
    session.reply("4 kg plums, halved, pitted, on 5 trays at 60 C")
    assert "Turn the pieces" in session.reply("should I turn the plums over?").replies[0].text
    assert "Trays you need" in session.reply("how many trays for the plums?").replies[0].text


def test_a_plan_with_nothing_in_hand_is_what_is_to_do(session: Session) -> None:
    assert session.reply("what's the plan for today?").replies[0].text == "Nothing is due today."


def test_how_a_food_is_dried_is_told_step_by_step(session: Session) -> None:
    (reply,) = session.reply("how do I dry apples?").replies
    assert reply.text == "Apples, step by step."
    assert [line[:2] for line in reply.detail] == [f"{k}." for k in range(1, len(reply.detail) + 1)]
    told = " ".join(reply.detail)
    for word in ("60 °C", "It takes about", "7 days"):
        assert word in told
