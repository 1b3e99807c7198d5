"""A jar that was shaken: a look at it, even where nothing is said of what was seen."""

from __future__ import annotations

from stillroom.reader.acts import Acts, signs_of
from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft

# "need to shake", "will shake", "never shook": not done.
_UNDONE = {"to", "will", "'ll", "must", "should", "never", "not", "n't", "didn't", "haven't", "no",
           "can't", "couldn't", "forgot", "forget", "without", "before", "if", "when",
           "hasn't", "wasn't", "weren't", "nobody", "didnt", "havent"}  # fmt: skip
_MOST_BEFORE = 3


class Shaking(Acts):
    """Reads a shake as the daily check that it is."""

    def _shaken(self, clause: Clause, fresh: list[Draft]) -> None:
        """Adds the look that a shake is, in place of what its verb alone was taken for."""
        if clause.asks or any(draft.act in ("look", "amend", "load") for draft in fresh):
            return
        after = clause.items[-1].last + 1
        heading = ":" in self.lows[after - 1 : after + 1]  # "jars checked: figs loose, …"
        stage = None if heading else self._shook(clause)
        if stage is None:
            return
        foods: list[str | None] = [item.value for item in clause.of("food")]
        wrong = [d for d in fresh if d.act in ("use", "have") and "amount" not in d.slots]
        self.drafts = [draft for draft in self.drafts if all(draft is not one for one in wrong)]
        day = next((item for item in clause.items if item.kind == "day"), None)
        named: list[str | None] = list(dict.fromkeys(foods))
        for food in named or [self._near(clause, stage)]:
            draft = self._look(food, clause.items, signs_of(clause.items), day)
            if draft is None:
                draft = Draft("look", food)
                for item in clause.of("vessel"):
                    draft.vessel(item)
            draft.cover(clause.start, clause.end)
            self._add(draft, deep=len(foods) > 1)

    def _shook(self, clause: Clause) -> str | None:
        """The stage of what was shaken or turned; None when nothing was."""
        for at in range(clause.items[0].first, clause.items[-1].last + 1):
            entry = self.words.framed("shake", self.lows, at)
            if entry is None:
                continue
            before = self.lows[max(clause.items[0].first, at - _MOST_BEFORE) : at]
            if not _UNDONE & set(before):
                return entry.value or "conditioning"
        return None
