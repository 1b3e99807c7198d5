"""What may still be said under a stop, and one caution where several say the same.

Keeping, packing and times beside a stop would read as a way round it; they are left out for every
batch that the stop touches. A stop that rests on the words of the note touches the batches spoken
of in that stretch; one whose words belong to no batch touches them all.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from stillroom.base.fact import Advice, Caution, Number
from stillroom.base.statement import Reading

_CURABLE = frozenset({
    "jerky-no-kill-step", "poultry-jerky-no-kill-step", "meat-drying-temp-low",
    "galvanized-or-copper", "treated-wood-trays", "electrical-fault", "combustion-heater-indoors",
})  # fmt: skip
"""Stops after which the food itself may still be dried, once what is wrong has been put right."""
_AFTER_STOP = frozenset({"prep", "temperature", "surface", "loading"})
"""Topics that may then still be said of a batch: what makes it safe, not how to keep it."""


_NOT_DRYING = frozenset({"honey-garlic-ferment", "untested-ferment", "veg-in-oil-fridge"})
"""Hazards of food that is kept wet: advice on drying it would miss what the note is about."""


def without_drying(
    advice: Advice, numbers: tuple[Number, ...], reading: Reading
) -> tuple[Advice, tuple[Number, ...]]:
    """Advice and figures without those on drying food that is kept in oil, honey or a ferment."""
    rules = [c.rule for c in advice.cautions if c.hazard in _NOT_DRYING]
    on_trays = {item.batch for item in reading.statements if item.act in ("load", "weigh")}
    wet = _spoken_of(advice, reading, rules) - on_trays if rules else set()
    return (
        replace(advice, rulings=tuple(r for r in advice.rulings if r.batch not in wet)),
        tuple(n for n in numbers if n.batch not in wet),
    )


def under_stop(
    advice: Advice, numbers: tuple[Number, ...], reading: Reading
) -> tuple[Advice, tuple[Number, ...]]:
    """The advice and the figures that a stop leaves standing."""
    stops = [caution for caution in advice.cautions if caution.severity == "stop"]
    if not stops:
        return advice, numbers
    named: set[str | None] = {stop.batch for stop in stops if stop.batch}
    loose = [stop.rule for stop in stops if not stop.batch]
    spoken = _spoken_of(advice, reading, loose)
    named |= spoken | ({None} if loose else set())
    everything = bool(loose) and not spoken

    def touched(batch: str | None) -> bool:
        return everything or batch in named

    left = _AFTER_STOP if all(stop.hazard in _CURABLE for stop in stops) else frozenset()
    rulings = tuple(r for r in advice.rulings if r.topic in left or not touched(r.batch))
    return replace(advice, rulings=rulings), tuple(n for n in numbers if not touched(n.batch))


def _spoken_of(advice: Advice, reading: Reading, rules: Iterable[str]) -> set[str]:
    """The batches of the stretches of the note that made these rules fire."""
    wanted = set(rules)
    windows = {
        str(fact.slots["sentence"])
        for firing in advice.firings
        if firing.rule in wanted
        for _, fact in firing.bound
        if fact.kind == "mention" and "sentence" in fact.slots
    }
    inside = [m for m in reading.mentions if f"p{m.sentence}" in windows]
    if not inside:
        return set()
    start, end = min(m.start for m in inside), max(m.end for m in inside)
    return {
        item.batch
        for item in reading.statements
        if item.batch and item.start < end and start < item.end
    }


def merged_cautions(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """Cautions in their order, one for each hazard and batch.

    What was raised for a batch and for the note as a whole, or in the same words for two batches,
    is said once, with the words and the sources of both.
    """
    kept: list[Caution] = []
    for item in cautions:
        at = next((i for i, first in enumerate(kept) if _same(first, item)), None)
        if at is None:
            kept.append(item)
        else:
            kept[at] = _joined(kept[at], item)
    return tuple(kept)


def _same(first: Caution, other: Caution) -> bool:
    if first.hazard != other.hazard or first.severity != other.severity:
        return False
    return not (first.batch and other.batch) or first.text == other.text


def _joined(first: Caution, other: Caution) -> Caution:
    batch = first.batch or other.batch
    if first.batch and other.batch and first.batch != other.batch:
        batch = None
    return replace(
        first, batch=batch,
        sources=tuple(dict.fromkeys((*first.sources, *other.sources))),
        because=tuple(dict.fromkeys((*first.because, *other.because))),
    )  # fmt: skip
