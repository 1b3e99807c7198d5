"""What a filled pickle jar comes to, and the cautions that go with it."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import TYPE_CHECKING

from stillroom.enrich.kitchen_types import Hint, Kitchen
from stillroom.science.brine import (
    ACID_FLOOR,
    SHARE_FLOOR,
    Settled,
    hottest_brine_c,
    settle,
    strength_share,
)

if TYPE_CHECKING:
    from stillroom.enrich.kitchen_brine import Jar

WEAK_VINEGAR = 5.0
_OFTEN_WEAK = re.compile(r"\b(rice|malt|table|salad|sushi)(?: wine)? vinegar\b", re.I)
_LESS_VINEGAR = re.compile(
    r"\b(?:halv\w+|less|reduc\w+|cut(?:ting)?(?: back| down)?(?: on)?|skip|leave out|half)\b"
    r"(?: (?:the|of|my|our|that|some))* vinegar\b"
    r"|\b(?:more|extra|double the|add) water\b|\bwater(?:ed|ing)? (?:it )?down\b"
    r"|\bdilut\w+ (?:the |my )?(?:vinegar|brine)\b", re.I
)  # fmt: skip
_THICK = ("whole", "small-whole", "long", "slices-thick", "spears", "halves", "florets")


def settled_jar(jar: Jar) -> Settled:
    """Acid, salt and sugar of one jar at rest."""
    return settle(jar.produce_g, jar.brine, jar.strength, jar.produce_salt_g)


def settle_hints(jar: Jar, kitchen: Kitchen, note: str = "") -> list[Hint]:
    """Balance, ratio warnings, hot brine, rest and keeping of one jar."""
    rest = settled_jar(jar)
    liquid = jar.brine.vinegar_ml + jar.brine.water_ml
    share = jar.brine.vinegar_ml / liquid if liquid else 0.0
    said = "" if jar.strength_said else ", taking the vinegar as 5 %"
    text = (
        f"Once settled the jar holds about {rest.acid_pct:.1f} % acetic acid and "
        f"{rest.salt_pct:.1f} % salt{said}."
    )
    hints = [Hint("brine", "at-rest", text, jar.batch, ("pk_derived",))]
    if jar.raised:
        text = (
            f"The vinegar is raised to {share:.0%} of the liquid, because these pieces pack "
            "tightly and their water thins the acid."
        )
        hints.append(Hint("brine", "vinegar-raised", text, jar.batch, ("pk_derived",)))
    hints += _ratio_hints(jar, share, rest.acid_pct, note)
    if jar.hot:
        text = (
            f"Hot brine cracks cold glass: warm the jars in hot water first, or let the brine cool "
            f"to about {hottest_brine_c(kitchen.temperature_c):.0f} °C for a jar from the "
            "kitchen."
        )
        hints.append(Hint("brine", "hot-brine", text, jar.batch, ("pk_glass_lab",), "caution"))
    return [*hints, *_keeping(jar, share, kitchen.today)]


def less_vinegar(note: str) -> bool:
    """Whether someone means to stretch the vinegar.

    >>> less_vinegar("can I halve the vinegar"), less_vinegar("2 cups vinegar, 2 cups water")
    (True, False)
    """
    return bool(_LESS_VINEGAR.search(note))


def never_less(batch: str | None) -> Hint:
    """The vinegar of a brine is not to be stretched."""
    text = (
        "Never less vinegar or more water than the proportions give: the acid is what keeps a "
        "pickle. If it is too sharp, add sugar."
    )
    return Hint("brine", "never-less", text, batch, ("pk_ndsu", "pk_aib410"), "caution")


def _ratio_hints(jar: Jar, share: float, acid: float, note: str) -> list[Hint]:
    hints = []
    if jar.strength < WEAK_VINEGAR:
        text = (
            f"Vinegar of {jar.strength:g} % is weaker than pickles are written for; take one "
            "labelled 5 %."
        )
        hints.append(Hint("brine", "weak-vinegar", text, jar.batch, ("pk_ndsu_vin",), "caution"))
    weak = strength_share(share, jar.strength) < SHARE_FLOOR - 0.005
    if jar.brine.vinegar_ml and (weak or acid < ACID_FLOOR):
        text = (
            "The acid is under the published ratios: use at least half "
            "vinegar of 5 %, more for tightly packed slices, and soften the taste with sugar, "
            "never with water."
        )
        hints.append(
            Hint("brine", "too-little-acid", text, jar.batch, ("pk_derived", "pk_ndsu"), "caution")
        )
    if kinds := _OFTEN_WEAK.search(note):
        text = (
            f"{kinds.group(1).capitalize()} vinegar is often only 4 %: read the label, and use one "
            "of 5 % for pickles."
        )
        if not jar.strength_said:
            hints.append(Hint("brine", "read-label", text, jar.batch, ("pk_ndsu_vin",), "caution"))
    if less_vinegar(note):
        hints.append(never_less(jar.batch))
    if jar.stated and not jar.water_said:
        text = "No water was named, so the vinegar counts as undiluted."
        hints.append(Hint("brine", "no-water-named", text, jar.batch, (), "note"))
    return hints


def _keeping(jar: Jar, share: float, today: date | None) -> list[Hint]:
    days = rest_days(jar.cut)
    weak = strength_share(share, jar.strength) < SHARE_FLOOR - 0.005
    end = today and today + timedelta(days=7 if weak else 28)
    on = f"label it “eat by {end.day} {end:%B %Y}”" if end else "write that date on the lid"
    text = (
        f"Straight to the fridge at 4 °C or colder and never on a shelf. Best after {days}; eat "
        f"within about {'a week' if weak else 'four weeks'}: filled today, {on}."
    )
    return [Hint("storage", "fridge-only", text, jar.batch, ("pk_blog_fridge", "pk_fda_fridge"))]


def rest_days(cut: str) -> str:
    """How long a jar rests before it tastes right (pk_cp_mem)."""
    return "about a week" if cut in _THICK else "one to three days"
