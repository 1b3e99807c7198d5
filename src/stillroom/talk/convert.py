"""Plain conversions asked for at the counter: "what's 2 lb in grams", "140 F in C"."""

from __future__ import annotations

import re
from functools import cache

from stillroom.base.quantity import to_celsius, to_fahrenheit, unit_for, unit_words
from stillroom.talk.answer import Reply

CONVERSION = "conversion"
"""What such a reply is about."""
_HINT = re.compile(
    r"\bconvert\b|\bhow (?:many|much)\b|\bwhat(?:'s|’s| is| are)\b"
    r"|^\W*[\d.]+ ?\w+ (?:in|to|into|as) \w+\W*$", re.IGNORECASE,
)  # fmt: skip
_ONE = {"a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "half": 0.5,
        "half a": 0.5}  # fmt: skip


@cache
def _patterns() -> tuple[re.Pattern[str], ...]:
    words = "|".join(sorted((re.escape(word) for word in unit_words() if word[0].isalpha()),
                            key=len, reverse=True))  # fmt: skip
    number = r"(?P<number>\d+(?:\.\d+)?|half an?|an?|one|two|three|four|half)"
    lead = r"^\W*(?:ok |so |and )?(?:(?:what(?:'s|’s| is| are)|convert|how much is)\s+)"
    return (
        re.compile(rf"{lead}?{number}\s*(?P<from>{words})\s+(?:in|to|into|as)\s+(?P<to>{words})\W*$",
                   re.IGNORECASE),
        re.compile(rf"^\W*how many (?P<to>{words}) (?:are |is )?(?:there )?(?:in|to|make) {number}"
                   rf"\s*(?P<from>{words})\W*$", re.IGNORECASE),
        re.compile(r"^\W*(?P<number>-?\d+(?:\.\d+)?)\s*(?:°|deg(?:rees)?)?\s*(?P<scale>[cf])\w*"
                   r"\s+(?:in|to|into)\s+(?:°|deg(?:rees)?)?\s*[cf]\w*\W*$", re.IGNORECASE),
        re.compile(rf"{lead}(?P<number>-?\d+(?:\.\d+)?)\s*(?:°|deg(?:rees)?)?\s*(?P<scale>[cf])\w*"
                   r"(?:\s+(?:in|to|into)\s+(?:°|deg(?:rees)?)?\s*[cf]\w*)?\W*$", re.IGNORECASE),
    )  # fmt: skip


def conversion(note: str, measure: str) -> Reply | None:
    """The answer to a note that only asks to convert; None for any other note.

    >>> conversion("what's 2 lb in grams?", "us").text
    '2 lb is 907 g.'
    >>> conversion("convert 140 F", "us").text
    '140 °F is 60 °C.'
    >>> conversion("2 lb plums in two jars", "us") is None
    True
    """
    if len(note) > 60 or not _HINT.search(note):
        return None
    amount, many, turned, heat = _patterns()
    found = heat.match(note) or turned.match(note)
    if found:
        return _heat(float(found["number"]), found["scale"].upper())
    found = amount.match(note) or many.match(note)
    return _amount(found, measure) if found else None


def _heat(value: float, scale: str) -> Reply:
    if scale == "C":
        return Reply(f"{value:g} °C is {to_fahrenheit(value):.0f} °F.", CONVERSION)
    return Reply(f"{value:g} °F is {to_celsius(value, 'F'):.0f} °C.", CONVERSION)


def _amount(found: re.Match[str], measure: str) -> Reply | None:
    said = found["number"].lower().removesuffix(" a").removesuffix(" an")
    value = _ONE.get(said) or float(said)
    one, other = unit_for(found["from"], measure), unit_for(found["to"], measure)
    if one is None or other is None:
        return None
    if one.si_unit != other.si_unit:
        return Reply(
            "A weight and a volume convert only for a known food: say which, as in “how many "
            "grams in a cup of dried courgettes”.", CONVERSION,
        )  # fmt: skip
    size = value * one.si / other.si
    text = f"{size:.0f}" if size >= 100 else f"{size:.3g}"
    return Reply(f"{value:g} {found['from']} is {text} {other.id}.", CONVERSION)
