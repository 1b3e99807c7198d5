"""The conversation on a terminal or a pipe: reads lines, prints answers, and nothing else.

prompt_toolkit gives history, paste, completion and the toolbar. Where there is no real terminal
(a pipe, TERM=dumb, --plain) plain lines are read instead, with the same answers.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stillroom.base.problem import ProblemError
from stillroom.talk.fault import EXIT_OWN_FAULT, fault_text, tell_faults
from stillroom.talk.lines import Line
from stillroom.talk.progress import Progress
from stillroom.talk.screen import screen_width, write

if TYPE_CHECKING:
    from prompt_toolkit.completion import Completion
    from prompt_toolkit.document import Document

    from stillroom.talk.session import Session

GREETING = (
    "Tell me what you have or ask me anything about drying, powders, mixes and fridge pickles.",
    "For instance: “6 kg courgettes, shredded, drained”, or “what needs doing today?”",
    "“What can I say?” shows more. Ctrl-D leaves; what you told me is kept.",
)
BACK = "Tell me what is new, or ask “what needs doing today?”. “What can I say?” shows more."
PROMPT = "you> "
_LEAVE = frozenset({"bye", "quit", "exit", "goodbye", "q"})


def converse(make_session: Callable[[], Session], home: Path, *, plain: bool) -> int:
    """Hold the conversation until the speaker leaves.

    Args:
        make_session: opens the session; called behind the first prompt.
        home: where the line history is kept.
        plain: no colour, toolbar or menus.

    Returns:
        The exit status: 0, or that of the gravest fault that was told.
    """
    simple = plain or not sys.stdin.isatty() or os.environ.get("TERM", "dumb") in ("dumb", "")
    if simple:
        return _converse_plain(make_session, home)
    return _converse_screen(make_session, home)


def _answer(session: Session, text: str, *, colour: bool | None) -> int:
    """Print the answers to one thing typed; a fault is told, the conversation goes on.

    Returns:
        0, or the exit status that the fault stands for.
    """
    try:
        with Progress("Reading notes", plain=colour is False) as progress:
            answers = session.lines(text, progress)
    except ProblemError as error:
        sys.stderr.write("".join(f"stillroom: {problem}\n" for problem in error.problems))
        return error.exit_status
    except KeyboardInterrupt:
        if not sys.stdin.isatty():
            raise
        sys.stdout.write("\nLeft off. What was read before is kept; “scratch that” takes back.\n")
        return 0
    except Exception as error:  # the cook's hands are wet: never throw them out mid-evening
        if not (told := fault_text(error)):
            raise
        sys.stderr.write(told)
        return EXIT_OWN_FAULT
    status = tell_faults(session)
    for number, lines in enumerate(answers, start=1):
        last = number == len(answers)  # how to see more is said once, not after each note
        shown = [line for line in lines if last or line.role not in ("hint", "source")]
        write(shown, sys.stdout, colour=colour)
        sys.stdout.write("\n")
    sys.stdout.flush()
    return status


def _greet(home: Path) -> None:
    """Three lines the first time, one to whoever has told something before."""
    texts = (BACK,) if (home / "journal.sqlite3").exists() else GREETING
    write([Line("kept", text) for text in texts], sys.stdout, colour=False)
    sys.stdout.write("\n")


def _plain_lines() -> Iterator[str]:
    interactive = sys.stdin.isatty()
    while True:
        if interactive:
            sys.stdout.write(PROMPT)
            sys.stdout.flush()
        try:
            line = sys.stdin.readline()
        except KeyboardInterrupt:
            sys.stdout.write("\n")
            continue
        if not line:
            return
        yield line


def _converse_plain(make_session: Callable[[], Session], home: Path) -> int:
    session = make_session()
    worst = 0
    if sys.stdin.isatty():
        _greet(home)
    for line in _plain_lines():
        text = line.strip()
        if text.lower().strip(".! ") in _LEAVE:
            break
        if text:
            if not sys.stdin.isatty():
                sys.stdout.write(f"{PROMPT}{text}\n")
            worst = max(worst, _answer(session, text, colour=False))
    return worst


def _converse_screen(make_session: Callable[[], Session], home: Path) -> int:
    from prompt_toolkit import PromptSession
    from prompt_toolkit.patch_stdout import patch_stdout

    warm = threading.Thread(target=_warm_up, daemon=True)
    warm.start()
    opened: list[Session] = []

    def toolbar() -> str:
        return opened[0].due_line(screen_width(sys.stdout)) if opened else " "

    prompt: PromptSession[str] = PromptSession(
        history=_history(home), completer=_completer(), complete_while_typing=False,
        bottom_toolbar=toolbar, refresh_interval=30.0, enable_history_search=True,
    )  # fmt: skip
    _greet(home)
    worst = 0
    while True:
        try:
            with patch_stdout(raw=True):
                text = prompt.prompt(PROMPT).strip()
        except KeyboardInterrupt:
            continue
        except EOFError:
            return worst
        if text.lower().strip(".! ") in _LEAVE:
            return worst
        if not text:
            continue
        if not opened:
            warm.join()
            opened.append(make_session())
        worst = max(worst, _answer(opened[0], text, colour=None))


def _warm_up() -> None:
    """Import and load behind the prompt what the first answer needs."""
    from stillroom.talk.session import warm_up

    warm_up()


def _history(home: Path) -> Any:
    from prompt_toolkit.history import FileHistory, InMemoryHistory

    try:
        home.mkdir(parents=True, exist_ok=True)
        path = home / "said.txt"
        path.touch()
    except OSError:
        return InMemoryHistory()
    return FileHistory(str(path))


def _completer() -> Any:
    from prompt_toolkit.completion import Completer, Completion

    class Words(Completer):
        """Usual phrases from the start of the line, foods anywhere."""

        def get_completions(self, document: Document, _event: Any) -> Iterable[Completion]:
            from stillroom.talk.phrases import completions

            for text, typed in completions(document.text_before_cursor):
                yield Completion(text, start_position=-typed)

    return Words()
