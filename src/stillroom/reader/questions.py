"""What a question is about: the strongest cue wins, an earlier one on a tie."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from stillroom.reader.clause import Clause
from stillroom.reader.lexicon import lexicon, tail_at

KITCHEN = {"due", "use-first", "energy", "plan", "source", "history"}
_KEEPS = {"keep", "store", "put", "pack", "stash"}
_PAST = {
    "year",
    "time",
    "summer",
    "autumn",
    "fall",
    "winter",
    "spring",
    "season",
    "week",
    "month",
    "august",
    "july",
    "september",
    "october",
    "june",
    "november",
}
_COOLEST, _HOTTEST = 30, 180  # what a bare heat may be, deg C or F
_NO_TOPIC = KITCHEN | {"why", "safe", "stock"}
_FALLBACK = (
    ("heat", "temperature"), ("surface", "surface"), ("trays", "loading"), ("place", "storage"),
    ("vessel", "packaging"), ("seal", "packaging"), ("hours", "time"), ("length", "prep"),
    ("cut", "prep"),
)  # fmt: skip
_DONE_SIGNS = {"dry", "crisp", "brittle", "leathery", "pliable"}
_SUPPOSERS = {"i", "we", "they", "it", "you"}
_MEASURED = {"time", "temperature", "yield", "shelf-life", "loading", "energy"}
_BESIDE = {"with", "alongside", "beside", "by"}
_ENOUGH = 14


def abouts(clause: Clause, lows: Sequence[str]) -> list[str]:
    """The kinds of question in a clause, at most two; empty when it asks nothing of ours."""
    found = _cues(clause, lows)
    last = clause.items[-1].last
    said = lows[clause.items[0].first : last + 1]
    if said[0] == "make" and any(about == "mix" for _, _, about in found):
        return ["mix"]
    if not found:
        return _uncued(clause, said)
    best = _settled(found, lows[clause.items[0].first : last + 1])
    return _pair({value for _, _, value in found}, lows[clause.items[0].first : last + 1]) or [best]


def reason_topic(clause: Clause, lows: Sequence[str]) -> str | None:
    """What a why-question is about besides why: "why shake the jars" is of conditioning."""
    cues = [one for one in _cues(clause, lows) if one[2] not in _NO_TOPIC]
    if cues:
        return max(cues)[2]
    kinds = (*_FALLBACK, ("prep", "prep"), ("num", "temperature"))
    return next((about for kind, about in kinds if clause.has(kind)), None)


def _cues(clause: Clause, lows: Sequence[str]) -> list[tuple[int, int, str]]:
    """The cues of a question: strength, place (later is less), kind."""
    words = lexicon()
    found: list[tuple[int, int, str]] = []
    at, last = clause.items[0].first, clause.items[-1].last
    at -= at > 0 and lows[at - 1] == "now"  # "now what" is cut before its what
    while at <= last:
        entry = words.framed("cue", lows, at)
        if entry is None:
            at += 1
            continue
        after = lows[at + len(entry.head)] if at + len(entry.head) < len(lows) else ""
        if entry.value == "stock" and entry.head[-1] in ("have", "i") and after == "to":
            at += 1
            continue
        if entry.tail == ("last",) and _past(lows, tail_at(entry, lows, at)):
            at += 1
            continue
        strength = entry.weight + len(entry.head) + len(entry.tail) - 1
        found.append((strength, -at, entry.value))
        at += 1 if entry.tail or entry.weight < 8 else len(entry.head)
    return _unsupposed(found, clause, lows) + _enough(clause, lows)


def _unsupposed(
    found: list[tuple[int, int, str]], clause: Clause, lows: Sequence[str]
) -> list[tuple[int, int, str]]:
    """How long if I cut them thin: what is supposed after a cue is no cue."""
    first = clause.items[0].first
    supposed = next(
        (at for at in range(first + 1, clause.items[-1].last)
         if lows[at] == "if" and lows[at + 1] in _SUPPOSERS), None,
    )  # fmt: skip
    before = [one for one in found if supposed is not None and -one[1] < supposed]
    return before if any(one[2] in _MEASURED for one in before) else found


def _enough(clause: Clause, lows: Sequence[str]) -> list[tuple[int, int, str]]:
    """Crisp enough, leathery enough: whether it is dry."""
    return [
        (_ENOUGH, -item.first, "dryness") for item in clause.of("sign")
        if item.value in _DONE_SIGNS and lows[item.last + 1 : item.last + 2] == ["enough"]
    ]  # fmt: skip


def _uncued(clause: Clause, said: Sequence[str]) -> list[str]:
    """What a question without a cue asks by what it names."""
    if "what" in said and said[-1] == "in" and _KEEPS & set(said):
        return ["packaging"]
    foods = clause.of("food")
    if any(food.value == "vinegar" for food in foods):
        return ["brine"]
    counted = {"much", "many"} & set(said[:6])
    if counted and clause.has("dried") and clause.has("amount"):
        return ["yield"]
    weighs = any(item.value == "weigh" for item in clause.of("act"))
    if weighs and foods and clause.has("amount"):
        return ["yield"]
    if len(foods) > 1 and "dry" in said and _BESIDE & set(said):
        return ["loading"]
    cuts = [k for k, item in enumerate(clause.items) if item.kind == "cut"]
    if any(b - a == 2 and clause.items[a + 1].low == "or" for a, b in itertools.pairwise(cuts)):
        return ["prep"]
    if {"better", "best", "or"} & set(said) and clause.has("cut", "leather"):
        return ["prep"]
    if _judges_heat(clause, said):
        return ["temperature"]
    return next(([about] for kind, about in _FALLBACK if clause.has(kind)), [])


def _judges_heat(clause: Clause, said: Sequence[str]) -> bool:
    """Is 50 ok; if I dried the plums at 70: a bare number that can only be a heat."""
    numbers = [item for item in clause.of("num") if _COOLEST <= item.number <= _HOTTEST]
    if len(numbers) != 1:
        return False
    place = clause.items.index(numbers[0])
    at = place > 0 and clause.items[place - 1].low == "at"
    return at or bool({"ok", "okay", "fine", "enough", "alright"} & set(said))


def _pair(values: set[str], words: Sequence[str]) -> list[str]:
    text = " ".join(words)
    if (
        {"time", "temperature"} <= values
        and "how long" in text
        and ("how hot" in text or "temp" in text)
    ):
        return ["time", "temperature"]
    return []


def _past(lows: Sequence[str], at: int | None) -> bool:
    """Last year, last time: no keeping time."""
    return at is not None and at + 1 < len(lows) and lows[at + 1] in _PAST


def _settled(found: list[tuple[int, int, str]], words: Sequence[str]) -> str:
    """The strongest cue, with what the frame of the question says of it."""
    values = {value for _, _, value in found}
    if "how long have" in " ".join(words) and "stock" in values and len(values) > 1:
        found = [one for one in found if one[2] != "stock"]
    if (
        "stock" in values
        and values & {"jar", "yield"}
        and any(
            pair in (("we", "have"), ("i", "have"), ("we", "got"), ("i", "got"))
            for pair in itertools.pairwise(words)
        )
    ):
        return "stock"
    if {"time", "temperature"} <= values and "how long" in " ".join(words):
        found = [one for one in found if one[2] != "temperature"]
    inside = {"storage", "packaging", "shelf-life"} & values
    if inside and "what" in words[:4] and words[-1] == "in" and "how" not in words:
        return "packaging"
    return max(found)[2]
