"""Papers asked for in plain words: written into the home, never on a dry run."""

from __future__ import annotations

import csv
import json

import icalendar
import pytest

from stillroom.talk.paper_asked import paper_asked
from stillroom.talk.session import Session

PACKED = (
    "4 kg courgettes, sliced 5 mm, on 5 trays at 60 C",
    "courgettes brittle, 220 g, into a litre jar to condition",
    "packed the courgettes in two half-litre jars, lids on, larder, labelled",
)


@pytest.mark.parametrize(
    ("note", "kind"),
    [
        ("print labels", "labels"),
        ("I need labels for the courgettes", "labels"),
        ("Packed the plums. Print the labels please", "labels"),
        ("what do I write on the labels?", ""),
        ("do the jars need labels", ""),
        ("the jars have no labels", ""),
        ("put the shakes in my calendar", "calendar"),
        ("back up the journal", "copy"),
        ("give me a spreadsheet of the stock", "sheet"),
        ("packed the plums, labelled and dated", ""),
    ],
)
def test_which_paper_is_asked_for(note: str, kind: str) -> None:
    assert paper_asked(note)[0] == kind


def test_papers_are_written_into_the_home(session: Session) -> None:
    for note in PACKED:
        session.reply(note)
    said = [session.reply(note).replies[0].text for note in (
        "print labels", "put it all in my calendar", "back up the journal", "make a spreadsheet",
    )]  # fmt: skip
    assert "labels.pdf" in said[0]
    assert (session.home / "labels.pdf").read_bytes().startswith(b"%PDF")
    calendar = icalendar.Calendar.from_ical((session.home / "due.ics").read_text())
    assert calendar.name == "VCALENDAR"
    lines = (session.home / "journal.jsonl").read_text().splitlines()
    assert sum("brittle" in json.dumps(json.loads(line)) for line in lines) >= 1
    rows = list(csv.DictReader((session.home / "stock.csv").read_text().splitlines()))
    assert [row["batch"] for row in rows] == ["zucchini-1"]


def test_a_second_copy_leaves_the_first(session: Session) -> None:
    session.reply(PACKED[0])
    session.reply("back up the journal")
    session.reply("save a copy")
    assert len(list(session.home.glob("journal*.jsonl"))) == 2


def test_nothing_is_written_on_a_dry_run(session: Session) -> None:
    session.reply(PACKED[0])
    reply = session.reply("print labels", keep=False).replies[0]
    assert "nothing is written" in reply.text
    assert not (session.home / "labels.pdf").exists()


def test_no_stock_gives_no_labels(session: Session) -> None:
    assert "nothing in stock" in session.reply("print labels").replies[0].text
