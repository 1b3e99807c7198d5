"""Which words of a note are denied: "no fizzing", "never froze it", "the heat step was skipped"."""

from __future__ import annotations

from stillroom.reader.mention_words import Token

_NEGATORS = frozenset(
    [
        "no",
        "not",
        "never",
        "without",
        "none",
        "nothing",
        "neither",
        "nor",
        "nobody",
        "instead",
        "rather",
        "forget",
        "skip",
        "omit",
        "avoid",
        "prevent",
        "lack",
        "hardly",
        "unlike",
        "stop",
        "miss",
        "fail",
        "out",
        "free",
        "meant",
        "supposed",
        "should",
    ]
)
# "no wait", "not only", "not sure": these negate nothing that follows.
_NO_NEGATION = {
    "no": frozenset(
        [
            "wait",
            "sorry",
            "doubt",
            "problem",
            "matter",
            "idea",
            "wonder",
            "really",
            "the",
            "i",
            "we",
            "it",
            "they",
            "he",
            "she",
            "this",
            "that",
            "my",
            "our",
            "you",
            "there",
        ]
    ),
    "not": frozenset(
        ["only", "just", "merely", "sure", "certain", "convinced", "so", "too", "very", "all"]
    ),
    "stop": frozenset(["the", "drying", "dryer"]),
    "miss": frozenset(["a", "my"]),
}
_NEEDS_AFTER = {"instead": frozenset(("of",)), "rather": frozenset(("than",)),
                "forget": frozenset(("to",)), "fail": frozenset(("to",)),
                "out": frozenset(("of",)), "free": frozenset(("of", "from")),
                "meant": frozenset(("to",)), "supposed": frozenset(("to",)),
                "should": frozenset(("have", "of"))}  # fmt: skip
_BREAKS = frozenset(
    [
        "but",
        "and",
        "so",
        "because",
        "then",
        "until",
        "till",
        "if",
        "when",
        "while",
        "who",
        "which",
        "whether",
        "though",
        "although",
        "unless",
        "since",
        "before",
        "after",
        "that",
    ]
)
_DOUBTS = frozenset(
    [
        "not sure",
        "not certain",
        "not know",
        "not remember",
        "not tell",
        "not recall",
        "no idea",
        "forget if",
        "forget whether",
        "unsure if",
        "unsure whether",
        "not check",
    ]
)
_REACH = 7
_OUT_OF = 3  # "out of the fridge": the fridge, and nothing after it
_AFTER = frozenset(["none", "nil", "skipped", "free", "zero"])


def _is_negator(found: list[Token], at: int) -> bool:
    hits = found[at].forms & _NEGATORS
    if not hits:
        return False
    word = next(iter(hits))
    nxt = found[at + 1] if at + 1 < len(found) else None
    if nxt is None or nxt.clause != found[at].clause:
        return False
    if word == "no" and (nxt.comma or nxt.text[0].isdigit()):
        return False
    if word in _NEEDS_AFTER and _NEEDS_AFTER[word] and nxt.text not in _NEEDS_AFTER[word]:
        return False
    if word == "out":  # "out of the fridge", not "made out of turkey"
        return at + 2 < len(found) and found[at + 2].text in ("the", "my", "our")
    return nxt.text not in _NO_NEGATION.get(word, ())


def negators(found: list[Token]) -> list[int]:
    """For each word the place of the negating word that governs it, or -1."""
    out = [-1] * len(found)
    active, listed = -1, 0
    for at, token in enumerate(found):
        if active >= 0 and _scope_ends(found, at, active, listed):
            active = -1
        listed = 0 if token.comma or token.text == "or" else listed + 1
        out[at] = active
        if _is_negator(found, at):
            active, listed = at, 0
    return out


def _scope_ends(found: list[Token], at: int, active: int, listed: int) -> bool:
    token = found[at]
    if token.clause != found[active].clause or token.text in _BREAKS:
        return True
    if token.text == "for" and found[active].text in ("instead", "rather"):
        return True
    if token.comma and not (listed <= 2 and found[active].text in ("no", "without")):
        return True
    return at - active > (_OUT_OF if found[active].text == "out" else _REACH)


def denied_after(found: list[Token], end: int) -> bool:
    """Whether the words after deny it: "mould: none", "the step was skipped", "mould? No"."""
    if end >= len(found):
        return False
    nxt = found[end]
    if nxt.text == "but" and _after_is(found, end + 2, "not"):  # "… but didn't"
        return not _after_is(found, end + 3, "the")
    if nxt.asked or nxt.clause != found[end - 1].clause:
        return nxt.text in ("none", "nope", "nil") or (nxt.asked and nxt.text in ("no", "not"))
    if nxt.text in _AFTER and not (nxt.text == "free" and _after_is(found, end + 1, "of")):
        return True
    return nxt.text in ("was", "were", "is") and (
        _after_is(found, end + 1, "skipped") or _after_is(found, end + 1, "not", "done")
    )


def _after_is(found: list[Token], at: int, *words: str) -> bool:
    return tuple(token.text for token in found[at : at + len(words)]) == words


def doubted(found: list[Token], start: int) -> bool:
    """Whether "not sure whether", "can't remember if" stands before, in the same clause."""
    clause = found[start].clause
    return any(
        f"{one} {two}" in _DOUBTS
        for at in range(max(0, start - _REACH), start)
        if found[at].clause == clause
        for one in found[at].forms
        for two in found[at + 1].forms
    )
