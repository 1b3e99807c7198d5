"""A conversation note by note: reasons, sources, direct answers, questions back, measures."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from stillroom.base.fact import Number
from stillroom.talk.figures import figure_text
from stillroom.talk.loop import converse
from stillroom.talk.phrases import examples
from stillroom.talk.screen import plain_text
from stillroom.talk.session import Session

GLUT = "6 kg courgettes, shredded, drained"


def said(session: Session, note: str, width: int = 96) -> str:
    """What the screen shows for a note, white space evened out."""
    texts = [plain_text(lines, width) for lines in session.lines(note)]
    return " ".join("\n".join(texts).split())


def test_the_next_thing_comes_first(session: Session) -> None:
    assert said(session, GLUT).startswith("Next: ")


def test_the_echo_is_one_line_with_the_name_of_the_batch(session: Session) -> None:
    assert "Read: 6 kg courgettes, shredded, drained. Kept as zucchini-1." in said(session, GLUT)


def test_statements_on_one_batch_are_said_back_together(session: Session) -> None:
    text = said(session, "2 kg plums, halved. They went on 3 mesh trays at 57 C.")
    assert text.count("Read:") == 1
    assert "57 °C (135 °F)" in text


@pytest.mark.parametrize("question", ["why?", "why 60?", "why 140?"])
def test_why_goes_from_the_words_to_the_source(question: str, session: Session) -> None:
    said(session, GLUT)
    text = said(session, question)
    for step in ("60 °C", "You said “6 kg courgettes, shredded, drained”", "Source: ", "Rule: "):
        assert step in text
    places = [text.index(step) for step in ("You said", "Source: ", "Rule: ")]
    assert places == sorted(places)
    assert " True" not in text
    assert "_known" not in text


def test_says_who_names_publications(session: Session) -> None:
    said(session, GLUT)
    answer = session.reply("says who?")
    assert answer.replies[0].sources
    for source in answer.replies[0].sources:
        assert source in session.tables.sources


def test_why_before_anything_was_said(session: Session) -> None:
    assert "no answer before it" in said(session, "why?")


def test_tell_me_more_shows_more_and_lists_sources(session: Session) -> None:
    short = said(session, GLUT)
    more = said(session, "tell me more")
    assert len(more) > len(short)
    assert "[1] " in more


def test_what_can_i_say_gives_examples(session: Session) -> None:
    assert "what needs doing today?" in said(session, "what can I say?")


def test_scratch_that_takes_the_note_back(session: Session) -> None:
    said(session, GLUT)
    assert GLUT in said(session, "scratch that")
    assert not session.journal.view(session.clock())["batches"]


def test_due_stock_use_first_plan_and_history(session: Session) -> None:
    assert "Nothing is due today." in said(session, "what needs doing today?")
    assert "stock is empty" in said(session, "what should we use first?")
    said(session, GLUT)
    assert "Run 1" in said(session, "what shall I dry first, what's the plan?")
    said(session, "the courgettes are brittle, 330 g, into a litre jar to condition")
    tomorrow = said(session, "what's due tomorrow?")
    assert "zucchini-1" in tomorrow
    said(session, "took the courgettes out of conditioning, packed in two half-litre jars, shelf")
    assert "Use first: " in said(session, "what should we use first?")


@pytest.mark.parametrize(
    ("note", "wants"),
    [("plums, halved", "amount"), ("2 kg plums", "cut"), ("3 kg peppers, sliced", "thickness_mm"),
     ("3 kg tomatoes, sliced 5 mm", None)],
)  # fmt: skip
def test_one_question_back(note: str, wants: str | None, session: Session) -> None:
    answer = session.reply(note)
    assert answer.wants == wants
    assert answer.question.count("?") <= 1


def test_no_question_beside_a_stop(session: Session) -> None:
    answer = session.reply("can I vacuum seal plums that are still damp and keep them on a shelf?")
    assert answer.stopped
    assert answer.question == ""


@pytest.mark.parametrize(
    ("note", "unit"), [("2 kg plums, halved", " g ("), ("4 lb plums, halved", " oz (")]
)
def test_figures_come_in_the_speakers_measure(note: str, unit: str, session: Session) -> None:
    assert unit in said(session, note).split("Dried weight")[1][:30]


def test_the_measure_of_the_call_wins(home: Path) -> None:
    assert " oz (" in said(Session(home, measure="us"), "2 kg plums, halved").split("Dried")[1]


@pytest.mark.parametrize(
    ("values", "unit", "measure", "text"),
    [((5.85, 8.31, 11.8), "h", "us", "about 8 h, 6 to 12 h"),
     ((698, 1325, 2849), "ml", "metric", "about 1.3 l (5.6 cups), 0.7 to 2.8 l"),
     ((15.3, 22.9, 30.7), "day", "us", "about 3 weeks, 2 to 4 weeks"),
     ((183, 275, 368), "day", "us", "about 9 months, 6 to 12 months"),
     ((11, 15, 21), "count", "us", "about 15, 11 to 21"),
     ((540, 820, 1770), "g", "us", "about 29 oz (820 g), 19 to 62 oz"),
     ((500, 500, 500), "ml", "metric", "500 ml (2.11 cups)")],
)  # fmt: skip
def test_figures_are_rounded_to_what_they_are_worth(
    values: tuple[float, float, float], unit: str, measure: str, text: str
) -> None:
    assert figure_text(Number("x", *values, unit), measure) == text


def test_what_was_not_understood_is_shown(session: Session) -> None:
    assert "Not understood: “blah wibble”" in said(session, "blah wibble")


def test_thanks_is_answered_kindly(session: Session) -> None:
    assert "welcome" in said(session, "thank you")


@pytest.mark.parametrize("situation", examples())
def test_every_example_of_what_one_can_say_is_understood(situation: str, session: Session) -> None:
    session.reply("4 lb plums, halved")
    for text in examples()[situation]:
        answer = session.reply(text)
        on_paper = {reply.about for reply in answer.replies} & {"paper", "curve"}
        assert answer.reading.statements or answer.reading.chat == "help" or on_paper, text
        assert not answer.unread, text


def test_a_fault_of_our_own_ends_neither_the_conversation_nor_the_journal(
    home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def faulty(*_: object, **__: object) -> None:
        raise ZeroDivisionError("made for this test")

    monkeypatch.setattr(sys, "stdin", io.StringIO("3 kg plums\nthanks\n"))
    monkeypatch.setattr("stillroom.enrich.enrich.enrich", faulty)
    assert converse(lambda: Session(home), home, plain=True) == 70
    out, err = capsys.readouterr()
    assert err.count("a fault of its own") >= 1
    assert "Traceback" not in err
    assert out.count("you> ") == 2
    assert Session(home).journal.view(Session(home).clock())["batches"]


def test_damage_in_a_conversation_is_told_and_remembered(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("pack: [", encoding="utf-8")
    monkeypatch.setattr(sys, "stdin", io.StringIO("3 kg plums\n3 kg plums\n"))
    assert converse(lambda: Session(home, packs=[bad]), home, plain=True) == 3
    assert "bad.yaml" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("question", "reason"),
    [
        ("why shake the jars?", "damp ones give to the dry ones"),
        ("why blanch the courgettes?", "stops the enzymes"),
        ("why condition the plums?", "damp ones give to the dry ones"),
        ("why wash them?", "germs that drying does not kill"),
    ],
)
def test_why_of_a_step_gives_the_reason_of_its_rule(
    session: Session, question: str, reason: str
) -> None:
    said(session, "6 kg plums, halved, pitted")
    assert reason in said(session, question)


@pytest.mark.parametrize(
    ("question", "start"),
    [
        # In the first two "dried" is the outcome; in the others it is what is had.
        ("how much dried will 3 kg of plums make?", "Dried, it weighs about 460 g"),
        ("how much will 3 kg of plums weigh dried", "Dried, it weighs about 460 g"),
        ("how much fresh to get 100 g dried leeks", "Fresh, that would be about"),
        ("how many cups does 300 g of dried plums make", "Fresh, that would be about"),
    ],
)
def test_dried_may_be_the_outcome_or_the_stuff(session: Session, question: str, start: str) -> None:
    assert session.reply(question).replies[0].text.startswith(start)
