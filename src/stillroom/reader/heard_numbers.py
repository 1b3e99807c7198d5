"""Numbers that a phone writes as other words: "for trays", "to jars", "ate kiwis"."""

from __future__ import annotations

from stillroom.reader.ear import Ear
from stillroom.reader.evidence import measures_food
from stillroom.reader.spoken import is_number_word

_EIGHT_NOT_AFTER = {
    "i", "we", "they", "he", "she", "you", "who", "children", "kids", "it", "that", "already",
}  # fmt: skip
_FOUR_NOT_AFTER = {
    "looking", "look", "room", "enough", "lids", "labels", "time", "ready", "off", "searching",
    "pay", "paid", "waiting", "weight", "good", "asked", "care", "used",
}  # fmt: skip
_TWO_NOT_AFTER = {
    "on", "in", "over", "up", "moved", "went", "transferred", "move", "go", "back", "down",
    "close", "next", "added", "add", "gone", "attached", "stuck", "sticking", "stick", "came",
    "come", "comes",
}  # fmt: skip
_LONG_TIME = {"hours", "days", "weeks", "months", "years", "ages", "hour", "day", "week"}
_PLURAL_MEASURES = {"trays", "racks", "jars", "bags", "tins", "sheets", "boxes", "screens"}
_SOUNDS = {
    "for": "four",
    "fore": "four",
    "to": "two",
    "too": "two",
    "ate": "eight",
    "won": "one",
    "tree": "three",
}
_SIZES = {
    "pint",
    "quart",
    "half",
    "litre",
    "liter",
    "gallon",
    "mesh",
    "full",
    "big",
    "large",
    "small",
    "more",
}


class HeardNumbers(Ear):
    """Takes a word for a number where a measure or a counted thing follows."""

    def _number(self, at: int) -> int:
        number = _SOUNDS.get(self.lows[at])
        if number is None:
            return 0
        before, behind = self.around.low(at - 1), self.around.low(at + 1)
        if (is_number_word(before) and number != "four") or before[:1].isdigit():
            return 0
        between = before == "between" and behind in ("and", "to", "or")
        if not between and not self._counts(number, at, before, behind):
            return 0
        return self._take(at, at + 1, number, number)

    def _counts(self, number: str, at: int, before: str, behind: str) -> bool:
        if number == "eight":
            return before not in _EIGHT_NOT_AFTER and (self._measure(behind) or self._eaten(at))
        if number == "four":
            if before in _FOUR_NOT_AFTER or is_number_word(before):
                return False
            return self._measure(behind) or (
                behind in _SIZES and self._measure(self.around.low(at + 2))
            )
        if number == "two":
            if before in _TWO_NOT_AFTER or is_number_word(before):
                return False
            return self._measure(behind) or (
                behind in _SIZES and self._measure(self.around.low(at + 2))
            )
        return measures_food(behind) or behind in ("tray", "trays", "jar", "jars")

    def _measure(self, word: str) -> bool:
        if word in _LONG_TIME:
            return False
        return (
            word in _PLURAL_MEASURES
            or word == "minutes"
            or (word.endswith("s") and measures_food(word))
        )

    def _eaten(self, at: int) -> bool:
        """Ate kiwis peeled and sliced: a count, unless somebody eats."""
        place = at + 1
        while self.around.kind(place) == "size" or self.around.low(place) in (
            "ripe",
            "fresh",
            "lovely",
        ):
            place += 1
        entry = self.words.best(self.lows, place) if place < len(self.lows) else None
        if entry is None or entry.kind != "food" or not entry.head[-1].endswith("s"):
            return False
        return self.around.kind(place + len(entry.head)) in ("prep", "cut")
