"""Whether a tight or vacuum seal is sound now, and what a few damp pieces do to a jar."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache

from stillroom.base.fact import Fact
from stillroom.base.quantity import show, two_digits
from stillroom.enrich.kitchen_types import Hint
from stillroom.enrich.loads import Kitchen, Load
from stillroom.enrich.water import LINES_SOURCE, Margins, activity_at, margins
from stillroom.science.activity import (
    EVENING_PER_DAY,
    GROWTH_LINE,
    MOULD_LINE,
    PATHOGEN_LINE,
    evened_out,
)
from stillroom.science.balance import dry_basis, end_mass, wet_basis
from stillroom.science.range import Range


@cache
def _patterns() -> tuple[re.Pattern[str], re.Pattern[str]]:
    """Words on sealing, and on pieces that are not alike; made when something is asked."""
    seals = re.compile(
        r"\b(?:seal\w*|vacuum\w*|water activity|vac[- ]?pack\w*|jar (?:it|them|the \w+) up)\b",
        re.IGNORECASE,
    )
    uneven = re.compile(
        r"\b(?:damp|damper|moist|moister|wet|wetter|soft|softer|thick|thicker|uneven) "
        r"(?:ones?|pieces?|bits?|slices?|halves|half|chunks?|rings?|strips?)\b"
        r"|\b(?:some|few|others)\b.{0,20}\b(?:damp|wet|moist|soft)(?:er)?\b"
        r"|\b(?:evens?|evened|evening) out\b|\bunevenly\b",
        re.IGNORECASE,
    )
    return seals, uneven


_SEALING = re.compile(r"seal|vac|jar", re.IGNORECASE)
_TOPICS = frozenset({"packaging", "dryness", "safe", "storage", "conditioning", "jar"})
_MEAT = ("meat", "poultry", "fish")
_DAMP_SHARE = 0.1
FIRST = 40
"""Before the rules' own word on the topic."""


def percent(share: float) -> str:
    """A share [1] as whole per cent."""
    return f"{100 * share:.0f} %"


def _margin_words(found: Margins) -> str:
    """Activity and its margins as one clause."""
    a, mould, ill = found.activity, found.to_mould.likely, found.to_pathogens.likely

    def away(margin: float) -> str:
        return f"{abs(margin):.2f} {'below' if margin >= 0 else 'above'}"

    return (
        f"water activity about {a.likely:.2f} ({a.low:.2f} to {a.high:.2f}, an estimate): "
        f"{away(mould)} the mould line of {MOULD_LINE:.2f} and {away(ill)} that of dangerous "
        f"bacteria, {PATHOGEN_LINE:.2f}; below {GROWTH_LINE:.2f} nothing grows"
    )


def seal(
    load: Load, asked: Sequence[tuple[str, str]], facts: Sequence[Fact], kitchen: Kitchen
) -> Iterator[Hint]:
    """Whether sealing is sound now, from the weighings; asked, or when a vacuum is drawn.

    Args:
        load: the batch.
        asked: (topic, words) of each question about it.
        facts: of the note.
        kitchen: for the measure.
    """
    about = next((a for a, words in asked if a in _TOPICS and _patterns()[0].search(words)), None)
    closed = {str(load.slots.get("seal")), str(load.slots.get("vessel"))} & {"vacuum", "vacuum-bag"}
    packed = any(
        fact.kind == "said" and fact.get("act") == "pack" and fact.get("batch") == load.batch
        for fact in facts
    )
    vacuum = bool(closed) and packed
    if (about is None and not vacuum) or load.food.group in _MEAT:
        return
    found = margins(load)
    if found is None or not (about or found.weighed):
        return
    text, sound = (
        _by_weight(load, found, kitchen) if found.weighed else (_by_the_book(load, found), "test")
    )
    if about and not any(_SEALING.search(words) for _, words in asked):
        text = text.split(": ", 1)[1] if found.weighed else text
        text = text[0].upper() + text[1:]
    severity = "caution" if sound == "no" and vacuum else ""
    sources = (*found.activity.sources, LINES_SOURCE)
    yield Hint(about or "packaging", "seal-sound", text, load.batch, sources, severity, FIRST)


def _by_the_book(load: Load, found: Margins) -> str:
    return (
        f"I have no weight to go by, so the dryness test decides: seal {load.food.plural} only "
        "once they pass it and have been conditioned. Dried as usual, to "
        f"{percent(found.water.likely)} water, they are at {_margin_words(found)}."
    )


def _by_weight(load: Load, found: Margins, kitchen: Kitchen) -> tuple[str, str]:
    """The verdict in words, and in one word."""
    held = (
        f"by the last weighing {load.food.plural} hold about {percent(found.water.likely)} water, "
        f"{_margin_words(found)}."
    )
    sound = found.sound
    if load.prepared is not None and found.at_end and sound == "test":
        usual = _end(load.prepared, load, kitchen)
        return (
            f"Only if they pass the dryness test: they weigh no more than the usual end weight of "
            f"about {usual}, but the fresh {load.food.plural} may have held less dry matter than "
            f"usual: {held} Condition them before you seal."
        ), sound
    if sound == "yes":
        return f"Yes: {held} A seal is sound once they are cool and evened out.", sound
    if sound == "test":
        return f"Only if they pass the dryness test: {held} Condition them before you seal.", sound
    end = ""
    if load.prepared is not None:
        end = f" Dry on to about {_end(load.prepared, load, kitchen)} first."
    return f"No, not yet: {held}{end}", sound


def _end(prepared: Range, load: Load, kitchen: Kitchen) -> str:
    """The likely end weight, to two digits."""
    mass = end_mass(prepared, load.constants).likely
    return show(two_digits(mass), "g", kitchen.measure)


def uneven(load: Load, asked: Sequence[tuple[str, str]]) -> Iterator[Hint]:
    """What a few damp pieces do to a closed jar, by evening out between two kinds of pieces.

    Args:
        load: the batch.
        asked: (topic, words) of each question about it.
    """
    if not any(_patterns()[1].search(words) for _, words in asked):
        return
    dry = load.constants.end_likely
    damp = min(0.6, 2 * dry)  # a piece taken off too early holds twice the water; a judgement
    level = _DAMP_SHARE * dry_basis(damp) + (1 - _DAMP_SHARE) * dry_basis(dry)
    days = load.food.conditioning_days or 5
    gap = dry_basis(damp) - dry_basis(dry)
    left = evened_out((dry_basis(damp), dry_basis(dry)), _DAMP_SHARE, days, EVENING_PER_DAY)
    settled, alone = activity_at(load, wet_basis(level)), activity_at(load, damp)
    found = margins(load)
    if settled is None or alone is None or found is None:
        return
    verdict = (
        "they end dry enough" if settled < GROWTH_LINE
        else "too near to what mould needs, so dry all of it again" if settled >= 0.65
        else "just about dry, so look every day"
    )  # fmt: skip
    yield Hint(
        "conditioning", "damp-pieces",
        f"Yes, they matter until they have evened out. Say one piece in ten still holds "
        f"{percent(damp)} water (water activity about {alone:.2f}) among pieces at "
        f"{percent(dry)}: in {days} days in a closed, shaken jar the gap falls from "
        f"{percent(gap)} to {percent(left)} of the dry weight and all settle at about "
        f"{percent(wet_basis(level))}, water activity {settled:.2f}: {verdict}. Fog or clumps "
        "mean there is more than that: back to the dryer. Seal under vacuum only afterwards.",
        load.batch, (*found.activity.sources, LINES_SOURCE, "stillroom-choice"), "", FIRST,
    )  # fmt: skip
