"""The `rules` calls: check, list, show, trace, schema."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from stillroom.base.clock import parse_now
from stillroom.base.problem import EXIT_ANSWERED, EXIT_DAMAGED, Problem, ProblemError
from stillroom.talk.fault import tell_faults

if TYPE_CHECKING:
    from stillroom.talk.session import Session


def rules_call(options: Namespace) -> int:
    """Run a `rules` call."""
    from stillroom.talk.cli import open_session

    session = open_session(options)
    action = options.action
    if action == "check":
        return _check(session, options)
    if action == "schema":
        from stillroom.advice.schema import rules_schema

        sys.stdout.write(json.dumps(rules_schema(), indent=2) + "\n")
        return EXIT_ANSWERED
    if action == "show":
        return _show(session, options.id)
    if action == "trace":
        from stillroom.advice.trace import rules_trace

        answer = session.reply(" ".join(options.note), keep=False)
        sys.stdout.write(rules_trace(answer.advice, session.book, answer.measure) + "\n")
        return tell_faults(session)
    from stillroom.advice.trace import rules_list

    sys.stdout.write(rules_list(session.book) + "\n")
    return tell_faults(session)


def _check(session: Session, options: Namespace) -> int:
    from stillroom.advice.check import rules_check
    from stillroom.talk.example_facts import EXAMPLE_MOMENT, facts_at, mark
    from stillroom.talk.progress import Progress

    own = [path for path in (session.home / "rules",) if path.is_dir()]
    paths = [Path(path) for path in options.paths] or [*own, *session.packs]
    for path in paths:
        if not path.exists():
            raise ProblemError(
                Problem(str(path), name="no-file", text="There is no such file or folder.",
                        remedy="Give the path of a pack.")
            )  # fmt: skip
    now = parse_now(options.now or EXAMPLE_MOMENT)
    with Progress("Trying example notes", plain=options.plain) as progress:
        problems = rules_check(paths, facts_at(now), mark=mark(now), progress=progress)
    for problem in problems:
        sys.stdout.write(f"{problem}\n")
    if problems:
        sys.stderr.write(f"stillroom: {len(problems)} fault(s) found.\n")
        return EXIT_DAMAGED
    sys.stdout.write("No faults found.\n")
    return EXIT_ANSWERED


def _show(session: Session, rule: str) -> int:
    from stillroom.advice.trace import rules_show
    from stillroom.advice.words import nearest

    text = rules_show(session.book, rule, session.titles)
    if text is None:
        near = nearest(rule, session.book.by_id)
        near = near if near.startswith("Did") else ""
        raise ProblemError(
            Problem(name="no-rule", text=f"There is no rule {rule!r}.",
                    remedy=f"{near} `stillroom rules list` shows all.".strip())
        )  # fmt: skip
    sys.stdout.write(text + "\n")
    return tell_faults(session)
