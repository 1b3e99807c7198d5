"""Which batch each statement of a note is about, and what the note and the journal say of it.

A note that was not kept in the journal has no batch names. Its statements are then grouped here
by food, the parts of one mix or pickle together, so that rules can join on a batch all the same.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from stillroom.base.fact import Value
from stillroom.base.statement import SEASONINGS, Statement
from stillroom.base.wrap import wrap_words

_KITCHEN_WIDE = frozenset(
    {"due", "stock", "use-first", "history", "energy", "why", "source", "plan"}
)
_DRIED = re.compile(r"(?<!not )(?<!n't )(?<!half-)(?<!half )\bdried\b", re.IGNORECASE)
_DRIED_FOOD = re.compile(
    r"\bdried\s+(?!(?:will|would|do|does|can|could|should|is|are|for|from|out|to|by|at|in)\b)\w",
    re.IGNORECASE,
)
_OF_FRESH = frozenset({"yield", "time", "loading", "energy"})
"""Questions about drying fresh food, in which a bare "dried" is what it will be."""
_OPENED = re.compile(r"\b(?:re-?)?opened\b|\b(?:keep|kept|keeps) opening\b", re.IGNORECASE)
_UNNAMED = {"blend": "mix", "brine": "pickle"}
_JAR_SIGNS = frozenset({"condensation", "clumping", "loose", "seal-held", "seal-failed", "faded"})
_PICKLE_SIGNS = frozenset({"cloudy", "fizzing"})
_CARRIED = (
    "cut", "size", "thickness_mm", "surface", "temperature_c", "trays", "vessel", "vessel_ml",
    "vessel_count", "seal", "place",
)  # fmt: skip
_KNOWN = ("cut", "thickness_mm", "surface", "temperature_c", "trays", "vessel", "seal", "place")


def group_statements(statements: Sequence[Statement]) -> list[tuple[Statement, str | None]]:
    """Each statement with the batch that it is about.

    Args:
        statements: the statements of one note, in order.

    Returns:
        The same statements in order, each with the batch it names, else one taken from its food,
        its mix or pickle, or the only batch of the note; None for talk about the kitchen and for
        a question about nothing in particular.
    """
    named = {item.food: item.batch for item in statements if item.food and item.batch}
    mixed = {act: _mixture(act, statements) for act in _UNNAMED}
    given: list[tuple[Statement, str | None]] = []
    before: str | None = None
    for item in statements:
        batch = item.batch or _batch_of(item, named, mixed, before)
        if batch and item.act not in ("ask", "set"):
            before = batch
        given.append((item, batch))
    only = {batch for item, batch in given if batch and item.act != "ask"}
    if len(only) == 1:
        given = [
            (item, only.copy().pop() if _takes_only_batch(item, batch) else batch)
            for item, batch in given
        ]
    return given


def _takes_only_batch(item: Statement, batch: str | None) -> bool:
    return (
        batch is None
        and item.act == "ask"
        and item.food is None
        and item.about not in _KITCHEN_WIDE
    )


def _mixture(act: str, statements: Iterable[Statement]) -> str:
    """The name of the note's mix or pickle: its one food, else what it is."""
    items = list(statements)
    foods = {item.food for item in items if item.act == act and item.food} - SEASONINGS
    if not foods and act == "brine":
        foods = {item.food for item in items if item.act == "have" and item.food} - SEASONINGS
    return next(iter(foods)) if len(foods) == 1 else _UNNAMED[act]


def _batch_of(
    item: Statement,
    named: Mapping[str, str],
    mixed: Mapping[str, str],
    before: str | None,
) -> str | None:
    if item.act == "set":
        return None
    if item.act in mixed:
        return mixed[item.act]
    if item.food:
        return named.get(item.food, item.food)
    if item.act == "ask":
        return None
    return before or "unnamed"


def lot_slots(
    batch: str, statements: Sequence[Statement], journal: Mapping[str, Value] | None
) -> dict[str, Value]:
    """What is known of one batch.

    Args:
        batch: its name.
        statements: the statements of the note about it, in order.
        journal: the journal's view of it once this note is kept (fields of kind ``lot``);
            None when the journal does not know it. Its stage stands; every other slot gives way
            to what the note says.

    Returns:
        The slots of its ``lot`` fact.
    """
    slots: dict[str, Value] = dict(journal or {})
    slots["batch"] = batch
    told = [item for item in statements if item.act != "ask"]
    for item in (*told, *(item for item in statements if item.act == "ask")):
        _carry(slots, item)
    slots["stage"] = str((journal or {}).get("stage") or _stage(told))
    slots["told"] = bool(told)
    slots["asked"] = len(told) < len(statements)
    _foods(slots, statements)
    _form(slots, statements)
    for name in _KNOWN:
        plain = name.removesuffix("_mm").removesuffix("_c")
        slots[f"{plain}_known"] = name in slots
    return slots


def called_dried(item: Statement) -> bool:
    """Whether the words call the food dried (``dried plums``), and not undried.

    In "how much dried will 3 kg of plums make" it is the outcome that is dried, not the plums.
    """
    if item.act == "ask" and item.about in _OF_FRESH:
        return bool(_DRIED_FOOD.search(item.text))
    return item.dried or bool(_DRIED.search(item.text))


def _carry(slots: dict[str, Value], item: Statement) -> None:
    """Take over what a statement says of pieces, dryer and vessel."""
    for name in _CARRIED:
        value = getattr(item, name)
        if value is not None:
            slots[name] = value
    if item.day is not None:
        slots["conditioning_day"] = item.day
    if item.hours is not None and item.act in ("load", "weigh", "look"):
        slots["hours"] = item.hours
    if item.amount is not None and item.act in ("have", "load"):
        slots["fresh_known"] = True
        if item.amount.si_unit == "g":
            slots["fresh_g"] = item.amount.si_likely
    if item.dated:
        slots["dated"] = True
    if wrap := wrap_words(item.text):
        slots["wrap"] = wrap
    if _OPENED.search(item.text):
        slots["opened"] = True


def _foods(slots: dict[str, Value], statements: Iterable[Statement]) -> None:
    foods = {item.food for item in statements if item.food} - SEASONINGS
    seasonings = {item.food for item in statements if item.food} & SEASONINGS
    if "food" in slots and not foods:
        foods = {str(slots["food"])}
    slots.pop("food", None)
    named = foods or (seasonings if len(seasonings) == 1 else set())
    if len(named) == 1:
        slots["food"] = next(iter(named)) or ""
    slots["food_known"] = "food" in slots
    slots["foods"] = max(len(foods | seasonings), int(slots.get("foods") or 0))


def _form(slots: dict[str, Value], statements: Sequence[Statement]) -> None:
    """Whether it is dry, a powder, a mix or a pickle; and whether a fresh amount is known."""
    acts = {item.act for item in statements}
    pickled = any("pickl" in item.text.lower() for item in statements)
    slots["brined"] = bool(slots.get("brined")) or "brine" in acts or pickled
    slots["blended"] = bool(slots.get("blended")) or "blend" in acts
    slots["powdered"] = bool(slots.get("powdered")) or slots.get("cut") == "powdered"
    slots["dried"] = (
        bool(slots.get("dried"))
        or bool(slots["powdered"] or slots["blended"])
        or any(called_dried(item) for item in statements)
        or slots["stage"] in ("conditioning", "stored")
    )
    preps = {prep for item in statements for prep in item.prep}
    for step in ("cooked", "blanched"):
        slots[step] = bool(slots.get(step)) or step in preps
    slots["fresh_known"] = bool(slots.get("fresh_known")) or "fresh_g" in slots
    slots["dated"] = bool(slots.get("dated"))


def _stage(told: Sequence[Statement]) -> str:
    """How far a batch is that the journal does not know, from what is said of it."""
    stage = "asked"
    for item in told:
        stage = _stage_after(item, stage)
    return stage


def _stage_after(item: Statement, stage: str) -> str:
    if "discarded" in item.sign:
        return "discarded"
    if item.act == "pack":
        conditioning = item.day is not None or "condition" in item.text.lower()
        return (
            "conditioning"
            if conditioning
            else "refrigerated"
            if item.place == "fridge" and (stage == "refrigerated")
            else "stored"
        )
    if item.act in ("weigh", "look", "use"):
        return _stage_seen(item, stage)
    if item.act == "have":
        return "stored" if called_dried(item) or item.cut == "powdered" else "in-hand"
    fixed = {"load": "drying", "blend": "stored", "brine": "refrigerated"}
    return fixed.get(item.act, stage)


def _stage_seen(item: Statement, stage: str) -> str:
    """The stage that a look, a weighing or a use speaks of, when nothing earlier tells it."""
    if item.day is not None or "condition" in item.text.lower():
        return "conditioning"
    if stage != "asked":
        return stage
    signs = set(item.sign)
    if signs & _PICKLE_SIGNS:
        return "refrigerated"
    if item.act == "use" or item.vessel or item.place or signs & _JAR_SIGNS:
        return "stored"
    return "drying"
