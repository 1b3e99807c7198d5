"""What is said of the shelves, of own batches, and of an answer given by another process."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from stillroom.base.clock import parse_now
from stillroom.reader.read import read
from stillroom.talk.cli import run
from stillroom.talk.label_text import label_records
from stillroom.talk.session import Session

STORY = (
    ("2026-06-01T08:00:00", "2 kg tomatoes, sliced 6 mm, on 5 trays at 60 C"),
    ("2026-06-02T08:00:00", "tomatoes leathery and dry, 200 g, into a quart jar to condition"),
    ("2026-06-09T08:00:00", "packed the tomatoes in a pint jar, larder, labelled"),
    ("2026-06-10T08:00:00", "80 g dried parsley leaves in a tin in the cupboard"),
    ("2026-06-10T08:05:00", "60 g dried coriander leaves in a tin in the cupboard"),
    ("2026-06-15T08:00:00", "used 20 g of the dried tomatoes"),
    ("2026-06-22T08:00:00", "used 20 g of the dried tomatoes"),
    ("2026-06-29T08:00:00", "used 20 g of the dried tomatoes"),
)


@pytest.fixture
def moment() -> list[datetime]:
    return [parse_now("2026-06-30T08:00:00")]


@pytest.fixture
def session(tmp_path: Path, moment: list[datetime]) -> Session:
    """A month of use: 60 g in four weeks of 200 g, so 15 g a week and 140 g left."""
    session = Session(tmp_path, measure="metric", clock=lambda: moment[0])
    for at, note in STORY:
        moment[0] = parse_now(at)
        reading = read(note, session.context(moment[0]))
        session.journal.keep(note, reading.statements, moment[0])
    moment[0] = parse_now("2026-06-30T08:00:00")
    return session


def told(session: Session, note: str) -> str:
    (reply,) = session.reply(note).replies
    return " ".join([reply.text, *reply.detail])


@pytest.mark.parametrize(
    "note",
    ["will the dried tomatoes last?", "how long will the dried tomatoes last at this rate?",
     "how much dried tomato is left?", "what needs doing?", "what have I got in stock?"],
)  # fmt: skip
def test_pace_is_said_with_the_next_harvest(session: Session, note: str) -> None:
    said = told(session, note)
    assert "about 15 g a week" in said
    assert "not to the next harvest (about 1 June 2027)" in said


def test_keeping_is_not_mistaken_for_pace(session: Session) -> None:
    assert "a week;" not in told(session, "how long do dried tomatoes keep?")


@pytest.mark.parametrize("note", ["what needs doing?", "what have I got in stock?"])
def test_jars_alike_are_said_until_both_are_labelled(session: Session, note: str) -> None:
    assert "look alike in a jar" in told(session, note)
    for herb in ("parsley", "coriander"):
        session.reply(f"labelled the {herb}")
    assert "look alike" not in told(session, note)


def test_labels_tell_how_to_soak_pieces_alone(session: Session) -> None:
    """rehydration_use.csv: tomatoes up to half an hour; leaves go in dry."""
    by_title = {record.title: record for record in label_records(session)}
    assert by_title["Sliced tomatoes"].lines[-1] == (
        "Soak in 1½ times its volume of boiling water, up to 30 min"
    )
    assert not any("Soak" in line for line in by_title["Parsley leaves"].lines)


def test_the_journal_is_printed_in_the_measure_of_the_speaker(
    session: Session, capsys: pytest.CaptureFixture[str]
) -> None:
    session.journal.close()
    words = ["--home", str(session.home), "--now", "2026-06-30T08:00:00", "journal"]
    assert run([*words, "--json"]) == 0
    capsys.readouterr()
    assert run(["--measure", "us", *words]) == 0
    assert "4.9 oz (140 g) left" in capsys.readouterr().out
    assert run(words) == 0
    assert "140 g (4.9 oz) left" in capsys.readouterr().out, "told in grams, so printed in grams"


def test_why_works_in_a_program_just_started(session: Session, moment: list[datetime]) -> None:
    session.reply("what temperature for courgettes?")
    session.reply("what needs doing?")
    fresh = Session(session.home, measure="metric", clock=lambda: moment[0])
    assert told(fresh, "why?").startswith("Dry courgettes at")
    assert "rests on" in told(Session(session.home, clock=lambda: moment[0]), "says who?")


def test_why_after_a_stop_gives_the_reason_of_the_stop(
    session: Session, moment: list[datetime]
) -> None:
    session.reply("can I oven can the tomatoes?")
    fresh = Session(session.home, clock=lambda: moment[0])
    assert "oven" in told(fresh, "why?")


def test_why_without_any_answer_before_says_so(tmp_path: Path) -> None:
    session = Session(tmp_path / "new", clock=lambda: parse_now("2026-06-30T08:00:00"))
    assert "no answer" in told(session, "why?")


def test_three_own_batches_shift_the_guess_and_it_is_said(
    tmp_path: Path, moment: list[datetime]
) -> None:
    """Real weights are 1.2 times the program's own first guess; see learn.py for the pooling."""
    session = Session(tmp_path / "own", measure="metric", clock=lambda: moment[0])

    def tell(at: str, note: str) -> tuple[float, str]:
        moment[0] = parse_now(at)
        answer = session.reply(note)
        number = next((n for n in answer.numbers if n.name == "dry_mass"), None)
        return (number.likely, " ".join(number.assumes)) if number else (0.0, "")

    load = "2 kg tomatoes, sliced 6 mm, on 5 trays at 60 C"
    first, said = tell("2026-07-01T08:00:00", load)
    assert "Your last" not in said
    for month in ("07", "08", "09"):
        if month != "07":
            tell(f"2026-{month}-01T08:00:00", load)
        tell(
            f"2026-{month}-01T20:00:00",
            f"tomatoes leathery and dry, {1.2 * first:.0f} g, into a quart jar to condition",
        )
        tell(f"2026-{month}-10T08:00:00", "packed the tomatoes in a pint jar, larder")
    shifted, said = tell("2026-10-01T08:00:00", load)
    assert shifted / first == pytest.approx(1.2**0.6, rel=0.02), "three batches weigh 3 / (3 + 2)"
    assert "Your last three tomato batches came to 1.2 times my first guess" in said
    assert "Your last three tomato batches" in told(session, "how much will the tomatoes come to?")
    assert "tomato-3" in " ".join(session.reply("forget that batch").kept)
    session.reply("used up the dried tomato-2")
    assert "tomato-2" in " ".join(session.reply("forget tomato-2").kept), "a closed one too"
    fewer, said = tell("2026-10-02T08:00:00", "another 2 kg tomatoes, sliced 6 mm, on 5 trays")
    assert first < fewer < shifted
    assert "Your last tomato batch came to 1.2" in said
    kept = session.journal.store.batches(open_only=False)
    session.journal.rebuild()
    assert session.journal.store.batches(open_only=False) == kept
