"""What a conversation remembers from one note to the next, within one run of the program."""

from __future__ import annotations

from dataclasses import dataclass, field

from stillroom.base.statement import Statement
from stillroom.talk.answer import Answer

KEEP = 8


@dataclass
class Memory:
    """Foods spoken of, newest statements, our last question and answer, and tips given."""

    foods: list[str] = field(default_factory=list)
    statements: list[Statement] = field(default_factory=list)
    wants: str | None = None
    wants_batch: str | None = None
    answer: Answer | None = None
    tips: int = 0

    def note(self, answer: Answer) -> None:
        """Take over what the newest answer was about."""
        said = [item for item in answer.reading.statements if item.act != "amend" or item.food]
        foods = [item.food for item in reversed(said) if item.food]
        self.foods = list(dict.fromkeys([*foods, *self.foods]))[:KEEP]
        self.statements = [*self.statements, *said][-KEEP:]
        self.wants, self.wants_batch = answer.wants, answer.wants_batch
        if answer.advice.rulings or answer.numbers or answer.advice.cautions:
            self.answer = answer
