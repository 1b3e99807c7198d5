"""What the words of a note tell beyond its slots: the way back, together, all of it, which day."""

from __future__ import annotations

import re
from datetime import date, timedelta

from stillroom.base.clock import WEEKDAYS
from stillroom.base.statement import Statement

_ENDS = re.compile(r"(?<=[.!?;\n])\s+")
_BACK = re.compile(
    r"\b(back (in|on|into|onto|to)|again|return(ed|ing)?|re-?dr(y|ied|ying))\b", re.I
)
_MORE = re.compile(r"\b(another|more|extra|fresh lot|second lot|new batch|further)\b", re.I)
_POINTS_BACK = re.compile(r"\b(the|those|these|that|them|said|same) \S+", re.I)
_TOGETHER = re.compile(
    r"\b(together|combined|merged|topped (the |up |it )?|tipped in with|in with (the )?(first|"
    r"earlier|other|yesterday)|both (lots|batches|jars|trays)|into one (jar|lot|batch))",
    re.I,
)
_ALL = re.compile(
    r"\b(the rest|all of (it|them|the)|the lot|whole lot|the last of|finished|finish off|polished "
    r"off|used up|everything|all gone|ate the last|the remaining|every last)\b",
    re.I,
)
_SOME = re.compile(
    r"\b(some|a few|a bit|a handful|a couple|part of|one of|any that|"
    r"[\w-]+ ones)\b",
    re.I,
)
_CONDITION = re.compile(r"\bcondition(ing)?\b", re.I)
_CONDITIONED = re.compile(
    r"\b(conditioned|(after|finished|done|through|completed|end of|from|out of|been|past|over with)"
    r" (the |its |their |with )*condition(ing)?)\b",
    re.I,
)
_REDUCED = re.compile(
    r"\b(down to|now|after|drained|pressed|trimmed to|left|peeled weight|prepared|once|came to|"
    r"comes to|makes|made)\b",
    re.I,
)
_FORGET = re.compile(
    r"\b(forget|leave out|ignore|don't count|do not count|exclude)\b.{0,30}\b(batch|lot|run|load)",
    re.I,
)
_FORGET_NAMED = re.compile(
    r"\b(forget|leave out|ignore|exclude) (about )?[a-z]+(-[a-z]+)*-\d+\b", re.I
)
_PICKLED = re.compile(r"\bpickl", re.I)
_JARS = re.compile(r"\b(the|all the|both|every|all|each) (\w+ )?(jars?|lots|everything)\b", re.I)
_BOTH = re.compile(
    r"\b(both|all|every|each|two|three)\b[ \w]{0,14}\b(jars?|lots|batches)\b",
    re.I,
)
_SHAKES = re.compile(r"\b(shook|shaken?|shaking)\b", re.I)
_ALL_OF_THEM = re.compile(
    r"\b(them all|all of (them|it)|the (whole )?lot|everything|every one)\b", re.I
)
_JARS_OF = re.compile(r"\b(jars?|lots?|batch(es)?) (of|with)\b", re.I)
_INTO = re.compile(r"\binto\b|\b(put|went|go|goes) (them |it |those )?in\b", re.I)
_LABELLED = re.compile(r"\b(dated|labell?ed|label on|wrote the date|date on)\b", re.I)
_UNLABELLED = re.compile(r"\b(not|never|un|no|isn't|aren't|without a?) ?(yet )?(label|dated)", re.I)
_SHARE = re.compile(
    r"\b(?P<word>half|a third|one third|two thirds|a quarter|one quarter|three quarters|"
    r"(?P<per>\d{1,2}) ?(%|per ?cent))( of (?!a\b|an\b)| (?=(the|them|it|those|these|that|my)\b))",
    re.I,
)
_SHARES = {
    "half": 1 / 2, "a third": 1 / 3, "one third": 1 / 3, "two thirds": 2 / 3, "a quarter": 1 / 4,
    "one quarter": 1 / 4, "three quarters": 3 / 4,
}  # fmt: skip
_HALF_UNIT = re.compile(
    r"\bhalf[- ](an? )?(gallon|pint|quart|inch|cup|pound|lb|kilo|kg|litre|liter|dozen|bushel|hour|"
    r"tea|table|oz|ounce)",
    re.I,
)
_REST = re.compile(r"\b(the (rest|remainder|other half|remaining)|what('s| is| was)? left)\b", re.I)
_REST_CUT = re.compile(
    r"\bthe (?:rest|remainder|other half)\b[^.;]{0,30}?\b(whole|halved|quartered|sliced|diced|"
    r"shredded|chopped|minced|pureed)\b",
    re.I,
)
_ORDINAL = re.compile(
    r"\b(?:the|my|our)\s+(?P<word>first|second|third|older|oldest|earlier|newer|newest|later|latest|"
    r"bigger|biggest|larger|largest|smaller|smallest)\s+(?P<noun>[a-z]+)",
    re.I,
)
_ORDINALS = {
    "older": "first", "oldest": "first", "earlier": "first", "newer": "last", "newest": "last",
    "later": "last", "latest": "last", "biggest": "bigger", "larger": "bigger",
    "largest": "bigger", "smallest": "smaller",
}  # fmt: skip
_NO_BATCH = frozenset({
    "tray", "trays", "jar", "jars", "bag", "bags", "tin", "tins", "box", "bottle", "day", "days",
    "time", "times", "thing", "week", "weigh", "weighing", "hour", "hours", "half", "look", "ones",
    "check", "shake", "morning", "pieces", "slices", "note", "pass", "rack", "shelf",
})  # fmt: skip
_TAKEN = re.compile(r"^\W*(and |we |i |she |he |they |then )*(took|ate|used|gave|finished)\b", re.I)
_TOPPED = re.compile(
    r"\b(topped|top|topping|filled|refreshed)\b.{0,16}\b(up|brine|vinegar)\b", re.I
)
_PUT_IN = re.compile(
    r"\b(went|gone|go|goes|going|put|tipped|poured|packed|transferred) (away )?(in|into|inside)\b",
    re.I,
)
_ONE_VESSEL = re.compile(
    r"\b(the|that|this|a|another|one)\s+([\w-]+\s+){0,3}(jar|bag|tin|box|bottle)\b", re.I
)
_GROUND = re.compile(
    r"\b(ground|grind|grinds|grinding|blitz\w*|mill(ed|ing)?|pulveri[sz]\w+|whizz\w*)\b", re.I
)
_BATCH_NAME = re.compile(r"\b[a-z]+(-[a-z]+)*-\d+\b", re.I)
_OUT_OF = re.compile(r"\b(from|out of|off|some|bit|handful|spoonful|pinch|part)\b", re.I)
_SHORT = re.compile(
    r"\b(?:(?:jars?|pints?|quarts?|brine) (?:are |is |'s |’s |still )?short|short of brine"
    r"|(?:ran|run|running|run) out|not enough brine|without brine|no brine)\b", re.I
)  # fmt: skip
_MIX = re.compile(
    r"\b(mix|mixes|mixture|blend|rub|soup base|stew starter|sprinkle|seasoning)\b", re.I
)
_OWNED = re.compile(r"\b(today|yesterday)['’]s\b", re.I)
_DAY = re.compile(r"\b(today|yesterday|last night|" + "|".join(WEEKDAYS) + r")(?:'s|’s|s)?\b", re.I)


def sentence_of(note: str, item: Statement) -> str:
    """The sentence of the note that a statement was read from; its own text when it is not there.

    >>> sentence_of("Crisp. Into a jar to condition.", Statement("pack", "Into a jar"))
    'Into a jar to condition.'
    """
    start = item.start if item.end else note.find(item.text)
    if start < 0:
        return item.text
    end = max(item.end, start + len(item.text))
    at = 0
    for part in _ENDS.split(note):
        begin = note.find(part, at)
        at = begin + len(part)
        if begin <= start < at:
            return part if at >= end else note[begin:end]
    return item.text


def goes_back(text: str) -> bool:
    """Whether something is put back or done again."""
    return bool(_BACK.search(text))


def is_more(text: str) -> bool:
    """Whether it is a further one, not the one spoken of before."""
    return bool(_MORE.search(text))


def points_back(text: str) -> bool:
    """Whether the words point at food spoken of before ("the 2 kg of plums", "those plums")."""
    return bool(_POINTS_BACK.search(text))


def is_together(text: str) -> bool:
    """Whether batches are put together."""
    return bool(_TOGETHER.search(text))


def is_all(text: str) -> bool:
    """Whether all that is left is meant."""
    return bool(_ALL.search(text))


def is_some(text: str) -> bool:
    """Whether only a part is meant, without saying how much."""
    return bool(_SOME.search(text))


def to_condition(text: str) -> bool:
    """Whether a jar is for conditioning, and not the end of it."""
    return bool(_CONDITION.search(text)) and not _CONDITIONED.search(text)


def is_reduced(text: str) -> bool:
    """Whether an amount is what became of food that was there before."""
    return bool(_REDUCED.search(text))


def forgets(text: str) -> bool:
    """Whether a batch is to be left out of what the journal learns from."""
    return bool(_FORGET.search(text) or _FORGET_NAMED.search(text))


def is_pickled(text: str) -> bool:
    """Whether the food is spoken of as pickled."""
    return bool(_PICKLED.search(text))


def all_jars(text: str) -> bool:
    """Whether the jars in general are meant ("shook the jars")."""
    return bool(_JARS.search(text))


def shakes(text: str) -> bool:
    """Whether something is shaken ("gave them a shake")."""
    return bool(_SHAKES.search(text))


def all_of_them(text: str) -> bool:
    """Whether everything that stands there is meant ("shook the lot", "gave them all a shake").

    >>> all_of_them("gave them all a shake"), all_of_them("shook the plums")
    (True, False)
    """
    return bool(_ALL_OF_THEM.search(text))


def is_labelled(text: str) -> bool:
    """Whether it is said that a label or date is on the vessel."""
    return bool(_LABELLED.search(text)) and not _UNLABELLED.search(text)


def day_hint(text: str, today: date) -> date | None:
    """The calendar day that a batch is pointed at by ("yesterday's plums", "Monday's run").

    >>> day_hint("the plums from Monday", date(2026, 8, 14))
    datetime.date(2026, 8, 10)
    """
    found = _DAY.search(text)
    if found is None:
        return None
    word = found[1].lower()
    if word == "today":
        return today
    if word in ("yesterday", "last night"):
        return today - timedelta(days=1)
    back = (today.weekday() - WEEKDAYS.index(word)) % 7
    return today - timedelta(days=back or 7)


def ordinal_said(text: str) -> str | None:
    """Which of several batches the words point at by order or size.

    >>> ordinal_said("the second lot of plums is crisp"), ordinal_said("the second tray")
    ('second', None)
    """
    found = _ORDINAL.search(text)
    if found is None or found["noun"].lower() in _NO_BATCH:
        return None
    return _ORDINALS.get(found["word"].lower(), found["word"].lower())


def owned_day(text: str) -> str | None:
    """Whose batch is meant by its day.

    >>> owned_day("Yesterday's plums are leathery"), owned_day("the plums weighed yesterday")
    ('yesterday', None)
    """
    found = _OWNED.search(text)
    return found[1].lower() if found else None


def share_said(text: str) -> float | None:
    """The part of a batch that is meant, 0 to 1.

    >>> share_said("half of the tomatoes"), share_said("a half-pint jar of leeks")
    (0.5, None)
    """
    found = _SHARE.search(text)
    if found is None:
        return None
    return float(found["per"]) / 100.0 if found["per"] else _SHARES[found["word"].lower()]


def is_half_unit(text: str) -> bool:
    """Whether the only half in the words is that of a measure ("a half-gallon jar")."""
    return bool(_HALF_UNIT.search(text)) and share_said(text) is None


def is_rest(text: str) -> bool:
    """Whether what is left over from something is meant."""
    return bool(_REST.search(text))


def rest_cut(text: str) -> str | None:
    """How the rest is cut, where one stretch says it of both parts."""
    found = _REST_CUT.search(text)
    return found[1].lower() if found else None


def is_ground(text: str) -> bool:
    """Whether something is ground to powder."""
    return bool(_GROUND.search(text))


def batch_named(text: str) -> str | None:
    """The batch name in the words, whether or not there is such a batch.

    >>> batch_named("forget tomato-3")
    'tomato-3'
    """
    found = _BATCH_NAME.search(text)
    return found[0].lower() if found else None


def is_one_vessel(text: str) -> bool:
    """Whether one whole vessel is spoken of, and not what was taken out of it.

    >>> is_one_vessel("used the jar of leeks"), is_one_vessel("some from the jar of leeks")
    (True, False)
    """
    return bool(_ONE_VESSEL.search(text)) and not _OUT_OF.search(text)


def is_put_in(text: str) -> bool:
    """Whether something is put into a vessel."""
    return bool(_PUT_IN.search(text))


def is_short(text: str) -> bool:
    """Whether the brine did not reach ("two jars are short", "the brine ran out")."""
    return bool(_SHORT.search(text))


def is_mix(text: str) -> bool:
    """Whether a mix is spoken of."""
    return bool(_MIX.search(text))


def is_both(text: str) -> bool:
    """Whether several jars or lots of one food are meant ("both jars of tomatoes")."""
    return bool(_BOTH.search(text))


def names_contents(text: str) -> bool:
    """Whether jars are named by what is in them ("the jars of plums")."""
    return bool(_JARS_OF.search(text))


def goes_into(text: str) -> bool:
    """Whether a stretch goes on to put the food into something."""
    return bool(_INTO.search(text))


def is_taken(text: str) -> bool:
    """Whether a stretch begins by taking something out.

    >>> is_taken("took sixty grams of the leather up the hill"), is_taken("two pounds of plums")
    (True, False)
    """
    return bool(_TAKEN.search(text))


def is_topped(text: str) -> bool:
    """Whether brine is topped up or refreshed."""
    return bool(_TOPPED.search(text))
