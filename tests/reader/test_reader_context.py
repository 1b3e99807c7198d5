"""Follow-ups, short answers, moments, mishearings and what is left unread."""

from __future__ import annotations

from datetime import datetime

import pytest

from stillroom.base.statement import Context, Statement
from stillroom.reader.read import read, split_notes

NOW = datetime(2026, 8, 14, 9)


def only(note: str, context: Context | None = None) -> Statement:
    statements = read(note, context or Context(now=NOW)).statements
    assert len(statements) == 1, statements
    return statements[0]


@pytest.mark.parametrize(
    ("asked", "answer", "slot", "value"),
    [
        ("thickness_mm", "a quarter inch", "thickness_mm", 6.35),
        ("thickness_mm", "6 mm", "thickness_mm", 6.0),
        ("cut", "halved I think", "cut", "halved"),
        ("temperature_c", "fifty five", "temperature_c", 55.0),
        ("trays", "four trays", "trays", 4.0),
    ],
)
def test_short_answer_is_bound_to_the_question(
    asked: str, answer: str, slot: str, value: object
) -> None:
    context = Context(now=NOW, foods=("pear",), asked=asked, asked_batch="pear-1")
    statement = only(answer, context)
    assert (statement.act, statement.food, statement.batch) == ("have", "pear", "pear-1")
    assert getattr(statement, slot) == value


def test_short_answer_of_an_amount_takes_the_usual_unit() -> None:
    statement = only("about five", Context(now=NOW, foods=("plum",), asked="amount"))
    assert statement.amount is not None
    assert statement.amount.si == pytest.approx(2268, abs=1)


def test_follow_up_repeats_the_question() -> None:
    context = Context(now=NOW, last=(Statement("ask", "", food="plum", about="time"),))
    statement = only("and the peppers?", context)
    assert (statement.food, statement.about) == ("bell pepper", "time")


def test_pronoun_means_the_food_lately_spoken_of() -> None:
    assert only("they weigh 310 g", Context(now=NOW, foods=("plum",))).food == "plum"


def test_correction_of_the_food() -> None:
    statement = only("no, the plums", Context(now=NOW, foods=("pear",)))
    assert (statement.act, statement.food) == ("amend", "plum")


def test_contrast_names_what_it_replaces() -> None:
    last = read("The plums weigh 140 g", Context(now=NOW)).statements
    statement = only("410, not 140", Context(now=NOW, foods=("plum",), last=last))
    assert statement.act == "amend"
    assert statement.amount is not None
    assert (statement.amount.si, statement.replaces) == (410, 140)


@pytest.mark.parametrize(
    ("note", "moment"),
    [
        ("loaded the plums at nine last night", datetime(2026, 8, 13, 21)),
        (
            "started the beets at half past seven this morning on 3 trays",
            datetime(2026, 8, 14, 7, 30),
        ),
        ("4 lb plums on 2 trays, since eight", datetime(2026, 8, 14, 8)),
        ("yesterday at noon I put the pears on 3 trays", datetime(2026, 8, 13, 12)),
    ],
)
def test_moment_is_told_from_the_clock(note: str, moment: datetime) -> None:
    assert only(note).at == moment


@pytest.mark.parametrize(
    ("note", "food"),
    [
        ("four pounds of leaks sliced", "leek"),
        ("the pairs feel leathery", "pear"),
        ("picked two bunches of time", "thyme"),
        ("brocolli 2 lb blanched", "broccoli"),
    ],
)
def test_mishearing_is_taken_and_told(note: str, food: str) -> None:
    statement = only(note)
    assert statement.food == food
    assert statement.guesses


@pytest.mark.parametrize(
    "note",
    [
        "there's a leak in the barn roof",
        "it's time for bed",
        "a pair of boots by the door",
        "the current was off all day",
        "she beats me at cards",
        "I told Tom the date of the show",
        "we walked round the bay and saw a stag",
        "his salary went up in May",
        "the beams are damp in the barn",
        "the stage was dry and dusty",
        "I've papered the hall with paisley and it's still damp",
        "two pairs of gloves washed and dried",
        "the corset is washed and dried",
        "the hives are dry and the bees are in",
        "I'll turn up at nine with 3 trays",
    ],
)
def test_ordinary_words_stay_themselves(note: str) -> None:
    assert all(statement.food is None for statement in read(note, Context(now=NOW)).statements)


def test_unknown_food_is_left_unread() -> None:
    reading = read("3 lb plums, halved. 3 lb skirret, peeled", Context(now=NOW))
    assert [s.food for s in reading.statements] == ["plum"]
    assert any("skirret" in stretch for stretch in reading.unread)


def test_ambiguous_word_is_asked_about() -> None:
    reading = read("2 lb squash, sliced", Context(now=NOW))
    assert reading.doubts == (("squash", ("zucchini", "winter squash")),)


@pytest.mark.parametrize(
    ("note", "chat"),
    [("thanks!", "thanks"), ("hello", "greeting"), ("what can I say?", "help"),
     ("goodnight then", "bye"),
     ("what's the weather doing", "outside")],
)  # fmt: skip
def test_small_talk_is_named(note: str, chat: str) -> None:
    assert read(note, Context(now=NOW)).chat == chat


def test_blank_lines_split_notes() -> None:
    assert split_notes("Plums in.\nThree trays.\n\n \nBeets done.") == [
        "Plums in.\nThree trays.",
        "Beets done.",
    ]
    assert split_notes("um so the plums are in and the beets are done") == [
        "um so the plums are in and the beets are done"
    ]
    assert split_notes(" \n\n ") == []
