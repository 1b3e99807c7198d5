"""Numbers of a note for the hazard rules, in digits or as spoken, whatever they measure."""

from __future__ import annotations

from stillroom.reader.mention_words import FRACTIONS, Token, forms
from stillroom.reader.spoken import ONES, TENS

_LOOSE = {"couple": 2.0, "few": 3.0, "several": 4.0}
TIME_WORDS = frozenset(
    ("second", "minute", "min", "hour", "hr", "h", "day", "night", "week", "wk", "fortnight",
     "month", "year", "yr")
)  # fmt: skip


def _digits(text: str) -> float | None:
    if text in FRACTIONS:
        return FRACTIONS[text]
    if not text[:1].isdigit() or len(text) > 30:
        return None
    head, _, tail = text.replace(",", "").partition("/")
    try:
        return float(head) / float(tail) if tail else float(head)
    except (ValueError, ZeroDivisionError):
        return None


def number_at(found: list[Token], at: int) -> tuple[float, int] | None:
    """The number that starts here, in digits or words, and the token after it."""
    value = _digits(found[at].text)
    if value is not None and _tenths(found, at + 1):
        return value + float("0." + found[at + 1].text), at + 2
    if value is not None:
        end = at + 1
        if end < len(found) and (part := _digits(found[end].text)) is not None and part < 1:
            return value + part, end + 1
        return value, end
    return _spoken(found, at)


def _tenths(found: list[Token], at: int) -> bool:
    """1,5 hours: a comma between figures with no space is a decimal point."""
    if at >= len(found) or not found[at].comma or found[at].start != found[at - 1].end + 1:
        return False
    return found[at].text.isdecimal() and len(found[at].text) < 3


def _spoken(found: list[Token], at: int) -> tuple[float, int] | None:
    word, following = found[at].text, text_at(found, at + 1)
    if word in _LOOSE:
        return _LOOSE[word], at + (2 if following in ("of", "more") else 1)
    if word == "half" and following in ("a", "an") and at + 2 < len(found):
        return 0.5, at + 2
    if word in ("a", "an"):
        return _one(found, at, following)
    return _spelled(found, at) if word in ONES or word in TENS else None


def text_at(found: list[Token], at: int) -> str:
    """The word at a place, empty beyond the end."""
    return found[at].text if at < len(found) else ""


def _one(found: list[Token], at: int, following: str) -> tuple[float, int] | None:
    if following in _LOOSE:
        return _spoken(found, at + 1)
    if following == "hundred":
        return _hundreds(found, 100.0, at + 2)
    return (1.0, at + 1) if forms(following) & TIME_WORDS else None


def _spelled(found: list[Token], at: int) -> tuple[float, int]:
    value, end = _small(found, at)
    following = text_at(found, end)
    if end < len(found) and found[end].comma:
        return value, end
    if following == "hundred":
        return _hundreds(found, value * 100, end + 1)
    figures = [ONES.get(text_at(found, place), 10) for place in range(at, at + 4)]
    if text_at(found, at - 1) in ("at", "to", "on") and max(figures[:3]) < 10 <= figures[3]:
        return 100.0 * figures[0] + 10 * figures[1] + figures[2], at + 3
    # "one thirty five", "two twelve": how an oven or dryer setting is spoken.
    if value < 10 and (following in TENS or ONES.get(following, 0) >= 10):
        more, end = _small(found, end)
        return value * 100 + more, end
    if value < 10 and following in ("oh", "o") and text_at(found, end + 1) in ONES:
        return value * 100 + ONES[found[end + 1].text], end + 2
    if following == "and" and [text_at(found, end + 1), text_at(found, end + 2)] == ["a", "half"]:
        return value + 0.5, end + 3
    return value, end


def _small(found: list[Token], at: int) -> tuple[float, int]:
    word = found[at].text
    if word in ONES:
        return float(ONES[word]), at + 1
    unit = ONES.get(found[at + 1].text, 0) if at + 1 < len(found) else 0
    return (float(TENS[word] + unit), at + 2) if 0 < unit < 10 else (float(TENS[word]), at + 1)


def _hundreds(found: list[Token], value: float, end: int) -> tuple[float, int]:
    skip = end + 1 if end < len(found) and found[end].text == "and" else end
    if skip < len(found) and (found[skip].text in ONES or found[skip].text in TENS):
        more, end = _small(found, skip)
        return value + more, end
    return value, end
