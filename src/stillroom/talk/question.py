"""The one question to ask back: what would sharpen the answer most."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.base.fact import Fact
from stillroom.talk.answer import Answer

_FIGURES = frozenset({"yield", "time", "loading", "energy", "plan", "jar", "brine"})


def question_back(answer: Answer, asked_back: Sequence[str]) -> tuple[str, str | None, str | None]:
    """At most one question, with the slot it asks for and the batch it is about.

    A name that may be one of two foods comes first, then which batch is meant, then what is
    missing for the figures of a fresh batch: how much, how thick.

    Args:
        answer: the answer so far.
        asked_back: questions of the journal (two batches fit).
    """
    if answer.reading.doubts:
        heard, foods = answer.reading.doubts[0]
        names = " or ".join(answer.names.get(food, food) for food in foods)
        return f"I am not sure what “{heard}” is. Did you mean {names}?", "food", None
    if asked_back:
        return asked_back[0], "batch", None
    if answer.stopped or not _sharpens(answer):
        return "", None, None
    for fact in answer.advice.facts:
        if fact.kind == "lot" and fact.get("stage") in ("in-hand", "drying"):
            found = _missing(fact, answer)
            if found:
                return found[0], found[1], str(fact.slots["batch"])
    return "", None, None


def _sharpens(answer: Answer) -> bool:
    """Whether weight or cut would sharpen what the note is after: told food, or asked figures."""
    return any(
        item.act not in ("ask", "amend", "use") or item.about in _FIGURES
        for item in answer.reading.statements
    )


def _missing(lot: Fact, answer: Answer) -> tuple[str, str] | None:
    food = str(lot.get("food", ""))
    name = answer.names.get(food, food)
    if not food or lot.get("brined") or lot.get("dried"):
        return None
    drying = any(number.batch == lot.get("batch") for number in answer.numbers)
    if not drying:
        return None
    if not lot.get("fresh_known"):
        return f"What is the weight of the {name}?", "amount"
    if not lot.get("cut_known"):
        return f"How do you cut the {name}, and how thick?", "cut"
    if not lot.get("thickness_known") and lot.get("cut") in ("sliced", "diced", "strips"):
        return f"How thick do you cut the {name}?", "thickness_mm"
    return None
