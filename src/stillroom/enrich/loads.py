"""The kitchen, and each batch made ready for the equations."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from stillroom.base.fact import Fact, Value
from stillroom.enrich.amounts import trim_loss
from stillroom.enrich.model import constants_for, shape_of
from stillroom.enrich.odd import sensible
from stillroom.enrich.season import Season
from stillroom.science.balance import prepared_mass
from stillroom.science.constants import FoodConstants
from stillroom.science.drying import Dryer
from stillroom.science.loading import Piece, piece
from stillroom.science.range import Range

if TYPE_CHECKING:
    from stillroom.tables.tables import Food, Tables

ROOM_C = 21.0
"""A kitchen of which nothing was said [deg C]; common practice."""
ROOM_RH = {"damp": Range(0.65, 0.75, 0.85), "dry": Range(0.2, 0.3, 0.4)}
USUAL_RH = Range(0.35, 0.5, 0.65)
TRAY_M2 = 0.09
"""A home dryer's tray [m2], about a foot square; common practice."""
_DRY_ALREADY = 0.4
"""Water of fresh food [1] below which it comes dried (dates, rice, dry beans): common practice."""
_FRESH_STAGES = frozenset({"in-hand", "drying", "asked"})


@dataclass(frozen=True)
class Kitchen:
    """The kitchen as the equations see it."""

    room_c: float = ROOM_C
    room_rh: Range = USUAL_RH
    altitude_m: float = 0.0
    trays: int | None = None
    price: float | None = None
    currency: str = ""
    measure: str = "us"

    @classmethod
    def from_slots(cls, slots: Mapping[str, Value]) -> Kitchen:
        """Build from a kitchen fact; what was not said keeps its usual value."""
        return cls(
            float(slots.get("temperature_c", ROOM_C)),
            _room_rh(slots),
            float(slots.get("altitude_m", 0.0)),
            int(slots["trays"]) if "trays" in slots else None,
            float(slots["price_per_kwh"]) if "price_per_kwh" in slots else None,
            str(slots.get("currency", "")),
        )


def _room_rh(slots: Mapping[str, Value]) -> Range:
    """The humidity said, within five points; else that of air called damp or dry."""
    said = slots.get("humidity")
    if isinstance(said, int | float) and 0 < said <= 1:
        return Range(max(0.0, said - 0.05), float(said), min(1.0, said + 0.05))
    return ROOM_RH.get(str(slots.get("air")), USUAL_RH)


@dataclass(frozen=True)
class Load:
    """One batch ready for the equations."""

    batch: str
    words: tuple[str, ...]
    food: Food
    constants: FoodConstants
    prepared: Range | None
    size: Piece
    cut: str
    temp_c: float
    slots: Mapping[str, Value]
    weighings: Sequence[tuple[float, float]] = ()

    @property
    def fresh(self) -> bool:
        """It is not dried yet, and fresh food of its kind is not dry as it comes."""
        fresh = self.food.water_likely >= _DRY_ALREADY and not self.slots.get("dried")
        return self.slots.get("stage") in _FRESH_STAGES and fresh


def loads(
    facts: Sequence[Fact], tables: Tables, masses: Mapping[str, Range], season: Season
) -> Iterator[Load]:
    """Every batch of a note that the drying equations can speak of.

    Args:
        facts: known facts of the note (kinds ``lot`` and ``done``).
        tables: the knowledge tables.
        masses: fresh mass of each batch [g].
        season: what earlier notes told.
    """
    for fact in facts:
        if fact.kind != "lot" or fact.get("brined") or fact.get("blended"):
            continue
        try:
            load = _load(fact, tables, masses, _preps(facts, fact, season))
        except ValueError:
            continue
        if load is not None:
            yield _weighed(load, season)


def _weighed(load: Load, season: Season) -> Load:
    """The load with its weighings; the last sensible one is its weight now."""
    weighings = tuple(season.weighings.get(load.batch, ()))
    if not weighings:
        return load
    kept, _ = sensible(weighings, load.prepared, load.constants)
    slots = {name: value for name, value in load.slots.items() if name != "weighed_g"}
    if kept:
        slots["weighed_g"] = kept[-1][1]
    return replace(load, slots=slots, weighings=weighings)


def dryer_of(load: Load, kitchen: Kitchen) -> Dryer:
    """The dryer that a batch is in, or will be."""
    return Dryer(load.temp_c, kitchen.room_c, kitchen.room_rh.likely, kitchen.altitude_m)


def _preps(facts: Sequence[Fact], lot: Fact, season: Season) -> tuple[str, ...]:
    batch = str(lot.get("batch"))
    told = [
        str(fact.slots["prep"])
        for fact in facts
        if fact.kind == "done" and fact.get("batch") == batch
    ]
    return tuple(dict.fromkeys((*season.preps.get(batch, ()), *told)))


def _load(
    fact: Fact, tables: Tables, masses: Mapping[str, Range], preps: Sequence[str]
) -> Load | None:
    food = tables.foods.get(str(fact.get("food", "")))
    if food is None or food.temperature_c is None:
        return None
    cut = str(fact.get("cut") or (food.usual_cuts[0] if food.usual_cuts else "sliced"))
    cut = shape_of(food, cut)
    constants = constants_for(food.id, tables, cut)
    if constants is None:
        return None
    thickness = fact.get("thickness_mm")
    size = piece(
        cut, float(thickness) if isinstance(thickness, int | float) else None, constants.whole_mm
    )
    said = fact.get("temperature_c")
    temp = float(said) if isinstance(said, int | float) else food.temperature_c
    batch = str(fact.slots["batch"])
    mass = masses.get(batch)
    if mass is not None and preps:
        mass = prepared_mass(mass, trim_loss(food.id, preps, tables))
    return Load(batch, fact.words, food, constants, mass, size, cut, temp, fact.slots)
