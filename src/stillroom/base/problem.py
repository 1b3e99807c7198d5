"""What is wrong with something a person gave us, and what they can do about it.

Mistakes in data, rule packs, calls and journals are values, collected and shown together.
``ProblemError`` carries them out when nothing sensible can be returned instead.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

EXIT_ANSWERED = 0
EXIT_STOP = 1
EXIT_WRONG_CALL = 2
EXIT_DAMAGED = 3


@dataclass(frozen=True, order=True)
class Problem:
    """One fault in one place.

    Args:
        file: the file or other source as the person knows it; empty when there is none.
        line: line number from 1; 0 when unknown.
        column: column from 1; 0 when unknown.
        name: stable short name of the kind of fault, for tests and for documentation.
        text: what is wrong, one sentence.
        remedy: what to write or do instead, one sentence; may be empty.
    """

    file: str = ""
    line: int = 0
    column: int = 0
    name: str = ""
    text: str = ""
    remedy: str = ""

    def __str__(self) -> str:
        place = self.file
        if self.line:
            place += f":{self.line}"
            if self.column:
                place += f":{self.column}"
        shown = f"{place}: {self.text}" if place else self.text
        return f"{shown} {self.remedy}".rstrip()


class ProblemError(Exception):
    """Work cannot go on; the problems say why.

    Args:
        problems: one or several problems.
        exit_status: the exit status that a command ends with (2 wrong call, 3 damaged data).
    """

    def __init__(
        self, problems: Problem | Iterable[Problem], *, exit_status: int = EXIT_WRONG_CALL
    ) -> None:
        self.problems: tuple[Problem, ...] = (
            (problems,) if isinstance(problems, Problem) else tuple(problems)
        )
        self.exit_status = exit_status
        super().__init__("\n".join(str(problem) for problem in self.problems))
