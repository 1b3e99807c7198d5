"""Figures for each batch that a note touches: yield, end weight, time, trays, energy, keeping.

The equations are in ``science``; here they get their inputs from the facts, and every result keeps
the words and sources that it rests on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from stillroom.base.fact import Fact, Number, Value
from stillroom.enrich.amounts import trim_loss
from stillroom.enrich.model import constants_for, model_table
from stillroom.enrich.packed import Store, keeping, pack_of
from stillroom.enrich.remaining import remaining_hours
from stillroom.enrich.season import Season
from stillroom.science.activity import activity_range
from stillroom.science.air import air_humidity, warmed_air
from stillroom.science.balance import (
    dry_mass,
    dry_volume,
    drying_ratio,
    end_mass,
    jar_count,
    moisture_now,
    prepared_mass,
    water_removed,
)
from stillroom.science.constants import FoodConstants
from stillroom.science.drying import Dryer, drying_time, look_schedule
from stillroom.science.energy import cost, energy
from stillroom.science.loading import Piece, load_density, piece, tray_area, trays
from stillroom.science.range import Range

if TYPE_CHECKING:
    from stillroom.tables.tables import Food, Tables

UNITS = {
    "whole_mass": "g", "prepared_mass": "g", "dry_mass": "g", "end_mass": "g",
    "water_removed": "g", "drying_ratio": "1", "drying_time": "h",
    "remaining_time": "h", "look_first": "h",
    "tray_area": "m2", "tray_count": "count", "load_count": "count", "dry_volume": "ml",
    "jar_count": "count", "energy": "kWh", "cost": "currency", "air_humidity": "1",
    "end_moisture": "1", "present_moisture": "1", "blanch_time": "min", "shelf_life": "day",
    "water_activity": "1",
}  # fmt: skip
ROOM_C = 21.0
"""A kitchen of which nothing was said [deg C]; common practice."""
ROOM_RH = {"damp": Range(0.65, 0.75, 0.85), "dry": Range(0.2, 0.3, 0.4)}
USUAL_RH = Range(0.35, 0.5, 0.65)
TRAY_M2 = 0.09
"""A home dryer's tray [m2], about a foot square; common practice."""
DRIED_BULK = Range(0.18, 0.3, 0.5, ("dried pieces fill a jar at about 0.3 g/ml",),
                   sources=("common-practice",))  # fmt: skip
USUAL_JAR_ML = 946.0
_FRESH_STAGES = frozenset({"in-hand", "drying", "asked"})
_DRYING_QUESTIONS = frozenset(
    {"yield", "time", "loading", "energy", "plan", "dryness", "temperature", "jar"}
)


@dataclass(frozen=True)
class Kitchen:
    """The kitchen as the equations see it."""

    room_c: float = ROOM_C
    room_rh: Range = USUAL_RH
    altitude_m: float = 0.0
    trays: int | None = None
    price: float | None = None
    currency: str = ""

    @classmethod
    def from_slots(cls, slots: Mapping[str, Value]) -> Kitchen:
        """Build from a kitchen fact; what was not said keeps its usual value."""
        return cls(
            float(slots.get("temperature_c", ROOM_C)),
            ROOM_RH.get(str(slots.get("air")), USUAL_RH),
            float(slots.get("altitude_m", 0.0)),
            int(slots["trays"]) if "trays" in slots else None,
            float(slots["price_per_kwh"]) if "price_per_kwh" in slots else None,
            str(slots.get("currency", "")),
        )


@dataclass(frozen=True)
class _Load:
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


def computed_numbers(
    facts: Sequence[Fact],
    tables: Tables,
    masses: Mapping[str, Range],
    kitchen: Kitchen,
    season: Season | None = None,
) -> list[Number]:
    """The figures of every batch that is fresh, drying or asked about.

    Args:
        facts: known facts of the note (kinds ``lot`` and ``food``).
        tables: the knowledge tables.
        masses: fresh mass of each batch [g], estimated where it was counted or measured.
        kitchen: the kitchen.
        season: weighings so far.

    Returns:
        Numbers with their batch, words and sources; none for food that is not dried.
    """
    season = season or Season()
    numbers: list[Number] = []
    for fact in facts:
        if fact.kind != "lot" or fact.get("brined") or fact.get("blended"):
            continue
        try:
            load = _load(fact, tables, masses, _preps(facts, fact, season))
        except ValueError:
            continue
        if load is None:
            continue
        fresh = load.food.water_likely >= _DRY_ALREADY and not fact.get("dried")
        if fact.get("stage") in _FRESH_STAGES and fresh:
            numbers += _wanted(_numbers(load, kitchen, tables), facts, fact)
            numbers += _inside(_remaining(load, kitchen, season))
        numbers += _inside(_keeping(load, kitchen, tables))
    return numbers


def _inside(numbers: Iterable[Number]) -> Iterable[Number]:
    """What the equations give; a figure outside their range is left out, not guessed."""
    try:
        yield from numbers
    except ValueError:
        return


def _remaining(load: _Load, kitchen: Kitchen, season: Season) -> Iterable[Number]:
    weighings = season.weighings.get(load.batch, ())
    if load.prepared is None or not weighings:
        return
    model = model_table().dryer
    left = remaining_hours(
        load.constants, load.size, _dryer(load, kitchen), model, load.prepared.likely, weighings
    )
    if left is not None:
        yield _number(load, "remaining_time", left, model.sources)


def _dryer(load: _Load, kitchen: Kitchen) -> Dryer:
    return Dryer(load.temp_c, kitchen.room_c, kitchen.room_rh.likely, kitchen.altitude_m)


def _wanted(numbers: Iterable[Number], facts: Sequence[Fact], lot: Fact) -> list[Number]:
    """All figures of a batch in hand; of one only asked about, those that the question is for."""
    if lot.get("stage") != "asked":
        return list(numbers)
    batch = lot.get("batch")
    asked = {f.get("about") for f in facts if f.kind == "question" and f.get("batch") == batch}
    if asked & _DRYING_QUESTIONS:
        return list(numbers)
    return [n for n in numbers if n.name == "blanch_time" and "pretreat" in asked]


def _preps(facts: Sequence[Fact], lot: Fact, season: Season) -> tuple[str, ...]:
    batch = str(lot.get("batch"))
    told = [
        str(fact.slots["prep"])
        for fact in facts
        if fact.kind == "done" and fact.get("batch") == batch
    ]
    return tuple(dict.fromkeys((*season.preps.get(batch, ()), *told)))


def _keeping(load: _Load, kitchen: Kitchen, tables: Tables) -> Iterable[Number]:
    place = str(load.slots.get("place") or "")
    days = keeping(
        load.food, tables, pack_of(load.slots), Store.at(place, kitchen.room_c, kitchen.room_rh)
    )
    if days is not None:
        yield _number(load, "shelf_life", days, load.food.sources_for("keep_60f"))


_DRY_ALREADY = 0.4
"""Water of fresh food [1] below which it comes dried (dates, rice, dry beans): common practice."""
# Usual cuts of foods.csv that the equations know by another shape.
_SHAPE_OF = {"rings": "sliced", "pitted": "whole"}


def _load(
    fact: Fact, tables: Tables, masses: Mapping[str, Range], preps: Sequence[str]
) -> _Load | None:
    food = tables.foods.get(str(fact.get("food", "")))
    if food is None or food.temperature_c is None:
        return None
    cut = str(fact.get("cut") or (food.usual_cuts[0] if food.usual_cuts else "sliced"))
    cut = _SHAPE_OF.get(cut, cut)
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
    return _Load(batch, fact.words, food, constants, mass, size, cut, temp, fact.slots)


def _number(load: _Load, name: str, value: Range, extra: Iterable[str] = ()) -> Number:
    sources = tuple(dict.fromkeys((*value.sources, *extra)))
    return Number(
        name, value.low, value.likely, value.high, UNITS[name], load.batch,
        value.assumes, value.driver, sources or ("common-practice",), load.words,
    )  # fmt: skip


def _numbers(load: _Load, kitchen: Kitchen, tables: Tables) -> Iterable[Number]:
    water = load.food.sources_for("water_likely")
    if load.prepared is not None:
        yield _number(load, "prepared_mass", load.prepared, water)
        yield from _inside(_weights(load, load.prepared, water, tables))
    yield _number(load, "drying_ratio", drying_ratio(load.constants), water)
    yield _number(load, "end_moisture", load.constants.end,
                  load.food.sources_for("end_moisture_likely"))  # fmt: skip
    yield from _inside(_times(load, kitchen))
    yield from _inside(_air(load, kitchen))
    yield from _inside(_trays_and_energy(load, kitchen))
    if load.food.blanch_min is not None:
        low, high = load.food.blanch_min
        blanch = Range(low, (low + high) / 2, high)
        yield _number(load, "blanch_time", blanch, load.food.sources_for("blanch_min"))


def _bulk(load: _Load, tables: Tables) -> Range:
    """How the dried pieces fill a jar [g/ml]."""
    figure = tables.density(load.food.id, "dried", load.cut)
    if figure is None:
        return DRIED_BULK
    said = f"dried pieces fill a jar at about {figure.likely:.2f} g/ml"
    return Range(figure.low, figure.likely, figure.high, (said,), "how they fill the jar",
                 figure.sources)  # fmt: skip


def _weights(
    load: _Load, prepared: Range, water: tuple[str, ...], tables: Tables
) -> Iterable[Number]:
    dry = dry_mass(prepared, load.constants)
    yield _number(load, "dry_mass", dry, water)
    tare = load.slots.get("tare_g")
    tare_g = float(tare) if isinstance(tare, int | float) else 0.0
    yield _number(load, "end_mass", end_mass(prepared, load.constants, tare_g=tare_g), water)
    yield _number(load, "water_removed", water_removed(prepared, load.constants), water)
    volume = dry_volume(dry, _bulk(load, tables))
    yield _number(load, "dry_volume", volume)
    jar = load.slots.get("vessel_ml")
    jar_ml = float(jar) if isinstance(jar, int | float) else USUAL_JAR_ML
    yield _number(load, "jar_count",
                  jar_count(volume, jar_ml).noting(f"jars of {jar_ml:.0f} ml"))  # fmt: skip
    now = load.slots.get("weighed_g")
    if isinstance(now, int | float) and 0 < now < prepared.likely:
        now_w = moisture_now(prepared.likely, float(now), load.constants, tare_g=tare_g)
        yield _number(load, "present_moisture", now_w, water)
        yield from _inside(_activity(load, now_w.noting("by the last weighing")))
    else:
        yield from _inside(_activity(load, load.constants.end.noting("at the usual end point")))


def _activity(load: _Load, water: Range) -> Iterable[Number]:
    """Water activity now, or when done."""
    isotherm = load.constants.isotherm
    solids = 1 - load.food.water_likely
    if isotherm is None or solids <= 0:
        return
    share = min(0.95, load.food.sugar_fraction / solids)
    found = activity_range(water, share, isotherm).noting(*water.assumes)
    yield _number(load, "water_activity", found)


def _times(load: _Load, kitchen: Kitchen) -> Iterable[Number]:
    model = model_table()
    hours = drying_time(load.constants, load.size, _dryer(load, kitchen), model.dryer)
    sources = (*model.dryer.sources, *load.food.sources_for("hours_low"))
    yield _number(load, "drying_time", hours, sources)
    first = look_schedule(hours)[0]
    yield _number(load, "look_first", Range(first, first, first), sources)


def _air(load: _Load, kitchen: Kitchen) -> Iterable[Number]:
    humidity = air_humidity(kitchen.room_c, kitchen.room_rh, load.temp_c, kitchen.altitude_m)
    yield _number(load, "air_humidity", humidity)


def _trays_and_energy(load: _Load, kitchen: Kitchen) -> Iterable[Number]:
    if load.prepared is None:
        return
    density = load_density(load.cut, load.size.size_mm, load.constants.whole_mm)
    area = tray_area(load.prepared, density)
    yield _number(load, "tray_area", area)
    fit = trays(area, TRAY_M2, kitchen.trays)
    yield _number(load, "tray_count", fit.trays.noting(f"trays of {TRAY_M2} m²"))
    if fit.loads is not None:
        yield _number(load, "load_count", fit.loads)
    removed = water_removed(load.prepared, load.constants)
    air = warmed_air(kitchen.room_c, kitchen.room_rh.likely, load.temp_c, kitchen.altitude_m)
    power = energy(removed, air)
    ideal = f"the ideal minimum is {power.ideal_kwh:.1f} kWh"
    yield _number(load, "energy", power.kwh.noting(ideal))
    if kitchen.price is not None:
        yield _number(load, "cost", cost(power.kwh, kitchen.price))
