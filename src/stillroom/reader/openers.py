"""Where a question begins: question words with a verb, turned verbs, indirect leads."""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.reader.lexicon import Lexicon
from stillroom.reader.spoken import small_number

_AUX = {
    "do", "does", "did", "is", "are", "was", "were", "'s", "'ll", "'re", "'d", "should",
    "shall", "can", "could", "will", "would", "must", "may", "might", "am", "has", "have",
    "had", "ought", "dont", "need",
}  # fmt: skip
_TURNED = {
    "do", "does", "did", "is", "are", "should", "shall", "can", "could", "will", "would",
    "must", "may", "might", "am", "has", "have", "need", "isn't", "aren't", "don't", "won't",
    "doesn't", "shouldn't", "was", "were", "can't", "couldn't", "wouldn't",
}  # fmt: skip
_SUBJECTS = {
    "i", "we", "you", "they", "it", "he", "she", "there", "that", "this", "those", "these",
    "anything", "any", "mine", "ours", "them", "one", "anyone", "everything",
}  # fmt: skip
_ARTICLES = {"the", "my", "our", "all", "both", "dried", "fresh", "a", "an"}
_HOW = {
    "long", "hot", "many", "much", "often", "thick", "thin", "thinly", "thickly", "strong",
    "big", "full", "dry", "deep", "close", "warm", "soon", "high", "low", "far", "small",
    "large", "sour", "sharp", "fine", "crisp", "to", "about", "come", "best", "early", "late",
    "tightly", "tight", "wet", "damp", "safe", "finely", "cold",
}  # fmt: skip
_WHAT = {
    "temp", "temps", "temperature", "temperatures", "heat", "setting", "settings", "size",
    "order", "surface", "sheet", "sheets", "kind", "sort", "type", "else", "happens", "goes",
    "needs", "about", "if", "to", "cut", "thickness", "proportion", "proportions", "ratio",
    "ratios", "strength", "weight", "book", "tray", "trays", "jar", "jars", "sized", "wants",
    "causes", "caused", "made", "makes", "went", "keeps", "stops", "time", "degree", "number",
    "amount", "quantity", "vessel", "liner", "dryness", "texture", "way", "stage", "point",
    "pretreatment", "prep", "treatment", "price", "tariff", "day", "month", "dial", "mix",
    "packaging", "gives", "gave", "signs",
}  # fmt: skip
_WHICH = {
    "tray", "trays", "jar", "jars", "book", "order", "surface", "sheet", "sheets", "one",
    "ones", "way", "food", "foods", "first", "do", "does", "should", "can", "batch", "batches",
    "fruit", "herbs", "source", "size", "temperature", "setting", "heat", "mesh", "bag",
    "bags", "things", "stuff", "page", "shelf", "of",
}  # fmt: skip
_NOT_AFTER = {
    "that", "'s", "that's", "matter", "which", "do", "does", "did", "no", "neither", "nor",
    "than", "as", "depending", "depends", "whatever", "should", "can", "will", "would",
    "could",
}  # fmt: skip
_LINKS = {
    "and", "so", "but", "then", "also", ",", "now", "or", "next", "um", "uh", "er", "erm",
    "oh", "well", "ok", "okay", "right", "because", "-", "–", "—", ":", "please", "plus",
    "anyway", "hello", "hi", "yes", "no",
}  # fmt: skip
_EMBEDS = {
    "know", "tell", "me", "wonder", "wondering", "sure", "remember", "forget", "idea", "ask",
    "asked", "question", "is", "out", "say", "check", "recall", "thing", "forgotten",
    "wondered", "asking", "wants", "this", "was", "worry", "though", "query", "about",
    "advise", "you", "remind", "us", "explain", "clue", "see",
}  # fmt: skip
_JUDGED = {
    "safe", "ok", "okay", "all", "alright", "fine", "worth", "best", "better", "right", "true",
    "too", "normal", "possible", "necessary", "dangerous", "wise", "still", "good", "bad",
}  # fmt: skip
_BIDDEN = {"remember", "note", "jot", "write", "log", "record", "keep", "put", "make", "add",
           "take", "mark"}  # fmt: skip
_STATES = {
    "safe",
    "done",
    "ready",
    "dry",
    "ok",
    "okay",
    "spoiled",
    "ruined",
    "still",
    "any",
    "finished",
}
_COMMANDS = {"have", "has", "need", "do", "must", "may", "might"}
_BE = {"is", "are", "was", "were"}
_OFFERED = {"surface", "vessel", "cut", "prep", "seal", "place", "leather"}
_SAME = {"leather": "cut"}
_ANY_SHEET = {"sheet", "sheets", "liner", "liners", "tray", "paper", "mat", "not", "off", "on"}
_OFFER = 6
NOWHERE, AT_HEAD, ANYWHERE = 0, 1, 2


class Openers:
    """Finds where questions begin in one note."""

    def __init__(self, lows: Sequence[str], words: Lexicon) -> None:
        self.lows, self.words = lows, words

    def low(self, at: int) -> str:
        """The word at a place, empty outside."""
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def breaks(self, at: int) -> bool:
        """Whether a question begins here, whatever runs before it."""
        before = self.low(at - 1)
        if before in _NOT_AFTER and not (before == "that" and self.low(at - 2) in ("know", "says")):
            return False
        strength = self.strength(at)
        if strength == AT_HEAD:
            if self.low(at) in _TURNED and not self.words.framed("lead", self.lows, at):
                quick = before == "one" and self.low(at - 2) in ("quick", "last", "more")
                linked = before in _LINKS or quick
                return linked and not (before == "so" and self.low(at) in _BE)
            return before in _LINKS or before in _EMBEDS
        return strength == ANYWHERE

    def spent(self, first: int, at: int) -> bool:
        """Whether a question has its verb already: not in "how many trays | do I"."""
        if self.low(at) in _TURNED and self.low(at - 1) == "or":
            return False
        return self.low(at) not in _TURNED or any(
            self.low(place) in _AUX for place in range(first, at)
        )

    def heads(self, first: int, last: int) -> bool:
        """Whether a clause asks by its first words, links and fillers set aside."""
        at = first
        while at <= last:
            if self.words.framed("lead", self.lows, at):
                return True
            filler = self.words.framed("filler", self.lows, at) or self.words.framed(
                "chat", self.lows, at
            )
            if filler and not self.strength(at):
                at += len(filler.head)
            elif self.lows[at] in _LINKS:
                at += 1
            else:
                break
        if at > first and self.low(at - 1) == "so" and self.low(at) in _BE:
            return False
        return at <= last and self.strength(at) != NOWHERE

    def leads(self, first: int) -> bool:
        """Whether a sentence begins like a question: what degrees …, is 70 C …, are tins …."""
        low, after = self.low(first), self.low(first + 1)
        if low in ("what", "how", "where", "when", "why", "which", "who", "whose", "whether"):
            return low != "when" or after in _AUX
        if low == "did" and (after in ("a", "an", "some") or self._figure(first + 1)):
            return False  # did a kilo of beets: done, not asked
        return low in _TURNED - _COMMANDS and bool(after) and not self._bids(first)

    def _bids(self, at: int) -> bool:
        """Can you remember this, could you note that: it asks for a deed, not to be told."""
        return (
            self.low(at) in ("can", "could", "will", "would", "do")
            and self.low(at + 1) == "you"
            and self.low(at + 2) in _BIDDEN
        )

    def _figure(self, at: int) -> bool:
        """Whether a number stands at a place."""
        return self.low(at)[:1].isdigit() or (
            at < len(self.lows) and small_number(self.low(at)) is not None
        )

    def offers(self, first: int, last: int) -> bool:
        """Jars or bags for kale; mesh or solid sheet for beets; is one of two, so it asks."""
        for at in range(first, min(last, first + _OFFER)):
            one = self.words.best(self.lows, at)
            if one is None or one.kind not in _OFFERED:
                continue
            after = at + len(one.head)
            after += self._food_length(after)
            if self.low(after) != "or" or after + 1 > last:
                continue
            other = self.words.best(self.lows, after + 1)
            if self.low(after + 1) in _ANY_SHEET or (
                other and _SAME.get(other.kind, other.kind) == _SAME.get(one.kind, one.kind)
            ):
                return at == first or self._plain_before(first, at)
        return False

    def _food_length(self, at: int) -> int:
        """How many words of a food begin here."""
        entry = self.words.best(self.lows, at) if at < len(self.lows) else None
        return len(entry.head) if entry and entry.kind == "food" else 0

    def _plain_before(self, first: int, at: int) -> bool:
        """Whether only a food stands before an offer: "tomato puree, mesh or sheet"."""
        kinds = ("food", "cut", "dried", "prep", "leather", "size")
        return all(
            self.low(place) in (",", ":", "-", "–", "—", "and", "the", "my")
            or ((entry := self.words.best(self.lows, place)) is not None and entry.kind in kinds)
            for place in range(first, at)
        )

    def strength(self, at: int) -> int:
        """How surely the words at a place open a question."""
        low, after = self.low(at), self.low(at + 1)
        if self.words.framed("lead", self.lows, at):
            return AT_HEAD
        if low == "how":
            return self._how(at, after)
        if low == "what":
            return self._what(at, after)
        if low in ("where", "when", "why"):
            return self._place(at, low, after)
        if low == "which":
            return AT_HEAD if after in _WHICH else NOWHERE
        if low in ("who", "says") and after in (
            "says",
            "said",
            "who",
            "told",
            "reckons",
            "decided",
        ):
            return ANYWHERE
        if low == "whose" and after in ("figure", "advice", "word", "number"):
            return AT_HEAD
        if low not in _TURNED or self._bids(at):
            return NOWHERE
        return self._turned(at, low, after)

    def _how(self, at: int, after: int | str) -> int:
        if after in _HOW:
            return ANYWHERE if after not in ("to", "about") else AT_HEAD
        if after in _AUX:
            return ANYWHERE if self._subject(at + 2) else AT_HEAD
        return AT_HEAD if after in ("i", "we", "you") and self.low(at - 1) in _EMBEDS else NOWHERE

    def _what(self, at: int, after: str) -> int:
        if after in ("now", "next") or (self.low(at - 1) == "now" and after in ("", "?", ".")):
            return AT_HEAD
        if after == "goes" and self.low(at + 2) in ("in", "into", "on", "with"):
            return ANYWHERE
        if after in _WHAT:
            return (
                AT_HEAD
                if after in ("to", "made", "makes", "went", "goes", "gives", "gave")
                else ANYWHERE
            )
        if after in _AUX:
            turned = self._subject(at + 2) and after not in (
                "'s",
                "is",
                "was",
                "were",
                "are",
                "'re",
            )
            stands_in = self.low(at + 2) in ("go", "work", "stand", "replace", "take")
            return ANYWHERE if turned or stands_in else AT_HEAD
        return NOWHERE

    def _place(self, at: int, low: str, after: str) -> int:
        if low == "why" and (not after or after in (".", "?", "!")):
            return AT_HEAD
        if low == "why" and (
            after[:1].isdigit()
            or self.words.framed("number", self.lows, at + 1)
            or after in ("not", "so")
        ):
            return AT_HEAD
        if low == "why" and self.low(at - 1) in _EMBEDS and self._subject(at + 1):
            return AT_HEAD
        if low == "where" and after in ("best", "to", "on"):
            return AT_HEAD
        if after not in _AUX:
            return NOWHERE
        return ANYWHERE if self._subject(at + 2) or low == "why" else AT_HEAD

    def _subject(self, at: int) -> bool:
        if self.low(at) in _SUBJECTS or self.low(at) in _ARTICLES:
            return True
        entry = self.words.best(self.lows, at) if at < len(self.lows) else None
        return entry is not None and entry.kind in (
            "food",
            "dried",
            "cut",
            "dryer",
            "prep",
            "size",
            "pron",
        )

    def _turned(self, at: int, low: str, after: str) -> int:
        """Do they want, is it safe, can the aubergines, are grapes meant to."""
        if low == "did" and self._figure(at + 1):
            return NOWHERE
        if low in ("have", "has", "need", "do", "did", "must") and after in (
            "a",
            "an",
            "any",
            "some",
            "one",
            "all",
        ):
            return AT_HEAD if after == "any" else NOWHERE
        if low == "need" and after not in ("i", "we", "they"):
            return NOWHERE
        if after == "it" and self.low(at + 2) in _JUDGED:
            return ANYWHERE if low in ("is", "isn't", "would", "will") else AT_HEAD
        if low in ("is", "are") and after in ("it", "they") and self.low(at + 2) in _STATES:
            return ANYWHERE
        if after in ("i", "we", "you") and low in (
            "do",
            "should",
            "can",
            "shall",
            "could",
            "must",
            "did",
            "am",
        ):
            return ANYWHERE
        if (
            low in ("is", "are")
            and after in ("there", "anything")
            and self.low(at + 2) in ("any", "anything", "due", "much", "to", "a", "enough")
        ):
            return ANYWHERE
        return AT_HEAD if self._subject(at + 1) or after == "anything" else NOWHERE
