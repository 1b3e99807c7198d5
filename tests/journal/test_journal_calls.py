"""The `journal` and `plot` calls on a told journal: files, sentences and exit status."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import pytest
from icalendar import Calendar
from pypdf import PdfReader

from stillroom.base.clock import parse_now
from stillroom.reader.read import read
from stillroom.talk.cli import run
from stillroom.talk.session import Session

STORY = (
    ("2026-08-14T08:00:00", "2 kg tomatoes, sliced 6 mm, 4 trays at 60 C"),
    ("2026-08-14T12:00:00", "weighed the tomatoes, 1300 g"),
    ("2026-08-14T20:00:00", "the tomatoes are crisp, 160 g, into a quart jar to condition"),
    ("2026-08-22T09:00:00", "packed the tomatoes in two pint jars, vacuum sealed, larder"),
    ("2026-08-23T09:00:00", "3 kg plums, halved, pitted, 5 trays at 60 C"),
)
NOW = "2026-08-24T09:00:00"


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("told")
    moment = [parse_now(NOW)]
    session = Session(home, measure="metric", clock=lambda: moment[0])
    for at, note in STORY:
        moment[0] = parse_now(at)
        session.journal.keep(note, read(note, session.context(moment[0])).statements, moment[0])
    session.journal.close()
    return home


@pytest.fixture
def home(told: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(told, tmp_path / "home"))


def call(home: Path, *words: str) -> int:
    return run(["--home", str(home), "--now", NOW, "--measure", "metric", *words])


def test_export_and_import_bring_everything_back(
    home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out.jsonl"
    assert call(home, "journal", "export", str(out)) == 0
    assert call(home, "journal", "--json") == 0
    shown = capsys.readouterr().out.splitlines()[-1]
    other = tmp_path / "other"
    assert call(other, "journal", "import", str(out)) == 0
    assert call(other, "journal", "verify") == 0
    assert call(other, "journal", "--json") == 0
    assert json.loads(capsys.readouterr().out.splitlines()[-1]) == json.loads(shown)
    assert call(other, "journal", "import", str(out)) == 0
    assert capsys.readouterr().out.startswith("0 events")


def test_import_of_another_story_is_refused(
    home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out.jsonl"
    other = tmp_path / "other"
    assert call(other, "tell", "1 kg beets, diced") == 0
    assert call(home, "journal", "export", str(out)) == 0
    assert call(other, "journal", "import", str(out)) == 2
    assert "another journal's story" in capsys.readouterr().err


def test_verify_names_the_damaged_event_and_leaves_with_three(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = home / "journal.sqlite3"
    path.write_bytes(path.read_bytes().replace(b"weighed the tomatoes, 1300 g",
                                               b"weighed the tomatoes, 1200 g", 1))  # fmt: skip
    assert call(home, "journal", "verify") == 3
    assert "Event 2 was changed or damaged." in capsys.readouterr().err


@pytest.mark.parametrize("share", [0.0, 0.02, 0.3, 0.8])
def test_truncated_journal_leaves_with_three_or_is_new(
    home: Path, share: float, capsys: pytest.CaptureFixture[str]
) -> None:
    path = home / "journal.sqlite3"
    whole = path.read_bytes()
    path.write_bytes(whole[: int(share * len(whole))])
    expected = 0 if share == 0 else 3  # an empty file is a journal of which nothing is told
    assert call(home, "journal", "verify") == expected
    assert call(home, "tell", "1 kg beets, diced") == expected
    assert "Traceback" not in capsys.readouterr().err


def test_calendar_labels_and_sheets_hold_the_stock(home: Path, tmp_path: Path) -> None:
    assert call(home, "journal", "calendar", str(tmp_path / "due.ics")) == 0
    events = Calendar.from_ical((tmp_path / "due.ics").read_bytes()).walk("VEVENT")
    assert [str(event["summary"]) for event in events] == ["label tomato-1"]
    assert call(home, "journal", "labels", str(tmp_path / "labels.pdf")) == 0
    text = " ".join(PdfReader(tmp_path / "labels.pdf").pages[0].extract_text().split())
    assert text.count("tomato-1") == 2
    assert "80 g" in text, "each of the two jars holds half"
    assert call(home, "journal", "stock", str(tmp_path / "stock.csv")) == 0
    with (tmp_path / "stock.csv").open(encoding="utf-8", newline="") as stream:
        (row,) = csv.DictReader(stream)
    assert (row["batch"], row["count"], row["remaining_g"]) == ("tomato-1", "2", "160")
    assert call(home, "journal", "history", str(tmp_path / "history.csv")) == 0
    with (tmp_path / "history.csv").open(encoding="utf-8", newline="") as stream:
        assert [line["name"] for line in csv.DictReader(stream)] == ["tomato-1", "plum-1"]


def test_plot_writes_a_picture(home: Path, tmp_path: Path) -> None:
    assert call(home, "plot", "tomato-1", str(tmp_path / "curve.svg")) == 0
    assert "tomato-1" in (tmp_path / "curve.svg").read_text(encoding="utf-8")


@pytest.mark.parametrize("action", ["export", "stock", "history", "calendar", "labels"])
def test_a_place_that_cannot_be_written_leaves_with_two(
    action: str, home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert call(home, "journal", action, str(tmp_path / "no" / "file")) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_unknown_sheet_lists_the_sheets(
    home: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert call(home, "journal", "labels", str(tmp_path / "x.pdf"), "--sheet", "help") == 2
    assert "lid-a4" in capsys.readouterr().err


def test_reread_of_a_fresh_journal_changes_nothing(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert call(home, "journal", "reread") == 0
    assert capsys.readouterr().out == "Every kept note reads as it did.\n"


def test_own_batches_shift_the_next_guess_and_one_can_be_forgotten(tmp_path: Path) -> None:
    """The first guess comes from the program itself; the batches then come to 1.4 times it."""
    moment = [parse_now("2026-08-01T08:00:00")]
    session = Session(tmp_path, measure="metric", clock=lambda: moment[0])

    def tell(at: str, note: str) -> float:
        moment[0] = parse_now(at)
        answer = session.reply(note)
        return next((n.likely for n in answer.numbers if n.name == "dry_mass"), 0.0)

    load = "2 kg tomatoes, sliced 6 mm, on 4 trays at 60 C"
    first = tell("2026-08-01T08:00:00", load)
    real = f"the tomatoes are crisp, {1.4 * first:.0f} g, into a quart jar to condition"
    tell("2026-08-02T04:00:00", real)
    tell("2026-08-09T09:00:00", "packed the tomatoes in a pint jar, larder")
    second = tell("2026-08-10T08:00:00", load)
    assert first * 1.05 < second < first * 1.4
    tell("2026-08-11T04:00:00", real)
    tell("2026-08-18T09:00:00", "packed the tomatoes in a pint jar, larder")
    third = tell("2026-08-19T08:00:00", load)
    assert second < third < first * 1.4
    session.journal.undo(moment[0])
    tell("2026-08-19T08:05:00", "forget that batch")
    assert tell("2026-08-20T08:00:00", load) == pytest.approx(second)
