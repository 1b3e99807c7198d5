"""Run one call of the command line and give its exit status."""

from __future__ import annotations

import json
import os
import sys
from argparse import ArgumentParser, Namespace, _SubParsersAction
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from stillroom.base.clock import local_now, parse_now
from stillroom.base.paths import home_dir
from stillroom.base.problem import (
    EXIT_ANSWERED,
    EXIT_STOP,
    EXIT_WRONG_CALL,
    Problem,
    ProblemError,
)
from stillroom.talk.fault import EXIT_OWN_FAULT, fault_text, tell_faults
from stillroom.talk.options import build_parser
from stillroom.talk.progress import Progress

if TYPE_CHECKING:
    from stillroom.talk.answer import Answer
    from stillroom.talk.session import Session

MAX_NOTE = 4_000_000


def run(words: Sequence[str]) -> int:
    """Run a call.

    Args:
        words: the words after the program's name.

    Returns:
        0 answered, 1 a stop caution was raised, 2 the call was wrong, 3 damaged data, 70 a fault
        of our own.
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    options = build_parser().parse_args(list(words))
    try:
        return _dispatch(options)
    except ProblemError as error:
        for problem in error.problems:
            sys.stderr.write(f"stillroom: {problem}\n")
        return error.exit_status
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return EXIT_ANSWERED
    except KeyboardInterrupt:
        sys.stderr.write("\nstillroom: left off; what was answered before is kept.\n")
        return EXIT_WRONG_CALL
    except Exception as error:  # the last line of defence: a cook sees one sentence
        if not (told := fault_text(error)):
            raise
        sys.stderr.write(told)
        return EXIT_OWN_FAULT


def _dispatch(options: Namespace) -> int:
    if options.version:
        return _version()
    if options.command is None:
        from stillroom.talk.loop import converse

        home = home_dir(options.home)
        return converse(lambda: open_session(options), home, plain=options.plain)
    if options.command == "tell":
        return _tell(options)
    if options.command == "completion":
        return _completion(options)
    if options.command == "rules":
        from stillroom.talk.rules_calls import rules_call

        return rules_call(options)
    from stillroom.talk.journal_calls import journal_call, plot_call

    return plot_call(options) if options.command == "plot" else journal_call(options)


def open_session(options: Namespace) -> Session:
    """The session that a call's options describe."""
    from stillroom.talk.session import Session

    fixed = parse_now(options.now) if options.now else None

    def clock() -> datetime:
        return fixed or local_now()

    packs = [Path(path) for path in options.packs or ()]
    missing = [path for path in packs if not path.exists()]
    if missing:
        raise ProblemError(
            Problem(str(missing[0]), name="no-packs", text="There are no rule packs here.",
                    remedy="Give --rules a folder or a file.")
        )  # fmt: skip
    return Session(home_dir(options.home), packs=packs, measure=options.measure, clock=clock)


def _version() -> int:
    from stillroom import __version__
    from stillroom.advice.engine import available

    engine = "durable-rules" if available() else "the plain chainer"
    if os.environ.get("STILLROOM_ENGINE") == "plain":
        engine = "the plain chainer"
    sys.stdout.write(f"stillroom {__version__}, rules run on {engine}\n")
    return EXIT_ANSWERED


def _completion(options: Namespace) -> int:
    import shtab

    parser = build_parser()
    _complete_files(parser, {"F": shtab.FILE, "PATH": shtab.FILE, "DIR": shtab.DIRECTORY})
    sys.stdout.write(shtab.complete(parser, shell=options.shell) + "\n")
    return EXIT_ANSWERED


def _complete_files(parser: ArgumentParser, ways: Mapping[str, object]) -> None:
    """Tell shtab which arguments are files and folders, by what they are called in the help."""
    for action in parser._actions:
        if isinstance(action, _SubParsersAction):
            for below in dict.fromkeys(action.choices.values()):
                _complete_files(below, ways)
        elif isinstance(action.metavar, str) and action.metavar in ways:
            action.complete = ways[action.metavar]  # type: ignore[attr-defined]  # shtab's own


def note_text(options: Namespace) -> str:
    """The note of a `tell` call, from its words, a file or standard input.

    Raises:
        ProblemError: there is no note, or it cannot be read as text.
    """
    if options.file:
        path = Path(options.file)
        try:
            data = path.read_bytes()
        except OSError as error:
            raise ProblemError(
                Problem(str(path), name="no-file", text=f"Cannot be read: {error.strerror}.",
                        remedy="Check the name of the file.")
            ) from error  # fmt: skip
        return _decoded(data, str(path))
    if options.note == ["-"]:
        return _decoded(sys.stdin.buffer.read(), "standard input")
    said = " ".join(options.note)
    return said.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _decoded(data: bytes, name: str) -> str:
    if len(data) > MAX_NOTE:
        raise ProblemError(
            Problem(name, name="too-long", text="This is longer than any season of notes.",
                    remedy="Give it in parts of at most 4 MB.")
        )  # fmt: skip
    if b"\0" in data:
        raise ProblemError(
            Problem(name, name="not-text", text="This is not text.",
                    remedy="Give a text file in UTF-8.")
        )  # fmt: skip
    return data.decode("utf-8", errors="replace")


def _tell(options: Namespace) -> int:
    text = note_text(options)
    if not text.strip():
        raise ProblemError(
            Problem(name="empty-note", text="The note is empty.",
                    remedy='Say something like: stillroom tell "2 kg plums, halved, pitted".')
        )  # fmt: skip
    session = open_session(options)
    notes = session.notes(text)
    answers = []
    with Progress("Reading notes", plain=options.plain) as progress:
        for note in progress.over(notes, len(notes)):
            answers.append(session.reply(note, keep=not options.dry_run))
    if options.json:
        from stillroom.talk.answer import merged_json

        json.dump(merged_json(answers), sys.stdout, ensure_ascii=False)
        sys.stdout.write("\n")
    else:
        _print(session, answers, more=options.more, colour=False if options.plain else None)
    told = tell_faults(session)
    return EXIT_STOP if any(answer.stopped for answer in answers) else told


def _print(session: Session, answers: Sequence[Answer], *, more: bool, colour: bool | None) -> None:
    from stillroom.talk.screen import write
    from stillroom.talk.wording import answer_lines, heard_lines

    for index, answer in enumerate(answers):
        if index:
            sys.stdout.write("\n")
        lines = heard_lines(answer.reading.note) if len(answers) > 1 else []
        lines += answer_lines(answer, session.titles, more=more, sources=True)
        write(lines, sys.stdout, colour=colour)
