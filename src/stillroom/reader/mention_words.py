"""A note as tokens for concept matching: word forms, numbers with their meaning, topic windows.

Voice notes have no punctuation and typed notes are elliptic, so a sentence is the wrong unit for
"these two things were said of the same food". The unit here is the *window*: neighbouring clauses
that speak of the same food, or of no other food. "Chicken thighs. Left them out overnight." is
one window; "the pears are done next the beef strips" is two.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

_TOKEN = re.compile(
    r"\d+(?:,\d{3})*(?:\.\d+)?(?:/\d+)?|[^\W\d_]+(?:['’‘`´][^\W\d_]+)*|[½¼¾⅓⅔⅛⅜%°#]|[.;!?:\n,—–()]|-(?=\s)"
)
_ENDS = frozenset(".;!?:\n")
_COMMAS = frozenset(",—–()-")
_ABBREVIATIONS = frozenset(
    "in oz lb lbs hr hrs min mins tsp tbsp deg approx st temp qt pt no vs etc".split()
)
_NOT = re.compile(
    r"^(did|do|does|is|was|were|are|have|has|had|wo|ca|could|should|would|ai|need|must)n['’‘`´]?t$"
)
_SPELLING = {
    "mold": "mould", "molds": "moulds", "moldy": "mouldy", "molding": "moulding",
    "molded": "moulded", "aluminum": "aluminium", "color": "colour", "flavor": "flavour",
    "sulphur": "sulfur", "sulphured": "sulfured", "sulphite": "sulfite", "sulphites": "sulfites",
    "sulphited": "sulfited", "yoghurt": "yogurt", "yoghourt": "yogurt", "chile": "chilli",
    "chili": "chilli", "chiles": "chillies", "chilies": "chillies", "chillis": "chillies",
    "galvanised": "galvanized", "pasteurised": "pasteurized", "unpasteurised": "unpasteurized",
    "pasteurise": "pasteurize", "sterilised": "sterilized", "fibre": "fiber", "grey": "gray",
    "fridges": "fridge", "refrigerator": "fridge", "frig": "fridge", "vaccum": "vacuum",
    "vacum": "vacuum", "vaccuum": "vacuum", "vacuumed": "vacuum", "vac": "vacuum",
    "diarrhoea": "diarrhea", "oestrogen": "estrogen", "tumeric": "turmeric",
    "licorice": "liquorice", "airtight": "airtight", "jerkey": "jerky", "botulinum": "botulism",
    "dehydrator": "dryer", "dehydrators": "dryers", "drier": "dryer", "driers": "dryers",
    "dehydrate": "dry", "dehydrated": "dried", "dehydrating": "drying", "ok": "okay",
    "celcius": "c", "celsius": "c", "centigrade": "c", "fahrenheit": "f", "farenheit": "f",
    "degree": "deg", "degrees": "deg", "°": "deg", "percent": "%", "pct": "%",
}  # fmt: skip
_IRREGULAR = {
    "left": "leave", "kept": "keep", "made": "make", "ate": "eat", "eaten": "eat", "frozen":
    "freeze", "froze": "freeze", "ground": "grind", "stood": "stand", "sat": "sit", "forgot":
    "forget", "forgotten": "forget", "hung": "hang", "gave": "give", "given": "give", "fed":
    "feed", "threw": "throw", "thrown": "throw", "ran": "run", "went": "go", "gone": "go",
    "goes": "go", "took": "take", "taken": "take", "found": "find", "felt": "feel", "stuck":
    "stick", "broke": "break", "broken": "break", "blew": "blow", "blown": "blow", "bought":
    "buy", "sold": "sell", "drank": "drink", "drunk": "drink", "woke": "wake", "slept": "sleep",
    "shot": "shoot", "burnt": "burn", "smelt": "smell", "thawn": "thaw", "dreid": "dry",
    "mice": "mouse", "knives": "knife", "leaves": "leaf", "loaves": "loaf", "halves": "half",
    "shelves": "shelf", "rose": "rise", "risen": "rise", "swollen": "swell", "fought": "fight",
    "caught": "catch", "told": "tell", "said": "say", "got": "get", "gotten": "get", "bit": "bite",
    "bitten": "bite", "dug": "dig", "spread": "spread", "lit": "light", "lay": "lie", "laid": "lay",
    "fell": "fall", "grew": "grow", "grown": "grow", "began": "begin", "came": "come", "done": "do",
    "did": "do", "saw": "see", "seen": "see", "feet": "foot", "children": "child", "kids": "kid",
    "babies": "baby", "people": "person", "wove": "weave", "spilt": "spill", "swam": "swim",
}  # fmt: skip
_UNITS = {word: n for n, word in enumerate(
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen "
    "fifteen sixteen seventeen eighteen nineteen".split())}  # fmt: skip
_TENS = {word: 10 * n for n, word in enumerate(
    "twenty thirty forty fifty sixty seventy eighty ninety".split(), start=2)}  # fmt: skip
_FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125, "⅜": 0.375}
_LOOSE = {"couple": 2.0, "few": 3.0, "several": 4.0}


@dataclass(slots=True)
class Token:
    """One word with where it stands; ``comma`` and ``clause`` tell what stands before it."""

    text: str
    forms: frozenset[str]
    start: int
    end: int
    clause: int
    comma: bool
    asked: bool = False  # the clause before this token ended with a question mark
    window: int = 0


@lru_cache(maxsize=20_000)
def forms(word: str) -> frozenset[str]:
    """The word and what it may be inflected from; no dictionary, so some are no words.

    >>> sorted(forms("chopped"))
    ['=chopped', 'chop', 'chopp', 'chopped', 'choppe']
    """
    found = {word, "=" + word}
    if word in _IRREGULAR:
        found.add(_IRREGULAR[word])
    size = len(word)
    if word.endswith("ies") and size > 4:
        found |= {word[:-3] + "y", word[:-1], word[:-2]}
    elif word.endswith("s") and size > 3 and not word.endswith("ss"):
        found.add(word[:-1])
        if word.endswith(("oes", "xes", "ches", "shes", "sses")):
            found.add(word[:-2])
    if word.endswith("ied") and size > 4:
        found.add(word[:-3] + "y")
    for ending in ("ed", "ing"):
        stem = word[: -len(ending)]
        if word.endswith(ending) and len(stem) >= 2 and not word.endswith("eed"):
            found |= {stem, stem + "e"}
            if len(stem) > 3 and stem[-1] == stem[-2]:
                found.add(stem[:-1])
    return frozenset(found)


def _plain(word: str) -> str:
    if word.isascii():
        return word.lower()
    split = unicodedata.normalize("NFD", word.lower())
    return "".join(char for char in split if not unicodedata.combining(char))


def _words(raw: str) -> tuple[str, ...]:
    """The plain words of one raw token: "didn't" is two, "kitchen's" is one."""
    word = _plain(raw)
    if raw in _FRACTIONS:
        return (raw,)
    if word == "cannot":
        return ("can", "not")
    hit = _NOT.match(word)
    if hit:
        return ({"wo": "will", "ca": "can", "ai": "is"}.get(hit[1], hit[1]), "not")
    head = re.split(r"['’‘`´]", word, maxsplit=1)[0] or word
    return (_SPELLING.get(head, head),)


def tokens(text: str) -> list[Token]:
    """The words of a note, each with its clause; punctuation leaves only its effect."""
    found: list[Token] = []
    clause, comma, asked = 0, False, False
    for hit in _TOKEN.finditer(text):
        raw = hit[0]
        if raw in _ENDS:
            if raw in ".:" and _runs_on(text, hit.end(), found):
                continue
            clause, comma, asked = clause + 1, False, raw == "?"
        elif raw in _COMMAS:
            comma = True
        else:
            for word in _words(raw):
                found.append(Token(word, forms(word), hit.start(), hit.end(), clause, comma, asked))
                comma = False
            asked = False
    return found


def _runs_on(text: str, after: int, found: list[Token]) -> bool:
    """Whether a full stop is none: "2 oz. of", "1/4 in. slices", "e.g."."""
    if after < len(text) and not text[after].isspace():
        return True
    if not found or found[-1].text not in _ABBREVIATIONS:
        return False
    rest = text[after : after + 3].lstrip()
    return bool(rest) and not rest[0].isupper()


_MARKERS = frozenset("then next also anyway oh um uh okay right meanwhile".split())
_LONG_CLAUSE = 22


def number_windows(found: list[Token], topics: dict[str, str]) -> None:
    """Set ``window`` of every token.

    Args:
        found: the tokens, changed in place.
        topics: topic by word form (the foods; all meat is one topic).
    """
    window, current = 0, set[str]()
    for piece in _pieces(found):
        named = {topics[form] for token in piece for form in token.forms if form in topics}
        if named and current and not named & current:
            window, current = window + 1, named
        else:
            current |= named
        for token in piece:
            token.window = window


def _pieces(found: list[Token]) -> list[list[Token]]:
    """Clauses; a long one without punctuation is cut at words that start a new thought."""
    clauses: list[list[Token]] = []
    for token in found:
        if clauses and clauses[-1][-1].clause == token.clause:
            clauses[-1].append(token)
        else:
            clauses.append([token])
    pieces: list[list[Token]] = []
    for clause in clauses:
        if len(clause) <= _LONG_CLAUSE:
            pieces.append(clause)
            continue
        begin = 0
        for at, token in enumerate(clause):
            if token.text in _MARKERS and at - begin > 3:
                pieces.append(clause[begin:at])
                begin = at
        pieces.append(clause[begin:])
    return pieces


# numbers --------------------------------------------------------------------------------------

_HOURS = {
    "second": 1 / 3600, "minute": 1 / 60, "min": 1 / 60, "hour": 1.0, "hr": 1.0, "h": 1.0,
    "day": 24.0, "night": 12.0, "week": 168.0, "fortnight": 336.0, "month": 730.0, "year": 8760.0,
    "yr": 8760.0, "wk": 168.0,
}  # fmt: skip
_HOUR_PHRASES: dict[str, tuple[tuple[tuple[str, ...], float], ...]] = {
    "overnight": (((), 10.0),),
    "over": ((("night",), 10.0), (("the", "weekend"), 48.0)),
    "all": tuple(
        ((word,), hours)
        for word, hours in (("night", 10.0), ("day", 10.0), ("afternoon", 5.0), ("morning", 4.0),
                            ("evening", 4.0), ("weekend", 48.0), ("week", 168.0), ("winter", 2000.0),
                            ("summer", 2000.0), ("year", 8760.0))
    ) + ((("through", "the", "night"), 10.0),),
    "whole": (
        (("day",), 10.0), (("night",), 10.0), (("afternoon",), 5.0), (("morning",), 4.0),
        (("weekend",), 48.0), (("week",), 168.0), (("winter",), 2000.0),
    ),
    "since": (
        (("this", "morning"), 5.0), (("breakfast",), 6.0), (("lunch",), 4.0),
        (("lunchtime",), 4.0), (("last", "night"), 12.0), (("yesterday",), 24.0),
        (("dawn",), 8.0), (("noon",), 4.0), (("the", "morning"), 5.0), (("morning",), 5.0),
        (("early",), 5.0), (("milking",), 5.0), (("monday",), 48.0), (("tuesday",), 48.0),
        (("wednesday",), 48.0), (("thursday",), 48.0), (("friday",), 48.0), (("saturday",), 48.0),
        (("sunday",), 48.0), (("last", "week"), 168.0),
    ),
    "half": ((("a", "day"), 6.0), (("the", "day"), 6.0), (("an", "hour"), 0.5), (("hour",), 0.5)),
    "for": ((("hours",), 4.0), (("days",), 72.0), (("weeks",), 500.0), (("months",), 2200.0),
            (("years",), 17520.0), (("ages",), 5.0), (("ever",), 17520.0)),
    "forever": (((), 17520.0),),
    "hours": (((), 4.0),), "days": (((), 72.0),), "weeks": (((), 500.0),),
    "months": (((), 2200.0),), "years": (((), 17520.0),), "indefinitely": (((), 17520.0),),
    "nightfall": (((), 6.0),),
}  # fmt: skip
_HEAT_BEFORE = frozenset(
    "at to about around set setting setpoint of on reached hit below under above over is was "
    "reads read reading temp temperature thermostat say only near past dial for just dryer oven".split()
)
_NO_HEAT_AFTER = frozenset(
    "lb lbs oz g kg pound pounds ounce ounces gram grams kilo kilos ml l litre litres liter cup cups"
    " % min mins minute minutes hour hours hr hrs h day days week weeks month months tray trays jar"
    " jars mm cm inch inches in pm am tsp tbsp pint pints quart quarts year years watt watts w"
    " small medium large people ppm percent feet ft pounds psi".split()
)


_ROOMS = frozenset(("kitchen", "room", "outside", "house", "scullery", "weather", "air"))


@dataclass(slots=True, frozen=True)
class Measure:
    """A number in the note: ``kind`` is N plain, H hours, F deg F, P percent; ends before ``end``."""

    kind: str
    value: float
    end: int


def measures(found: list[Token]) -> dict[int, list[Measure]]:
    """Every number by the token it starts at, with what it measures when the words say so."""
    out: dict[int, list[Measure]] = {}
    at = 0
    while at < len(found):
        phrase = _hour_phrase(found, at)
        if phrase:
            out.setdefault(at, []).append(phrase)
        read = _number(found, at)
        if read is None:
            at += 1
            continue
        value, end = read
        kinds = [Measure("N", value, end)]
        kinds += _meaning(found, at, value, end)
        out.setdefault(at, []).extend(kinds)
        at = end
    return out


def _hour_phrase(found: list[Token], at: int) -> Measure | None:
    for rest, hours in _HOUR_PHRASES.get(found[at].text, ()):
        end = at + 1 + len(rest)
        if tuple(token.text for token in found[at + 1 : end]) == rest:
            return Measure("H", hours, end)
    return None


def _meaning(found: list[Token], at: int, value: float, end: int) -> list[Measure]:
    word = found[end].text if end < len(found) else ""
    if word == "%":
        return [Measure("P", value, end + 1)]
    follow = end + 1 if word in ("deg", "a", "of", "more", "solid", "or") else end
    after = found[follow].text if follow < len(found) else ""
    for form in forms(word) | (forms(after) if word in ("more", "solid", "or") else set()):
        if form in _HOURS and not (form in ("second", "min") and word == "second"):
            return [Measure("H", value * _HOURS[form], end + 1)]
    if word in ("f", "c") or (word == "deg" and after in ("f", "c")):
        scale = word if word in ("f", "c") else after
        stop = end + 1 if word in ("f", "c") else end + 2
        return [Measure("F", value if scale == "f" else value * 1.8 + 32, stop)]
    before = found[at - 1].text if at else ""
    if word == "deg" or (
        before in _HEAT_BEFORE and 30 <= value <= 550 and word not in _NO_HEAT_AFTER
    ):
        # A bare number is deg F, but no dryer is set below 80 F and no fridge above it.
        celsius = 44 <= value <= 80 and not _of_a_room(found, at)
        return [Measure("F", value * 1.8 + 32 if celsius else value,
                        end + (word == "deg"))]  # fmt: skip
    return []


def _of_a_room(found: list[Token], at: int) -> bool:
    return any(token.text in _ROOMS for token in found[max(0, at - 5) : at])


def _digits(text: str) -> float | None:
    if text in _FRACTIONS:
        return _FRACTIONS[text]
    if not text[:1].isdigit() or len(text) > 30:
        return None
    head, _, tail = text.replace(",", "").partition("/")
    try:
        return float(head) / float(tail) if tail else float(head)
    except (ValueError, ZeroDivisionError):
        return None


def _number(found: list[Token], at: int) -> tuple[float, int] | None:
    """The number that starts here, in digits or words, and the token after it."""
    value = _digits(found[at].text)
    if value is not None:
        end = at + 1
        if end < len(found) and (part := _digits(found[end].text)) is not None and part < 1:
            return value + part, end + 1
        return value, end
    return _spoken(found, at)


def _spoken(found: list[Token], at: int) -> tuple[float, int] | None:
    word = found[at].text
    following = found[at + 1].text if at + 1 < len(found) else ""
    if word in _LOOSE:
        return _LOOSE[word], at + (2 if following in ("of", "more") else 1)
    if word == "half" and following in ("a", "an") and at + 2 < len(found):
        return 0.5, at + 2
    if word in ("a", "an"):
        if following in _LOOSE:
            return _spoken(found, at + 1)
        if following == "hundred":
            return _hundreds(found, 100.0, at + 2)
        if forms(following) & _HOURS.keys():
            return 1.0, at + 1
        return None
    if word not in _UNITS and word not in _TENS:
        return None
    value, end = _small(found, at)
    if end < len(found) and found[end].text == "hundred":
        return _hundreds(found, value * 100, end + 1)
    nxt = found[end].text if end < len(found) else ""
    # "one thirty five", "two twelve": how an oven or dryer setting is spoken.
    if value < 10 and (nxt in _TENS or _UNITS.get(nxt, 0) >= 10):
        more, end = _small(found, end)
        return value * 100 + more, end
    if value < 10 and nxt in ("oh", "o") and end + 1 < len(found) and found[end + 1].text in _UNITS:
        return value * 100 + _UNITS[found[end + 1].text], end + 2
    if nxt == "and" and [t.text for t in found[end + 1 : end + 3]] == ["a", "half"]:
        return value + 0.5, end + 3
    return float(value), end


def _small(found: list[Token], at: int) -> tuple[float, int]:
    word = found[at].text
    if word in _UNITS:
        return float(_UNITS[word]), at + 1
    unit = _UNITS.get(found[at + 1].text, 0) if at + 1 < len(found) else 0
    return (float(_TENS[word] + unit), at + 2) if 0 < unit < 10 else (float(_TENS[word]), at + 1)


def _hundreds(found: list[Token], value: float, end: int) -> tuple[float, int]:
    skip = end + 1 if end < len(found) and found[end].text == "and" else end
    if skip < len(found) and (found[skip].text in _UNITS or found[skip].text in _TENS):
        more, end = _small(found, skip)
        return value + more, end
    return value, end
