"""What the cook's own batches say about the first guesses: partial pooling, step by step.

Each finished batch gives a ratio, what came out over what was first guessed. Its logarithm is
taken to be normal about the food's own figure, that about the figure of the food's class, and that
about the figure of this dryer and kitchen, which is expected to be 1. Then every step is a
weighted mean: with ``n`` ratios of mean ``m`` below a prior ``p``,

    estimate = (n m + k p) / (n + k)

``k`` is the spread of single batches over the spread between foods (or classes, or kitchens),
both as variances: the number of batches that weigh as much as what is expected without them.
These are judgements, not measurements. From single batches that vary by 20 % about a food's own
figure, and foods that differ by 15 %, k is near 2; classes differ less (10 %, k near 4), and
kitchens of which nothing is known are held to be near 1 (k = 8), so that one odd batch says
little of all others.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import exp, isfinite, log

from stillroom.journal.records import DRIED_STAGES, Batch
from stillroom.journal.world import hours_between

FIGURES = ("dry_mass", "end_mass", "drying_time")
"""Figures that are held against what really came of them."""
K_OWN = 2.0
"""Own batches that weigh as much as the class's figure does [count]."""
K_CLASS = 4.0
"""Batches of the class that weigh as much as the kitchen's figure does [count]."""
K_DRYER = 8.0
"""Batches of anything that weigh as much as the first guess does [count]."""
WIDEST = 3.0
"""A ratio outside a third and three counts as that: it is a slip more often than a fact."""
NEWEST = 12
"""So many newest batches of each kind count: habits and trays change."""
TELLING = 0.05
"""A factor within this of 1 is used, but not spoken of."""

Ratios = Callable[[set[str], bool], Sequence[float]]
"""Ratios [1] of the batches of these foods, oldest first; of all others when the flag is set."""
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_VERBS = {"dry_mass": "came to", "end_mass": "came to", "drying_time": "took"}


@dataclass(frozen=True)
class Learned:
    """What to multiply a first guess by.

    Args:
        factor: the multiplier [1]; 1 when nothing was learned.
        weight: how much of the own batches is in it, 0 to 1; the rest is class and kitchen.
        sentence: what to tell the person; empty when there is nothing to tell.
        count: the food's own batches that count.
    """

    factor: float = 1.0
    weight: float = 0.0
    sentence: str = ""
    count: int = 0


def _logs(ratios: Sequence[float]) -> list[float]:
    """Logarithms of the newest sound ratios, held within ``WIDEST``."""
    sound = [ratio for ratio in ratios if isfinite(ratio) and ratio > 0]
    return [max(-log(WIDEST), min(log(WIDEST), log(ratio))) for ratio in sound[-NEWEST:]]


def _shrunk(logs: Sequence[float], prior: float, k: float) -> float:
    return (sum(logs) + k * prior) / (len(logs) + k)


def factor(
    own: Sequence[float],
    class_: Sequence[float] = (),
    dryer: Sequence[float] = (),
    *,
    name: str = "",
    verb: str = "came to",
) -> Learned:
    """The multiplier for the next first guess of a food.

    Args:
        own: real over first guess, one a finished batch of this food, oldest first [1].
        class_: the same of the other foods of its class.
        dryer: the same of all further foods of this kitchen.
        name: the food as it is spoken of, such as ``tomato``.
        verb: ``came to`` for a mass, ``took`` for a time.

    Returns:
        The multiplier with its reason. Excluded batches are left out by the caller
        (``ratio_of`` does); ratios that are not above 0 are passed over.

    >>> learned = factor([1.2, 1.25, 1.15], name="tomato")
    >>> round(learned.factor, 2), round(learned.weight, 2)
    (1.12, 0.6)
    >>> learned.sentence
    'Your last three tomato batches came to 1.2 times my first guess; I now reckon with 1.1 times.'
    >>> factor([]).factor
    1.0
    """
    mine = _logs(own)
    kitchen = _shrunk(_logs(dryer), 0.0, K_DRYER)
    alike = _shrunk(_logs(class_), kitchen, K_CLASS)
    value = exp(_shrunk(mine, alike, K_OWN))
    weight = len(mine) / (len(mine) + K_OWN)
    return Learned(value, weight, _sentence(value, mine, name, verb), len(mine))


def _sentence(value: float, mine: Sequence[float], name: str, verb: str) -> str:
    if abs(value - 1) < TELLING:
        return ""
    used = f"{value:.1f}" if abs(value - 1) >= 0.1 else f"{value:.2f}"
    if not mine:
        return f"Your other batches {verb} more or less than I guessed; I reckon with {used} times."
    said = f"{exp(sum(mine) / len(mine)):.1f}"
    food = f"{name} " if name else ""
    number = _COUNTS[len(mine)] if len(mine) < len(_COUNTS) else str(len(mine))
    which = f"last {food}batch" if len(mine) == 1 else f"last {number} {food}batches"
    end = "I use that now." if used == said else f"I now reckon with {used} times."
    return f"Your {which} {verb} {said} times my first guess; {end}"


def real_figure(batch: Batch, figure: str) -> float | None:
    """What a finished batch came to: ``dry_mass`` or ``end_mass`` [g], ``drying_time`` [h].

    Returns:
        None while it is unknown, and where it is no fair test of the guess: dried twice, made of
        other batches, or (a mass) partly taken before it was dry.
    """
    other = batch["redried"] or batch["brined"] or batch["parents"]
    if batch["stage"] not in DRIED_STAGES or other:
        return None
    if figure in ("dry_mass", "end_mass"):
        return None if batch["fresh_lost_g"] else batch["dry_g"]
    if figure == "drying_time" and batch["loaded"] and batch["dried_at"]:
        hours = hours_between(batch["loaded"], batch["dried_at"])
        return hours if hours > 0 else None
    return None


def ratio_of(batch: Batch, figure: str) -> float | None:
    """Real over first guess of one batch [1]; None when it is excluded or cannot be told."""
    guess = batch["predicted"].get(figure)
    real = None if batch["excluded"] else real_figure(batch, figure)
    if real is None or not guess or len(guess) < 2 or guess[1] <= 0 or real <= 0:
        return None
    return real / guess[1]


def learn(
    ratios: Ratios, food: str, classes: Mapping[str, str], figure: str = "dry_mass", name: str = ""
) -> Learned:
    """The multiplier for a food's figure from the finished batches of a journal.

    ``predicted`` of a batch must hold the first guess, before any multiplier: else each season
    would learn from what it had learned already.

    Args:
        ratios: real over first guess of the batches of these foods, or of all others.
        food: canonical food name.
        classes: canonical food name to its class.
        figure: one of ``FIGURES``.
        name: the food as it is spoken of.
    """
    alike = {other for other, class_ in classes.items() if class_ == classes.get(food)} - {food}
    return factor(
        ratios({food}, False), ratios(alike, False), ratios({food, *alike}, True),
        name=name or food, verb=_VERBS.get(figure, "came to"),
    )  # fmt: skip
