"""Juice told of in notes: added up by food, due as jelly, salted kept apart, taken back again."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from stillroom.base.clock import parse_now
from stillroom.base.paths import knowledge_dir
from stillroom.reader.read import read
from stillroom.science.juice import JELLY_BATCH_ML
from stillroom.talk.session import Session

Tell = Callable[[str, str], None]


@pytest.fixture
def moment() -> list[datetime]:
    return [parse_now("2026-09-01T08:00:00")]


@pytest.fixture
def session(tmp_path: Path, moment: list[datetime]) -> Session:
    return Session(tmp_path, measure="metric", clock=lambda: moment[0])


@pytest.fixture
def tell(session: Session, moment: list[datetime]) -> Tell:
    """Keeps a note without working the answer out, which is slow."""

    def told(at: str, note: str) -> None:
        moment[0] = parse_now(at)
        reading = read(note, session.context(moment[0]))
        session.journal.keep(note, reading.statements, moment[0])

    return told


def held(session: Session) -> dict[tuple[str | None, bool], float]:
    return {(lot["food"], lot["salted"]): lot["ml"] for lot in session.journal.juice()}


def jelly(session: Session, at: str) -> list[tuple[str, str]]:
    due = session.journal.due(parse_now(at))
    return [(one["at"], one["batch"]) for one in due if one["what"] == "make-jelly"]


def test_the_batch_of_jelly_is_the_one_of_the_tables() -> None:
    with (knowledge_dir() / "pickling.csv").open(encoding="utf-8", newline="") as stream:
        rows = [row for row in csv.DictReader(stream) if "batch of jelly" in row["condition"]]
    assert [float(row["value"]) for row in rows] == [JELLY_BATCH_ML]


def test_juice_of_one_food_adds_up_until_jelly_is_due(session: Session, tell: Tell) -> None:
    tell("2026-09-01T08:00:00", "4 kg plums, halved, pitted")
    tell("2026-09-01T09:00:00", "pressed the plums, 600 ml of juice, froze it")
    assert jelly(session, "2026-09-02T08:00:00") == []
    tell("2026-09-03T09:00:00", "another 400 ml of plum juice in the freezer")
    assert jelly(session, "2026-09-04T08:00:00") == [("2026-09-03", "plum-juice")]
    tell("2026-09-04T09:00:00", "made jelly with 950 ml of the plum juice")
    assert held(session) == {("plum", False): pytest.approx(50)}
    assert jelly(session, "2026-09-05T08:00:00") == []
    session.journal.undo(parse_now("2026-09-05T09:00:00"))
    assert jelly(session, "2026-09-05T10:00:00") == [("2026-09-03", "plum-juice")]


def test_no_batch_is_begun_or_weighed_by_its_juice(session: Session, tell: Tell) -> None:
    tell("2026-09-01T08:00:00", "got 600 ml of juice off the courgettes, froze it")
    assert session.journal.open_batches() == []
    tell("2026-09-01T09:00:00", "3 kg plums, pitted, juice kept: 300 ml")
    (batch,) = session.journal.open_batches()
    assert (batch["food"], batch["fresh_g"], batch["prep"]) == ("plum", 3000, ["pitted"])
    assert held(session) == {("zucchini", False): 600, ("plum", False): 300}


def test_salted_juice_is_no_jelly_stock(session: Session, tell: Tell) -> None:
    """pk_mem_ext: juice of salted vegetables is salty and low in acid and pectin."""
    tell("2026-09-01T08:00:00",
         "6 kg courgettes, shredded, salted, pressed: 1.2 litres of juice off them")  # fmt: skip
    assert jelly(session, "2026-09-02T08:00:00") == []
    tell("2026-09-02T08:00:00", "1 litre of plum juice in the freezer")
    tell("2026-09-03T08:00:00", "used the juice for jelly")
    assert held(session) == {("zucchini", True): 1200}


def test_different_juices_make_one_jelly_together(session: Session, tell: Tell) -> None:
    tell("2026-09-01T08:00:00", "500 ml of plum juice in the freezer")
    tell("2026-09-02T08:00:00", "500 ml of apple juice in the freezer")
    assert jelly(session, "2026-09-03T08:00:00") == [("2026-09-02", "mixed-juice")]


@pytest.mark.parametrize(
    "note", ["2 kg apples, sliced, dipped in 2 tbsp lemon juice", "the juice ran over the tray",
             "do I need lemon juice for apples?"],
)  # fmt: skip
def test_other_juice_is_not_collected(session: Session, tell: Tell, note: str) -> None:
    tell("2026-09-01T08:00:00", note)
    assert session.journal.juice() == []


def test_juice_outlives_a_rebuild_and_is_told_in_chat(session: Session, tell: Tell) -> None:
    tell("2026-09-01T08:00:00", "700 ml of plum juice in the freezer")
    tell("2026-09-01T08:05:00", "the kitchen is 22 C")
    before = session.journal.juice()
    session.journal.rebuild()
    assert session.journal.juice() == before
    (reply,) = session.reply("how much juice have I got?").replies
    assert "700 ml" in reply.text
    assert "takes 250 ml more" in reply.text
    assert "tested recipe" in reply.text


def test_more_juice_than_there_is_is_said(session: Session, tell: Tell) -> None:
    tell("2026-09-01T08:00:00", "300 ml of plum juice in the freezer")
    answer = session.reply("used 500 ml of the plum juice for jelly")
    assert any("more juice than was written down" in line for line in answer.kept)
    assert session.journal.juice() == []
    assert "no juice written down" in session.reply("used the plum juice for jelly").question
