"""Words of a note that no slot holds and that pickles, mixes and soaking need.

Water, a style, "four lots", "two jars are short": read from the note's own text, near their noun,
so that a figure said of something else is never taken.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from stillroom.base.quantity import unit_for

_SMALL = {
    "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0,
    "six": 6.0, "seven": 7.0, "eight": 8.0, "nine": 9.0, "ten": 10.0, "eleven": 11.0,
    "twelve": 12.0, "thirteen": 13.0, "fourteen": 14.0, "fifteen": 15.0, "sixteen": 16.0,
    "seventeen": 17.0, "eighteen": 18.0, "nineteen": 19.0, "twenty": 20.0, "thirty": 30.0,
    "forty": 40.0, "fifty": 50.0, "sixty": 60.0, "hundred": 100.0, "two dozen": 24.0,
    "a hundred": 100.0, "a dozen": 12.0, "dozen": 12.0,
    "half a": 0.5, "a half": 0.5, "half": 0.5, "a couple of": 2.0,
    "a quarter": 0.25, "quarter": 0.25,
}  # fmt: skip
_GLYPHS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3}
_WORDS = "|".join(sorted(_SMALL, key=len, reverse=True))
_COUNT = rf"(?:\d+(?:\.\d+)?\s*[½¼¾⅓⅔]?|[½¼¾⅓⅔]|\d+\s*/\s*\d+|\b(?:{_WORDS})\b(?: and a half)?)"
_WATER = re.compile(
    rf"({_COUNT})\s*-?\s*([a-z]+)\.?\s+(?:of\s+)?(?:cold |hot |warm )?water\b", re.I
)
_LOTS = re.compile(rf"({_COUNT})\s+(?:\w+\s+)?(?:lots?|batch(?:es)?|rounds?|times)\b", re.I)
_SERVES = re.compile(
    rf"(?:serv(?:es|ing|e)\s+|feeds?\s+|for\s+)({_COUNT})"
    rf"(?=\s*(?:people|of us|guests|eaters|$|[.,?!]))"
    rf"|({_COUNT})\s+(?:servings|portions|people|guests)", re.I
)  # fmt: skip
_SHORT = re.compile(
    r"\b(?:short|ran out|run out|running out|not enough|still (?:need|empty|dry)|unfilled"
    r"|without brine|no brine)\b", re.I
)  # fmt: skip
_SHORT_JARS = re.compile(
    rf"({_COUNT})\s+(?:more\s+|of the\s+|last\s+|empty\s+)?(?:\S+\s+)?(?:jars?|pints?|quarts?)",
    re.I,
)
_STRENGTH = re.compile(r"(\d+(?:\.\d+)?)\s*(?:%|per ?cent|percent)\s*(?:acid\w*\s+)?(?:\w+\s+)?"
                       r"(?:vinegar|acid)", re.I)  # fmt: skip
_STRENGTH_AFTER = re.compile(
    r"vinegar[^.;\d]{0,20}?(\d+(?:\.\d+)?)\s*(?:%|per ?cent|percent)", re.I
)
_SHELF = re.compile(
    r"\b(?:cann(?:ed|ing)|to can|can them|can up|can (?:beets|pickles)"
    r"|(?:i|we|you|will|then|and) can (?:it|these|those|some|the|my)\b"
    r"|water[- ]?bath|pressure[- ]can\w*|shelf[- ]?stable|steril\w+"
    r"|process(?:ing)? (?:the |them|it|my )|(?:on|for|in) (?:the |a |my )?"
    r"(?:shelf|pantry|larder|cupboard|cellar|store ?room)"
    r"|room temperature|without (?:the |a )?fridge|unrefrigerated|no fridge)", re.I
)  # fmt: skip
_NOT_SHELF = re.compile(
    r"\b(?:not|never|no|isn't|aren't|without|instead of|rather than)\s+(?:\w+\s+)?"
    r"(?:cann\w+|water[- ]?bath\w*|shelf[- ]?stable|on (?:the|a) shelf)"
    r"|\b(?:vinegar|salt|sugar|spices?|empt(?:y|ies)|lids|(?:canning|clean|spare) jars)"
    r"\s+(?:\w+\s+){0,3}?"
    r"(?:on|in|from) (?:the |a |my )?(?:shelf|pantry|larder|cupboard|cellar|store ?room)", re.I
)  # fmt: skip
_FRIDGE = re.compile(r"\b(?:fridge|refrigerat\w+)\b", re.I)
# What is done to any clean jar on its way to the fridge.
_ON_THE_WAY = re.compile(r"\bsteril\w+|\b(?:cool\w*|come|get) (?:down )?to room temperature", re.I)


def count_of(text: str) -> float | None:
    """A small number in digits, fractions or words.

    >>> count_of("2 ½"), count_of("three and a half"), count_of("1/2"), count_of("x")
    (2.5, 3.5, 0.5, None)
    """
    text = " ".join(text.lower().split())
    half = 0.5 if text.endswith(" and a half") else 0.0
    text = text.removesuffix(" and a half")
    if text in _SMALL:
        return _SMALL[text] + half
    total = sum(_GLYPHS.get(char, 0.0) for char in text)
    plain = re.sub("[½¼¾⅓⅔]", "", text).strip()
    if fraction := re.fullmatch(r"(\d+)\s*/\s*(\d+)", plain):
        below = float(fraction.group(2))
        return float(fraction.group(1)) / below if below else None
    if plain:
        try:
            total += float(plain)
        except ValueError:
            return None
    return total + half if total else None


def water_ml(note: str, measure: str = "us") -> float | None:
    """Water that a brine was said to hold, ml; None when none is named.

    >>> round(water_ml("3 cups vinegar, 3 cups water, 3 tbsp salt"))
    710
    >>> water_ml("3 cups vinegar in a water bath")
    """
    total = None
    for found in _WATER.finditer(note):
        value, unit = count_of(found.group(1)), unit_for(found.group(2), measure)
        if value is not None and unit is not None and unit.si_unit == "ml":
            total = (total or 0.0) + value * unit.si
    return total


def lots_said(note: str) -> float | None:
    """How many lots of a recipe are wanted.

    >>> lots_said("make four lots of the herb dip mix"), lots_said("double the tomato soup base")
    (4.0, 2.0)
    """
    if found := _LOTS.search(note):
        return count_of(found.group(1))
    if re.search(r"\b(?:double|twice)\b", note, re.I):
        return 2.0
    if re.search(r"\btriple\b", note, re.I):
        return 3.0
    return 0.5 if re.search(r"\bhalf (?:a |the )?(?:lot|batch|recipe)\b", note, re.I) else None


def people_said(note: str) -> float | None:
    """For how many the mix is.

    >>> people_said("tomato soup base for twelve people"), people_said("8 servings of beet dip")
    (12.0, 8.0)
    """
    found = _SERVES.search(note)
    return count_of(found.group(1) or found.group(2)) if found else None


def jars_short(note: str) -> float | None:
    """Jars that the brine did not reach; None when nothing is short.

    >>> jars_short("two jars are short"), jars_short("the brine ran out"), jars_short("two jars")
    (2.0, 1.0, None)
    """
    if not _SHORT.search(note):
        return None
    for sentence in re.split(r"(?<=[.;!?])\s+", note):
        if short := _SHORT.search(sentence):
            near = [
                (abs(found.end() - short.start()), found)
                for found in _SHORT_JARS.finditer(sentence)
            ]
            if near:
                return count_of(min(near, key=lambda pair: pair[0])[1].group(1)) or 1.0
    return 1.0


def vinegar_strength(note: str) -> float | None:
    """Acidity said of the vinegar, per cent.

    >>> vinegar_strength("vinegar is 4 % acidity"), vinegar_strength("6% vinegar")
    (4.0, 6.0)
    """
    found = _STRENGTH.search(note) or _STRENGTH_AFTER.search(note)
    value = float(found.group(1)) if found else None
    return value if value is not None and 0 < value <= 30 else None


_PROCESS = re.compile(
    r"\bcanners?\b|\bprocess(?:ing|ed)? times?\b|\b(?:what|how much|which) pressure\b"
    r"|\bpounds? (?:of )?pressure\b|\bpsi\b|\bopen[- ]kettle\b|\bwater[- ]?bath\b"
    r"|\bboil\w* (?:the |my |our )?(?:filled |full |packed )?(?:jars|pints|quarts)\b[^.?!]*"
    r"\b(?:seal|keep|shelf|last|store)", re.I
)  # fmt: skip


def asks_process(note: str) -> bool:
    """Whether a canning process is asked for in its own words.

    >>> asks_process("how many minutes in the canner"), asks_process("process them to a powder")
    (True, False)
    """
    return bool(_PROCESS.search(_NOT_SHELF.sub(" ", note)))


def wants_shelf(note: str) -> bool:
    """Whether a pickle is meant for the shelf, which no refrigerator recipe may serve.

    >>> wants_shelf("brine for pickles to can"), wants_shelf("pickles for the pantry")
    (True, True)
    >>> wants_shelf("can I use 4 % vinegar for fridge pickles, not canned")
    False
    >>> wants_shelf("sterilised jars, cool to room temperature, then the fridge")
    False
    """
    said = _NOT_SHELF.sub(" ", note)
    if _FRIDGE.search(said):
        said = _ON_THE_WAY.sub(" ", said)
    return bool(_SHELF.search(said))


def named_in(note: str, words_by_key: Mapping[str, Iterable[str]]) -> str | None:
    """The key whose longest word stands in a note, as whole words.

    >>> named_in("a sweet and hot brine", {"s": ["sweet"], "sh": ["sweet and hot"]})
    'sh'
    """
    best: tuple[int, str] | None = None
    text = " ".join(re.findall(r"[a-z0-9]+", note.lower()))
    for key, words in words_by_key.items():
        for word in words:
            plain = " ".join(re.findall(r"[a-z0-9]+", word.lower()))
            if re.search(rf"\b{re.escape(plain)}s?\b", text) and (
                best is None or len(plain) > best[0]
            ):
                best = len(plain), key
    return best[1] if best else None
