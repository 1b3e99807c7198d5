"""Papers asked for in plain words: labels to print, reminders, a copy of the journal, a sheet."""

from __future__ import annotations

import re
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from stillroom.base.problem import ProblemError
from stillroom.talk.answer import Answer, Reply
from stillroom.talk.phrases import parts

if TYPE_CHECKING:
    from stillroom.talk.session import Session

PAPER = "paper"
"""What such a reply is about."""
REMINDER_DAYS = 60
_USUAL_SHEET = "a4-3x8"
_SHEETS = {"lid": "lid-a4", "letter": "letter-3x10"}
"""Sheets of knowledge/label_sheets.csv by a word of the note."""
_WORDS = ("label", "calendar", "diary", "reminder", "backup", "back up", "back it up", "export",
          "copy of", "a copy", "spreadsheet")  # fmt: skip


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    """What asks for each paper; made when a note may need them."""
    make = r"\b(?:print|make|write|need|want|give|do|run off|have|get)\b"
    return {
        "other": re.compile(
            r"\b(?:what|which|where)\b[^.?!;]*\blabels?\b|\bwrite (?:it |that |this )?on\b"
            r"|\b(?:no|wrote|put|stuck|without|has|lost|with) (?:a |the |any )?labels?\b"
            r"|\blabelled\b|\bdo (?:i|we|they|you) (?:need|have)\b|\bneeds? (?:a )?label\b"
            r"|\b(?:jars?|tins?|bags?|bottles?|it|they|this|that|these) needs? (?:any )?labels\b",
            re.I),
        "labels": re.compile(
            rf"{make}[^.?!;]*\blabels\b|^\W*labels\b(?: please)?(?: for\b.*)?$"
            rf"|\bprint\b[^.?!;]*\blabels?\b", re.I),
        "calendar": re.compile(
            r"\b(?:in|into|to|for|on) (?:my |the |our )?(?:\w+ )?(?:calendar|diary)\b"
            rf"|{make}[^.?!;]*\breminders?\b|\bcalendar file\b", re.I),
        "copy": re.compile(
            r"\bback ?up\b|\bback (?:it|everything|the journal) up\b|\bexport\b"
            r"|\b(?:save|make|keep|want|need) (?:me )?a copy\b|\bcopy of the journal\b", re.I),
        "sheet": re.compile(r"\bspreadsheet\b", re.I),
    }  # fmt: skip


def paper_asked(note: str) -> tuple[str, str]:
    """Which paper a note asks for, and the part that asks; both empty when none does.

    >>> paper_asked("Packed the plums. Print the labels please")
    ('labels', 'Print the labels please')
    >>> paper_asked("what do I write on the labels?")
    ('', '')
    """
    low = note.lower()
    if not any(word in low for word in _WORDS):
        return "", ""
    patterns = _patterns()
    for part in parts(note):
        if patterns["other"].search(part):
            continue
        for kind in ("labels", "calendar", "copy", "sheet"):
            if patterns[kind].search(part):
                return kind, part
    return "", ""


def paper_reply(session: Session, answer: Answer, kind: str, now: datetime) -> Reply:
    """Writes the paper into the home and says where it is; on a dry run only says so."""
    path = session.home / {"labels": "labels.pdf", "calendar": "due.ics", "copy": "journal.jsonl",
                           "sheet": "stock.csv"}[kind]  # fmt: skip
    if not session.keeping:
        return Reply(f"I would write that to {path}; on a dry run nothing is written.", PAPER)
    try:
        return Reply(_WRITERS[kind](session, path, now, answer.reading.note), PAPER)
    except ProblemError as error:
        return Reply(" ".join(f"{p.text} {p.remedy}".strip() for p in error.problems), PAPER)
    except OSError as error:
        return Reply(f"{path} cannot be written ({error.strerror}); free the folder and say it "
                     "again.", PAPER)  # fmt: skip


def _labels(session: Session, path: Path, now: datetime, note: str) -> str:
    from stillroom.outputs.labels import write_labels
    from stillroom.talk.label_text import label_records

    records = label_records(session)
    if not records:
        return "There is nothing in stock to label yet: tell me when you pack a jar."
    sheet = next((name for word, name in _SHEETS.items() if word in note.lower()), _USUAL_SHEET)
    pages = write_labels(path, records, sheet)
    many = f"{len(records)} labels on {pages} page{'s' if pages > 1 else ''}"
    return f"{many} are in {path}. Print at full size, not fitted to the page."


def _calendar(session: Session, path: Path, now: datetime, note: str) -> str:
    from stillroom.outputs.calendar import write_calendar
    from stillroom.talk.standing import batch_names, job_words

    due = session.journal.due(now, ahead=REMINDER_DAYS)
    names = batch_names(session, session.journal.lots(now))
    write_calendar(path, due, now, [job_words(item, names) for item in due])
    return f"{len(due)} reminders are in {path}. Open it with your calendar; again later, to renew."


def _copy(session: Session, path: Path, now: datetime, note: str) -> str:
    from stillroom.journal.exchange import export_events

    if path.exists():
        path = path.with_name(f"journal-{now:%Y-%m-%d-%H%M%S}.jsonl")
    count = export_events(session.journal.store, path)
    return f"All {count} entries of the journal are copied to {path}. Keep it on another device."


def _sheet(session: Session, path: Path, now: datetime, note: str) -> str:
    from stillroom.outputs.sheets import write_sheet

    write_sheet(path, "stock", session.journal.view(now))
    return f"The stock is in {path}, for your spreadsheet."


_WRITERS = {"labels": _labels, "calendar": _calendar, "copy": _copy, "sheet": _sheet}
