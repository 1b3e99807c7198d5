"""A note being worked into deeds: what is known so far, and the words' plain meanings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from stillroom.base.statement import Statement
from stillroom.journal.choose import Choice, choose, stages_for
from stillroom.journal.deeds import apply_deed, batches_of
from stillroom.journal.hints import is_mix, is_pickled, sentence_of
from stillroom.journal.records import KITCHEN, Batch, Deed, Event, Knowhow, Made, Question, is_open
from stillroom.journal.world import World


def _no_events() -> Iterable[Event]:
    return ()


def _no_batch(name: str) -> Batch | None:
    return None


@dataclass
class Draft:
    """The work on one note.

    Args:
        note: word for word.
        now: the clock.
        know: what the tables tell.
        start: the journal before the note.
        seq: the number that the event will have.
        last_number: highest number that a batch name of a stem ever had.
    """

    note: str
    now: datetime
    know: Knowhow
    start: World
    seq: int
    last_number: Callable[[str], int]
    world: World = field(init=False)
    deeds: list[Deed] = field(default_factory=list)
    owners: list[int] = field(default_factory=list)
    spoken: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    index: int = 0
    fixes: Mapping[tuple[int, int], Mapping[str, Any]] = field(default_factory=dict)
    latest: Event | None = None
    history: Callable[[], Iterable[Event]] = _no_events
    find: Callable[[str], Batch | None] = _no_batch
    made: Mapping[int, Made | None] = field(default_factory=dict)
    _numbers: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.world = self.start.fork()

    # deeds

    def do(self, kind: str, batch: str | None, **slots: Any) -> None:
        """Add a deed and do it to the working copy."""
        deed: Deed = {"do": kind, "batch": batch}
        deed.update({key: value for key, value in slots.items() if value is not None})
        if batch is None:
            del deed["batch"]
        self.deeds.append(deed)
        self.owners.append(self.index)
        apply_deed(self.world, deed, self.seq)
        for name in batches_of(deed):
            if name != KITCHEN:
                self.speak(name)

    def redo(self) -> None:
        """Work the deeds out anew from the start, after one was changed or dropped."""
        self.world = self.start.fork()
        for deed in self.deeds:
            apply_deed(self.world, deed, self.seq)

    def drop(self, owner: int) -> None:
        """Take back what a statement of this note did."""
        kept = [(deed, index) for deed, index in zip(self.deeds, self.owners, strict=True)
                if index != owner]  # fmt: skip
        self.deeds = [deed for deed, _ in kept]
        self.owners = [index for _, index in kept]
        self.questions = [asked for asked in self.questions if asked.statement != owner]
        self.redo()

    def speak(self, name: str) -> None:
        """Note that a batch was just spoken of."""
        if name in self.spoken:
            self.spoken.remove(name)
        self.spoken.append(name)

    def name_for(self, food: str | None, fallback: str = "batch") -> str:
        """A batch name that was never used."""
        stem = (food or fallback).replace(" ", "-")
        number = max(self._numbers.get(stem, 0), self.last_number(stem)) + 1
        self._numbers[stem] = number
        return f"{stem}-{number}"

    # looking things up

    def get(self, name: str | None) -> Batch | None:
        """A batch of the working copy."""
        return self.world.batches.get(name) if name else None

    def seek(self, name: str | None) -> Batch | None:
        """A batch of the working copy, or one that was closed before."""
        return (self.get(name) or self.find(name)) if name else None

    def take(self, name: str) -> bool:
        """Bring a closed batch in, so that a deed can be done on it; whether there is one."""
        if name not in self.world.batches:
            batch = self.find(name)
            if batch is None:
                return False
            self.start.batches[name] = self.world.batches[name] = batch
        return True

    def at(self, item: Statement) -> str:
        """The moment that a statement is about; never later than now."""
        return min(item.at or self.now, self.now).isoformat()

    def sentence(self, item: Statement) -> str:
        """The sentence that a statement stands in."""
        return sentence_of(self.note, item)

    def grams(self, item: Statement, form: str | None, dried: bool) -> tuple[float | None, bool]:
        """Mass of a statement's amount [g] and whether it is an estimate."""
        if item.amount is None:
            return None, False
        if item.amount.si_unit == "g":
            return item.amount.si_likely, False
        likely = self.know.grams(item, form, dried)
        return likely, likely is not None

    def pick(self, item: Statement, stages: Iterable[str] | None = None) -> Batch | None:
        """The batch that a statement is about; asks when two fit."""
        if item.batch and item.batch in self.world.batches:
            return self.world.batches[item.batch]
        mix = self._mix(item)
        if mix is not None:
            return mix
        order = tuple(stages or stages_for(item, self.pickled(item)))
        pool: list[Batch] = list(self.world.batches.values())
        if item.food is None:
            pool = self._near(pool, order)
        choice = choose(item, pool, self.spoken, self.now, order)
        if choice.name is None:
            return None
        self._ask(item, choice)
        return self.get(choice.name)

    def _mix(self, item: Statement) -> Batch | None:
        """The newest open mix, where a mix is packed, looked at or used."""
        if item.act not in ("pack", "use", "look", "weigh") or not is_mix(item.text):
            return None
        return self.mix_named(item)

    def mix_named(self, item: Statement) -> Batch | None:
        """The open mix whose name the words come nearest to, else the newest; None without one."""
        if item.act == "ask" and (item.food or item.about in ("mix", None)):
            return None
        if not is_mix(item.text):
            return None
        mixes = [batch for batch in self.world.batches.values()
                 if batch["form"] == "mix" and is_open(batch)]  # fmt: skip
        words = set(item.text.lower().replace("-", " ").split())

        def named(batch: Batch) -> int:
            return len(words & set(batch["name"].split("-")))

        return max(mixes, key=lambda batch: (named(batch), batch["touched"], batch["begun"]),
                   default=None)  # fmt: skip

    def pickled(self, item: Statement) -> bool:
        """Whether pickles are spoken of, and there are some."""
        return (
            is_pickled(item.text)
            and item.act != "brine"
            and any(
                batch["brined"] and (item.food in (None, batch["food"]))
                for batch in self.world.batches.values()
            )
        )

    def _near(self, pool: list[Batch], stages: tuple[str, ...]) -> list[Batch]:
        """For a pronoun: what this note spoke of last, else what was touched last."""
        for name in reversed(self.spoken):
            batch = self.world.batches.get(name)
            if batch is not None and batch["stage"] in stages and batch["listed"]:
                return [batch]
        fits = [batch for batch in pool if batch["stage"] in stages and batch["listed"]]
        newest = max((batch["touched"] for batch in fits), default=0)
        return [batch for batch in fits if batch["touched"] == newest]

    def _ask(self, item: Statement, choice: Choice) -> None:
        if not choice.rivals or choice.name is None:
            return
        names = (choice.name, *choice.rivals)
        told = " or ".join(self.tell(name) for name in names)
        self.questions.append(Question(
            self.index, f"Which one is that: {told}? I took {choice.name}.", names, choice.name,
        ))  # fmt: skip

    def tell(self, name: str) -> str:
        """A batch in a few words, so that a person knows which one it is."""
        batch = self.get(name)
        if batch is None:
            return name
        bits = [batch["stage"]]
        if batch["form"]:
            bits.insert(0, batch["form"])
        since = datetime.fromisoformat(batch["loaded"] or batch["begun"])
        bits.append(f"since {since:%-d %B}")
        return f"{name} ({', '.join(bits)})"
