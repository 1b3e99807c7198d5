"""What can be said of a food that was not read: figures of its kind, said to be only that."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from stillroom.base.quantity import to_celsius, unit_for
from stillroom.talk.answer import Reply
from stillroom.talk.figures import figure_text

if TYPE_CHECKING:
    from stillroom.base.fact import Number

_CUTS = "sliced|diced|strips|chopped|minced|shredded|halved|quartered|whole|leaves|pureed"
_HERBS = ("leaf", "leaves", "herb", "sprigs", "petals", "flowers", "tops")
_FRUITS = ("fruit", "berry", "berries", "fruits")


@cache
def _patterns() -> tuple[re.Pattern[str], ...]:
    word = r"(?P<food>[a-z][a-z'-]+(?: [a-z'-]+){0,2}?)"
    stop = rf"(?=\s*(?:[,.;:?!]|$|\b(?:{_CUTS}|on|in|at|for|to|and|dry|dried|drying|is|are)\b))"
    amount = r"(?P<n>\d+(?:\.\d+)?)\s*(?P<unit>kg|g|lbs?|pounds?|oz|ounces?|kilos?)\s+(?:of\s+)?"
    return (
        re.compile(rf"\b{amount}(?:fresh )?{word}{stop}", re.IGNORECASE),
        re.compile(rf"\bhow long\b.*\b(?:dry|dehydrate)\s+(?:the |some |my )?{word}{stop}", re.I),
        re.compile(rf"\b(?:trays?|dryer|dehydrat\w+|dry|dried|drying|{_CUTS})\b", re.I),
        re.compile(rf"\b(?P<cut>{_CUTS})\b", re.I),
        re.compile(r"(?P<n>\d+(?:\.\d+)?)\s*mm\b", re.I),
        re.compile(r"(?P<n>\d{2,3})\s*(?:°\s*)?(?:deg(?:rees)?\s*)?(?P<scale>[cf])\b", re.I),
    )


def unknown_reply(note: str, kitchen: Mapping[str, Any], measure: str) -> Reply | None:
    """A reply on a food that was not read; None where the note speaks of no drying of a food.

    >>> unknown_reply("what a lovely day", {}, "metric") is None
    True
    """
    amount, question, drying, cut, thick, heat = _patterns()
    weighed, asked = amount.search(note), question.search(note)
    found = weighed or asked
    if found is None or not drying.search(note):
        return None
    from stillroom.enrich.loads import Kitchen
    from stillroom.enrich.unknown import unknown_food

    said: dict[str, float | str] = {}
    if shape := cut.search(note):
        said["cut"] = shape["cut"].lower()
    if size := thick.search(note):
        said["thickness_mm"] = float(size["n"])
    if warm := heat.search(note):
        said["temperature_c"] = to_celsius(float(warm["n"]), warm["scale"].upper())
    name = found["food"].lower()
    kind = _kind(f"{name} {said.get('cut', '')}")
    unit = unit_for(weighed["unit"], measure) if weighed else None
    grams = float(weighed["n"]) * unit.si if weighed and unit else None
    numbers = unknown_food(name, kind, grams, said, Kitchen.from_slots(kitchen))
    return _worded(name, kind, numbers, measure)


def _kind(words: str) -> str:
    parts = words.split()
    if any(part in _HERBS for part in parts):
        return "herb"
    return "fruit" if any(part in _FRUITS or part.endswith("berries") for part in parts) else (
        "vegetable"
    )  # fmt: skip


def _worded(name: str, kind: str, numbers: list[Number], measure: str) -> Reply:
    """The words; without figures where the sums do not reach."""
    head = f"I do not know “{name}”, so I cannot say whether it is fit to eat or to dry."
    if not numbers:
        return Reply(f"{head} What I could say of its kind does not reach that heat or cut.",
                     "unknown-food")  # fmt: skip
    own = {number.name: figure_text(number, measure) for number in numbers}
    mass = f" and come to {own['dry_mass']}" if "dry_mass" in own else ""
    tail = "Tell me a food of mine that it is like for something closer."
    sources = tuple(source for number in numbers for source in number.sources)
    return Reply(
        head, "unknown-food", None,
        (f"As a {kind} like those that I know it would take {own['drying_time']}{mass}: ranges "
         f"wide because only its kind is taken. {tail}",),
        tuple(dict.fromkeys(sources)),
    )  # fmt: skip
