"""What a note and the knowledge tables say, as facts for the rules.

Nothing is concluded here: every slot of every statement becomes a field of a flat fact, and where
a rule needs to know that something was *not* said, the absence is written as a truth value,
because the rule engine cannot ask for what is missing. The kinds and fields are those of
knowledge/fields.yaml.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from stillroom.base.fact import Fact, Value
from stillroom.base.statement import OVERVIEW, Reading, Statement
from stillroom.enrich.lots import called_dried, group_statements, lot_slots

if TYPE_CHECKING:
    from stillroom.tables.tables import Food, Tables

_SAID = (
    "act", "food", "cut", "size", "thickness_mm", "surface", "temperature_c", "trays", "tray",
    "hours", "day", "vessel", "vessel_ml", "vessel_count", "seal", "place", "about", "share",
    "altitude_m",
)  # fmt: skip
_AMOUNTS = {"g": "amount_g", "ml": "amount_ml", "count": "amount_count"}
_FOOD_FIELDS = (
    "plural", "group", "food_class", "acid", "juicy", "smell", "sugar_fraction",
    "temperature_c", "temperature_low_c", "temperature_high_c", "dryness_text", "pretreat",
    "blanch_min_low", "blanch_min_high", "conditioning_days", "hours_low", "hours_high",
    "guidance", "surface", "fine_surface", "keeps_fresh_days",
)  # fmt: skip
_FLAGS = (
    ("temperature_known", "temperature_c"), ("dryness_known", "dryness_text"),
    ("pretreat_known", "pretreat"), ("blanch_known", "blanch_min_low"),
    ("hours_known", "hours_low"), ("look_alikes_known", "look_alikes"),
)  # fmt: skip


def known_facts(
    reading: Reading,
    lots: Sequence[Mapping[str, Value]],
    kitchen: Mapping[str, Value],
    tables: Tables,
) -> list[Fact]:
    """The facts that a note and the tables give, before any rule is tried.

    Args:
        reading: the note, read.
        lots: the journal's view of batches once the note is kept (fields of kind ``lot``); those
            that the note does not touch are left aside.
        kitchen: what is known of the kitchen (fields of kind ``kitchen``).
        tables: the knowledge tables.

    Returns:
        Facts of the kinds said, done, seen, question, mention, lot, food, published and kitchen.
        Statement ids are s0, s1 … in the order of the reading.
    """
    grouped = group_statements(reading.statements)
    facts: list[Fact] = []
    for index, (item, batch) in enumerate(grouped):
        facts.extend(_statement_facts(f"s{index}", item, batch))
    facts.extend(_mention_facts(reading))
    lot_facts = _lot_facts(grouped, lots, tables)
    facts.extend(lot_facts)
    facts.extend(_food_facts([item for item, _ in grouped], lot_facts, tables))
    facts.append(_kitchen_fact(reading.statements, kitchen))
    return facts


def _statement_facts(name: str, item: Statement, batch: str | None) -> Iterable[Fact]:
    words = (item.text,) if item.text else ()
    base: dict[str, Value] = {"statement": name}
    if batch:
        base["batch"] = batch
    if item.food:
        base["food"] = item.food
    yield Fact("said", {**base, **_said_slots(item)}, words)
    for prep in item.prep:
        yield Fact("done", {**base, "prep": prep}, words)
    for sign in item.sign:
        yield Fact("seen", {**base, "act": item.act, "sign": sign}, words)
    if item.act == "ask":
        asked: dict[str, Value] = {
            "food_known": item.food is not None, "batch_known": batch is not None
        }  # fmt: skip
        if item.about:
            asked["about"] = item.about
        yield Fact("question", {**base, **asked}, words)
        if item.topic == OVERVIEW:
            for about in _WAY:
                yield Fact("question", {**base, **asked, "about": about}, words)
        elif item.topic:
            # The rules on what a why-question is about hold the reasons asked for.
            yield Fact("question", {**base, **asked, "about": item.topic}, words)


_WAY = ("prep", "pretreat", "temperature", "time", "surface", "dryness", "conditioning")


def _said_slots(item: Statement) -> dict[str, Value]:
    slots: dict[str, Value] = {
        slot: value for slot in _SAID if (value := getattr(item, slot)) is not None
    }
    if item.amount is not None and item.amount.si_unit in _AMOUNTS:
        slots[_AMOUNTS[item.amount.si_unit]] = item.amount.si_likely
    slots["food_known"] = item.food is not None
    slots |= {"dried": called_dried(item), "dated": item.dated, "whatif": item.whatif}
    return slots


def _mention_facts(reading: Reading) -> Iterable[Fact]:
    for mention in reading.mentions:
        yield Fact(
            "mention",
            {
                "concept": mention.concept,
                "sentence": f"p{mention.sentence}",
                "negated": mention.negated,
            },
            (mention.text,),
        )


def _lot_facts(
    grouped: Sequence[tuple[Statement, str | None]],
    lots: Sequence[Mapping[str, Value]],
    tables: Tables,
) -> list[Fact]:
    journal = {str(lot["batch"]): lot for lot in lots if "batch" in lot}
    about: dict[str, list[Statement]] = {}
    for item, batch in grouped:
        if batch:
            about.setdefault(batch, []).append(item)
    facts = []
    for batch, items in about.items():
        slots = lot_slots(batch, items, journal.get(batch))
        food = tables.foods.get(str(slots.get("food", "")))
        if food is not None:
            slots["group"] = food.group
            _gap(slots, food)
        words = tuple(dict.fromkeys(item.text for item in items if item.text))
        facts.append(Fact("lot", slots, words))
    return facts


def _gap(slots: dict[str, Value], food: Food) -> None:
    """How far the dryer is from the published temperature: rules cannot subtract."""
    said, published = slots.get("temperature_c"), food.temperature_c
    if isinstance(said, int | float) and published is not None:
        slots["temperature_gap_c"] = round(float(said) - published, 1)


def _food_facts(
    statements: Iterable[Statement], lots: Iterable[Fact], tables: Tables
) -> Iterable[Fact]:
    names = [item.food for item in statements if item.food]
    names += [str(lot.slots["food"]) for lot in lots if "food" in lot.slots]
    for name in dict.fromkeys(names):
        food = tables.foods.get(name)
        if food is not None:
            yield food_fact(food, tables)
            yield from published_facts(food)


def food_fact(food: Food, tables: Tables) -> Fact:
    """The fact of one food of the tables.

    Its figures carry their sources in facts of kind ``published``, so that a ruling names the
    sources of the figure that it gives and not those of everything known about the food.
    """
    slots: dict[str, Value] = {"food": food.id, "water_fraction": food.water_likely}
    for name in _FOOD_FIELDS:
        value = getattr(food, name)
        if value is not None and value != "":
            slots[name] = value
    for name, words in (
        ("dryness", food.dryness[:1]), ("usual_cuts", food.usual_cuts),
        ("look_alikes", _names(food.look_alikes, tables)),
    ):  # fmt: skip
        if words:
            slots[name] = ", ".join(words)
    if food.dried_quality:
        slots["quality"] = food.dried_quality
    slots |= {flag: field in slots for flag, field in _FLAGS}
    return Fact("food", slots)


def _names(foods: Iterable[str], tables: Tables) -> list[str]:
    return [tables.foods[name].plural if name in tables.foods else name for name in foods]


def published_facts(food: Food) -> Iterable[Fact]:
    """The figures of a food, each with its sources."""
    for of, topic, slots in (
        ("temperature", "temperature_c", _heat(food)),
        ("dryness", "dryness", _dryness(food)),
        ("pretreat", "pretreat", _pretreat(food)),
        ("time", "hours_low", _span(food.hours_low, food.hours_high, "hour")),
        ("conditioning", "conditioning_days", {"days": float(food.conditioning_days)}),
        ("keeping", "keep_70f", _keeping(food)),
    ):
        if slots:
            yield Fact("published", {"food": food.id, "of": of, **slots}, (),
                       tuple(food.sources_for(topic)))  # fmt: skip


def _heat(food: Food) -> dict[str, Value]:
    if food.temperature_c is None:
        return {}
    found = {"temperature_c": food.temperature_c, "low_c": food.temperature_low_c,
             "high_c": food.temperature_high_c}  # fmt: skip
    return {name: value for name, value in found.items() if value is not None}


def _dryness(food: Food) -> dict[str, Value]:
    if not food.dryness_text:
        return {}
    return {"test": food.dryness_text, **({"dryness": food.dryness[0]} if food.dryness else {})}


def _pretreat(food: Food) -> dict[str, Value]:
    if not food.pretreat:
        return {}
    return {
        "pretreat": food.pretreat, **_span(food.blanch_min_low, food.blanch_min_high, "minute")
    }  # fmt: skip


def _keeping(food: Food) -> dict[str, Value]:
    low, high = food.keep_70f or (None, None)
    return _span(low, high, "month")


def _span(low: float | None, high: float | None, unit: str) -> dict[str, Value]:
    """A range in words: ``8 to 12 hours``; short blanches in seconds, half months in weeks.

    >>> _span(0.5, 1, "month"), _span(4, 6, "month")
    ({'span': '2 to 4 weeks'}, {'span': '4 to 6 months'})
    """
    if low is None or high is None:
        return {}
    if unit == "minute" and high < 1:
        low, high, unit = round(low * 60), round(high * 60), "second"
    if unit == "month" and low < 1:
        low, high, unit = round(low * 4), round(high * 4), "week"  # four, so never too long
    shown = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return {"span": f"{shown} {unit}{'' if high == 1 else 's'}"}


DAMP_FROM, DRY_BELOW = 0.65, 0.35
"""Relative humidity [1] from which air counts as damp, and below which as dry; common practice."""


def air_called(humidity: float | None) -> str | None:
    """Damp or dry, from a relative humidity [1]; None between and where none was said."""
    if humidity is None or DRY_BELOW < humidity < DAMP_FROM:
        return None
    return "damp" if humidity >= DAMP_FROM else "dry"


def _kitchen_fact(statements: Iterable[Statement], kitchen: Mapping[str, Value]) -> Fact:
    slots: dict[str, Value] = dict(kitchen)
    words = []
    for item in statements:
        if item.act != "set":
            continue
        said: dict[str, Value | None] = {
            "temperature_c": item.temperature_c, "altitude_m": item.altitude_m, "trays": item.trays,
            "humidity": item.humidity, "price_per_kwh": item.price_per_kwh,
            "currency": item.currency,
        }  # fmt: skip
        if item.price_per_kwh is not None:
            slots.pop("currency", None)  # that of an older price
        said["air"] = next((sign for sign in item.sign if sign in ("damp", "dry")),
                           air_called(item.humidity))  # fmt: skip
        slots.update({name: value for name, value in said.items() if value is not None})
        words.append(item.text)
    for field, flag in (("temperature_c", "temperature"), ("air", "air"),
                        ("altitude_m", "altitude"), ("trays", "trays")):  # fmt: skip
        slots[f"{flag}_known"] = field in slots
    return Fact("kitchen", slots, tuple(word for word in words if word))
