"""The `journal` and `plot` calls: what is kept, checked, exchanged, printed."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stillroom.base.problem import EXIT_ANSWERED, EXIT_DAMAGED
from stillroom.talk.progress import Progress
from stillroom.talk.standing import batch_names, due_sentences, job_words

if TYPE_CHECKING:
    from stillroom.talk.session import Session


def journal_call(options: Namespace) -> int:
    """Run a `journal` call."""
    from stillroom.talk.cli import open_session

    session = open_session(options)
    if options.action is None:
        return _show(session, as_json=options.json)
    return _ACTIONS[options.action](session, options)


def _show(session: Session, *, as_json: bool) -> int:
    from stillroom.base.quantity import show
    from stillroom.talk.shelves import alike_lines

    now = session.clock()
    view = session.journal.view(now)
    if as_json:
        json.dump(view, sys.stdout, ensure_ascii=False)
        sys.stdout.write("\n")
        return EXIT_ANSWERED
    names = batch_names(session, session.journal.lots(now))
    lines = due_sentences(view["due"], names, now) or ["Nothing is due today."]
    measure = session.shown_measure()
    for batch in view["batches"]:
        fresh = f", fresh {show(batch['fresh_g'], 'g', measure)}" if batch.get("fresh_g") else ""
        dry = f", dry {show(batch['dry_g'], 'g', measure)}" if batch.get("dry_g") else ""
        lines.append(f"{batch['name']}: {batch['stage']}{fresh}{dry}")
    for line in view["stock"]:
        grams = line.get("remaining_g")
        left = f", {show(grams, 'g', measure)} left" if grams else ""
        best = f", best by {line['best_by']}" if line.get("best_by") else ""
        lines.append(
            f"{line['batch']}: {line.get('count') or 1:g} {line.get('vessel') or 'vessel'}"
            f" in stock, {line.get('place') or 'place not said'}{left}{best}"
        )
    for lot in view["juice"]:
        salted = "salted " if lot["salted"] else ""
        of = f" of {session.names.get(lot['food'], lot['food'])}" if lot["food"] else ""
        lines.append(f"{salted}juice{of}: {show(lot['ml'], 'ml', measure)}, "
                     f"{lot['place'] or 'place not said'}")  # fmt: skip
    lines += alike_lines(session)
    sys.stdout.write("\n".join(lines) + "\n")
    return EXIT_ANSWERED


def _export(session: Session, options: Namespace) -> int:
    from stillroom.journal.exchange import export_events

    count = export_events(session.journal.store, Path(options.path))
    sys.stdout.write(f"{count} events written to {options.path}.\n")
    return EXIT_ANSWERED


def _import(session: Session, options: Namespace) -> int:
    from stillroom.journal.exchange import import_events

    count = import_events(session.journal, Path(options.path))
    sys.stdout.write(f"{count} events taken in from {options.path}.\n")
    return EXIT_ANSWERED


def _verify(session: Session, options: Namespace) -> int:
    from stillroom.journal.exchange import verify_file

    problems = verify_file(session.home / "journal.sqlite3")
    for problem in problems:
        sys.stderr.write(f"stillroom: {problem}\n")
    if problems:
        return EXIT_DAMAGED
    sys.stdout.write("The journal is whole: every event carries its seal.\n")
    return EXIT_ANSWERED


def _csv(session: Session, options: Namespace) -> int:
    from stillroom.outputs.sheets import write_sheet

    view: dict[str, Any] = session.journal.view(session.clock())
    write_sheet(Path(options.path), options.action, view)
    sys.stdout.write(f"Written to {options.path}.\n")
    return EXIT_ANSWERED


def _calendar(session: Session, options: Namespace) -> int:
    from stillroom.outputs.calendar import write_calendar

    now = session.clock()
    due = session.journal.due(now, ahead=60)
    names = batch_names(session, session.journal.lots(now))
    write_calendar(Path(options.path), due, now, [job_words(item, names) for item in due])
    count = "1 reminder" if len(due) == 1 else f"{len(due)} reminders"
    sys.stdout.write(f"{count} written to {options.path}.\n")
    return EXIT_ANSWERED


def _labels(session: Session, options: Namespace) -> int:
    from stillroom.outputs.labels import write_labels
    from stillroom.talk.label_text import label_records

    records = label_records(session)
    with Progress("Setting labels", plain=options.plain) as progress:
        counted = progress.over(records, len(records))
        pages = write_labels(Path(options.path), counted, options.sheet)
    sys.stdout.write(f"{len(records)} labels on {pages} page(s) written to {options.path}.\n")
    return EXIT_ANSWERED


def _reread(session: Session, options: Namespace) -> int:
    from stillroom.talk.reread import reread

    with Progress("Reading the journal again, notes done", plain=options.plain) as progress:
        changed = reread(session, keep=options.keep, progress=progress)
    for line in changed:
        sys.stdout.write(line + "\n")
    if not changed:
        sys.stdout.write("Every kept note reads as it did.\n")
    return EXIT_ANSWERED


_ACTIONS = {
    "export": _export, "import": _import, "verify": _verify, "stock": _csv, "history": _csv,
    "calendar": _calendar, "labels": _labels, "reread": _reread,
}  # fmt: skip


def plot_call(options: Namespace) -> int:
    """Draw a batch's drying curve."""
    from stillroom.talk.cli import open_session
    from stillroom.talk.curve import draw_curve

    session = open_session(options)
    draw_curve(session, options.batch, Path(options.path))
    sys.stdout.write(f"Written to {options.path}.\n")
    return EXIT_ANSWERED
