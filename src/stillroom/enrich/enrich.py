"""The door of this package: a reading, the journal's view and the tables, as facts and figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from stillroom.base.fact import Fact, Number, Value
from stillroom.base.statement import Reading
from stillroom.enrich.amounts import grams_of
from stillroom.enrich.computed import computed_numbers
from stillroom.enrich.kitchen_sums import kitchen_sums
from stillroom.enrich.kitchen_types import Hint
from stillroom.enrich.kitchen_types import Kitchen as SumKitchen
from stillroom.enrich.known import known_facts
from stillroom.enrich.loads import Kitchen
from stillroom.enrich.lots import group_statements
from stillroom.enrich.remarks import remarks
from stillroom.enrich.season import LEARNED_FIGURES, Season
from stillroom.science.range import Range, exactly

if TYPE_CHECKING:
    from stillroom.tables.tables import Tables


@dataclass(frozen=True)
class Enriched:
    """What the rules get (facts) and what the screen shows besides (numbers and hints).

    ``guesses`` are first guesses by batch and figure (low, likely, high), before own batches
    shifted them: what the journal holds the real figures against.
    """

    facts: tuple[Fact, ...]
    numbers: tuple[Number, ...]
    hints: tuple[Hint, ...] = ()
    guesses: Mapping[str, Mapping[str, tuple[float, float, float]]] = field(default_factory=dict)


def enrich(
    reading: Reading,
    lots: Sequence[Mapping[str, Value]],
    kitchen: Mapping[str, Value],
    tables: Tables,
    season: Season | None = None,
) -> Enriched:
    """Facts and figures of a note.

    Args:
        reading: the note, read, its statements with their batches.
        lots: the journal's view of open batches (fields of kind ``lot``).
        kitchen: what is known of the kitchen.
        tables: the knowledge tables.
        season: stock, weighings and what own batches have taught.
    """
    whole, reading = reading, without_juice(reading)
    facts = known_facts(reading, lots, kitchen, tables)
    kitchen_fact = next((fact for fact in facts if fact.kind == "kitchen"), None)
    room = Kitchen.from_slots(kitchen_fact.slots if kitchen_fact else kitchen)
    room = replace(room, measure=_measure(kitchen, reading))
    season = season or Season()
    masses = _masses(reading, lots, tables)
    first = computed_numbers(facts, tables, masses, room, season)
    foods = {str(f.get("batch")): str(f.get("food", "")) for f in facts if f.kind == "lot"}
    numbers = [season.adjusted(number, foods.get(str(number.batch))) for number in first]
    sums = kitchen_sums(
        whole,
        tables.foods,
        season.shelf,
        replace(_sum_kitchen(kitchen_fact, kitchen), juice=tuple(season.juice), today=season.today),
        lambda item: grams_of(item, tables),
        earlier=season.earlier,
    )
    taken = {(number.name, number.batch) for number in sums.numbers}
    numbers = [n for n in numbers if (n.name, n.batch) not in taken]
    numbers += sums.numbers
    return Enriched(
        (*facts, *map(_number_fact, numbers)),
        tuple(numbers),
        (*sums.hints, *remarks(_with_running(facts, lots, reading), tables, masses, room, season)),
        _guesses(first),
    )


def without_juice(reading: Reading) -> Reading:
    """The note without what speaks of juice alone: juice is not dried."""
    about_food = tuple(
        item for item in reading.statements
        if not item.juice or item.amount is not None or item.cut is not None
    )  # fmt: skip
    return reading if about_food == reading.statements else replace(reading, statements=about_food)


def _with_running(
    facts: Sequence[Fact], lots: Sequence[Mapping[str, Value]], reading: Reading
) -> Sequence[Fact]:
    """The facts; of a note that only tells of the kitchen, with the batches on the trays too."""
    if not reading.statements or any(item.act != "set" for item in reading.statements):
        return facts
    return (*facts, *(Fact("lot", lot) for lot in lots if lot.get("stage") == "drying"))


def _measure(kitchen: Mapping[str, Value], reading: Reading) -> str:
    """``us`` or ``metric``, as chosen for the kitchen, else as the note speaks."""
    chosen = kitchen.get("measure")
    if chosen:
        return str(chosen)
    said = {item.amount.unit for item in reading.statements if item.amount}
    return "metric" if said & {"g", "kg", "ml", "l"} else "us"


def _guesses(numbers: Sequence[Number]) -> dict[str, dict[str, tuple[float, float, float]]]:
    found: dict[str, dict[str, tuple[float, float, float]]] = {}
    for number in numbers:
        if number.batch and number.name in (*LEARNED_FIGURES, "look_first"):
            own = found.setdefault(number.batch, {})
            own[number.name] = (number.low, number.likely, number.high)
    return found


def _sum_kitchen(fact: Fact | None, kitchen: Mapping[str, Value]) -> SumKitchen:
    measure = "metric" if kitchen.get("measure") == "metric" else "us"
    if fact is None:
        return SumKitchen(measure=measure)
    room = fact.get("temperature_c")
    return SumKitchen(
        temperature_c=float(room) if isinstance(room, int | float) else 20.0,
        damp=fact.get("air") == "damp", measure=measure,
    )  # fmt: skip


def _masses(
    reading: Reading, lots: Sequence[Mapping[str, Value]], tables: Tables
) -> dict[str, Range]:
    """The fresh mass of each batch: as said, estimated from a measure, or as the journal has it."""
    found: dict[str, Range] = {}
    for lot in lots:
        fresh = lot.get("fresh_g")
        if isinstance(fresh, int | float) and fresh > 0:
            found[str(lot["batch"])] = exactly(float(fresh))
    for item, batch in group_statements(reading.statements):
        if batch is None or item.act not in ("have", "load", "ask", "amend") or item.dried:
            continue
        mass = grams_of(item, tables)
        if mass is not None and mass.low > 0:
            found[batch] = mass
    return found


def _number_fact(number: Number) -> Fact:
    slots: dict[str, Value] = {
        "name": number.name, "low": number.low, "likely": number.likely, "high": number.high
    }  # fmt: skip
    if number.batch:
        slots["batch"] = number.batch
    return Fact("number", slots, number.because, number.sources)
