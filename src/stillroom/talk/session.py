"""One conversation: a note in, an answer out. No printing, no terminal.

The way through: note → reader → journal (kept on disk) → enrich → rules → answer.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from stillroom.base.clock import local_now
from stillroom.base.paths import rules_dir
from stillroom.base.problem import EXIT_DAMAGED, Problem, ProblemError
from stillroom.base.statement import Context, Reading, Statement
from stillroom.talk.answer import Answer
from stillroom.talk.making import mixes_of
from stillroom.talk.memory import Memory

if TYPE_CHECKING:
    from stillroom.advice.book import RuleBook
    from stillroom.journal.journal import Journal
    from stillroom.tables.tables import Tables
    from stillroom.talk.lines import Line
    from stillroom.talk.progress import Progress

TIPS = 3
"""Answers of one conversation that end with the tip how to hear more."""
_METRIC = frozenset({"g", "kg", "mg", "ml", "cl", "dl", "l", "mm", "cm"})
_METRIC_JARS = frozenset({250, 330, 370, 500, 700, 720, 750, 1000, 1500, 2000, 3000, 5000})
_US_JARS = frozenset({118, 237, 355, 473, 710, 946, 1893, 3785})
_US = frozenset({"lb", "oz", "cup", "qt", "pt", "gal", "tsp", "tbsp", "in", "bushel", "peck"})


def warm_up() -> None:
    """Import and load what the first answer needs; called behind the prompt."""
    from stillroom.reader.read import read

    read("1 lb plums", Context(local_now()))


class Session:
    """A conversation over one home.

    Args:
        home: the folder of the journal.
        packs: further files or folders of rule packs.
        measure: ``us`` or ``metric`` when the call fixed it.
        clock: gives the present moment.
    """

    def __init__(
        self,
        home: Path,
        *,
        packs: Sequence[Path] = (),
        measure: str | None = None,
        clock: Callable[[], datetime] = local_now,
    ) -> None:
        self.home = home
        self.packs = tuple(packs)
        self.measure = measure
        self.clock = clock
        self.memory = Memory()
        self.pack_faults: tuple[Problem, ...] = ()
        self.keeping = True
        self._told = False

    @cached_property
    def tables(self) -> Tables:
        """The knowledge tables."""
        from stillroom.tables.tables import tables

        return tables()

    @cached_property
    def book(self) -> RuleBook:
        """The rules in force; faults of other people's packs are left in ``pack_faults``.

        Raises:
            ProblemError: one of the program's own packs is damaged.
        """
        from stillroom.advice.packs import load_book

        book = load_book(home=self.home, extra=self.packs)
        faults = [problem for problem in book.problems if problem.name != "engine"]
        if any(Path(problem.file).parent == rules_dir() for problem in faults):
            raise ProblemError(faults, exit_status=EXIT_DAMAGED)
        self.pack_faults = tuple(faults)
        return book

    def faults_to_tell(self) -> tuple[Problem, ...]:
        """Faults of packs, once: that a rule did not load must not go unnoticed."""
        if self._told:
            return ()
        self._told = bool(self.pack_faults)
        return self.pack_faults

    @cached_property
    def journal(self) -> Journal:
        """The journal of this home."""
        from stillroom.journal.journal import Journal
        from stillroom.talk.knowhow import knowhow

        return Journal(self.home / "journal.sqlite3", knowhow(self.tables))

    @cached_property
    def names(self) -> Mapping[str, str]:
        """Food id to its name on the screen."""
        return {food.id: food.plural for food in self.tables.foods.values()}

    @cached_property
    def titles(self) -> Mapping[str, str]:
        """Source id to its line in the list of sources."""
        return {name: source.line for name, source in self.tables.sources.items()}

    def shown_measure(self) -> str:
        """The measure of what is printed without a note: as set, else as notes were told."""
        chosen = self.measure or str(self.journal.kitchen().get("measure") or "")
        return chosen or speaker_measure(self.journal.recent(8), "") or "us"

    def context(self, now: datetime) -> Context:
        """What is already known when the next note is read."""
        kitchen = self.journal.kitchen()
        statements = self.memory.statements or self.journal.recent(6)
        foods = self.memory.foods or [
            item.food for item in reversed(statements) if item.food is not None
        ]
        return Context(
            now,
            self.measure or str(kitchen.get("measure") or "us"),
            tuple(dict.fromkeys(foods)),
            tuple(statements),
            self.memory.wants,
            self.memory.wants_batch,
            tuple(
                (str(lot["batch"]), lot.get("food"), str(lot["stage"]))
                for lot in self.journal.lots(now)
            ),
        )

    def reply(self, note: str, *, keep: bool = True) -> Answer:
        """Read one note, keep it, and answer it.

        Args:
            note: the note word for word.
            keep: keep it in the journal (false for a dry run).

        Returns:
            The answer; the note is on disk before this returns when it was to be kept.

        Raises:
            ProblemError: the journal cannot be written or is damaged, or a rule pack is.
        """
        from stillroom.reader.read import read
        from stillroom.talk.compose import Told, compose
        from stillroom.talk.convert import conversion

        now = self.clock()
        context = self.context(now)
        # What only asks to convert says nothing of any food, though it holds an amount.
        converts = conversion(note, context.measure)
        reading = Reading(note) if converts else read(note, context)
        kept: tuple[str, ...] = ()
        keep = keep and not any(item.whatif for item in reading.statements)
        self.keeping = keep
        mixes = mixes_of(self, reading)
        if keep:
            done = self.journal.keep(note, reading.statements, now, made=mixes.made)
            statements, questions, kept = done.statements, done.questions, tuple(done.lines)
            lots = self.journal.lots(now)
        else:
            plan = self.journal.preview(note, reading.statements, now, mixes.made)
            statements, questions = plan.statements, plan.questions
            lots = plan.lots
        asked = [question.text for question in questions]
        told = Told(kept, asked, mixes.shelf, tuple(context.last))
        answer = compose(self, _with(reading, statements), lots, now=now, told=told)
        if keep and answer.guesses:
            self.journal.foresee(answer.guesses, now)
        self.memory.note(answer)
        return answer

    def notes(self, text: str) -> list[str]:
        """The notes of a pasted transcript."""
        from stillroom.reader.read import split_notes

        return split_notes(text) or [text]

    def lines(self, text: str, progress: Progress | None = None) -> list[list[Line]]:
        """The answers to what was typed or pasted, as lines for the screen.

        Args:
            text: one note, or a pasted transcript of many.
            progress: shows how many notes are done.
        """
        from stillroom.talk.wording import answer_lines, heard_lines

        more = text.strip().lower().strip(".!? ") in _MORE
        if more and self.memory.answer is not None:
            return [answer_lines(self.memory.answer, self.titles, more=True)]
        notes = self.notes(text)
        counted = progress.over(notes, len(notes)) if progress else notes
        several = len(notes) > 1
        return [
            [*(heard_lines(note) if several else ()), *self._once_known(self._answer_lines(note))]
            for note in counted
        ]

    def _answer_lines(self, note: str) -> list[Line]:
        from stillroom.talk.wording import answer_lines

        return answer_lines(self.reply(note), self.titles)

    def _once_known(self, lines: list[Line]) -> list[Line]:
        """Without the tip how to hear more, once it was given a few times."""
        tips = any(line.role == "hint" for line in lines)
        self.memory.tips += tips
        return [line for line in lines if line.role != "hint" or self.memory.tips <= TIPS]

    def due_line(self, width: int = 80) -> str:
        """What is due today in one row of at most ``width`` columns, for the toolbar."""
        due = self.journal.due(self.clock())
        if not due:
            return "Nothing is due today."
        parts = [f"{item['what']} {item['batch']}" for item in due]
        for shown in range(len(parts), 0, -1):
            more = f" and {len(parts) - shown} more" if shown < len(parts) else ""
            line = "Due: " + ", ".join(parts[:shown]) + more
            if len(line) < width:
                return line
        return f"Due: {len(parts)} things"


_MORE = frozenset({"tell me more", "more", "more please", "the details", "details", "go on"})


def _with(reading: Reading, statements: Sequence[Statement]) -> Reading:
    return Reading(
        reading.note, tuple(statements), reading.mentions, reading.unread, reading.doubts,
        reading.chat,
    )  # fmt: skip


def speaker_measure(statements: Sequence[Statement], text: str) -> str | None:
    """The measure that the speaker used in this note; None when it does not show."""
    units = [item.amount.unit for item in statements if item.amount]
    metric = sum(unit in _METRIC for unit in units)
    us = sum(unit in _US for unit in units)
    metric += any(item.vessel_ml in _METRIC_JARS for item in statements)
    us += any(item.vessel_ml in _US_JARS for item in statements)
    if metric == us:
        lowered = text.lower()
        metric += any(f" {word}" in lowered for word in ("mm", "cm", "°c", "celsius", " c,"))
        us += any(word in lowered for word in ("inch", "°f", "fahrenheit"))
    if metric == us:
        return None
    return "metric" if metric > us else "us"
