"""Figures for each batch that a note touches: yield, end weight, time, trays, energy, keeping.

The equations are in ``science``; here they get their inputs from the facts, and every result keeps
the words and sources that it rests on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from stillroom.base.fact import Fact, Number
from stillroom.enrich.loads import TRAY_M2, Kitchen, Load, dryer_of, loads
from stillroom.enrich.model import model_table
from stillroom.enrich.odd import sensible
from stillroom.enrich.packed import Store, keeping, pack_of
from stillroom.enrich.remaining import remaining_hours
from stillroom.enrich.season import Season
from stillroom.enrich.water import margins
from stillroom.science.air import air_humidity, warmed_air
from stillroom.science.balance import (
    dry_mass,
    dry_volume,
    drying_ratio,
    end_mass,
    jar_count,
    water_removed,
)
from stillroom.science.drying import drying_time, look_schedule
from stillroom.science.energy import cost, energy
from stillroom.science.loading import load_density, tray_area, trays
from stillroom.science.range import Range

if TYPE_CHECKING:
    from stillroom.tables.tables import Tables

UNITS = {
    "whole_mass": "g", "prepared_mass": "g", "dry_mass": "g", "end_mass": "g",
    "water_removed": "g", "drying_ratio": "1", "drying_time": "h",
    "remaining_time": "h", "look_first": "h",
    "tray_area": "m2", "tray_count": "count", "load_count": "count", "dry_volume": "ml",
    "jar_count": "count", "energy": "kWh", "cost": "currency", "air_humidity": "1",
    "end_moisture": "1", "present_moisture": "1", "blanch_time": "min", "shelf_life": "day",
    "water_activity": "1", "mould_margin": "1", "pathogen_margin": "1",
}  # fmt: skip
DRIED_BULK = Range(0.18, 0.3, 0.5, ("dried pieces fill a jar at about 0.3 g/ml",),
                   sources=("common-practice",))  # fmt: skip
_FRESH_WEIGHT_H = 0.25
"""A weighing older than this counts from when it was made [h]."""
USUAL_JAR_ML = 946.0
_DRYING_QUESTIONS = frozenset(
    {"yield", "time", "loading", "energy", "plan", "dryness", "temperature", "jar"}
)


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
    for load in loads(facts, tables, masses, season):
        if load.fresh:
            numbers += _wanted(_numbers(load, kitchen, tables), facts, load)
            numbers += _inside(_remaining(load, kitchen))
        else:
            numbers += _inside(_water(load))
        numbers += _inside(_keeping(load, kitchen, tables))
    return numbers


def _inside(numbers: Iterable[Number]) -> Iterable[Number]:
    """What the equations give; a figure outside their range is left out, not guessed."""
    try:
        yield from numbers
    except ValueError:
        return


def _remaining(load: Load, kitchen: Kitchen) -> Iterable[Number]:
    weighings, _ = sensible(load.weighings, load.prepared, load.constants)
    if load.prepared is None or not weighings:
        return
    model = model_table().dryer
    left = remaining_hours(
        load.constants, load.size, dryer_of(load, kitchen), model, load.prepared.likely, weighings
    )
    now = load.slots.get("hours")
    since = float(now) - weighings[-1][0] if isinstance(now, int | float) and weighings else 0.0
    if left is not None and since > _FRESH_WEIGHT_H:
        left = Range(
            max(0.0, left.low - since), max(0.0, left.likely - since), max(0.0, left.high - since),
            left.assumes, left.driver, left.sources,
        ).noting(f"by the weighing {since:.0f} h ago")  # fmt: skip
    if left is not None:
        yield _number(load, "remaining_time", left, model.sources)


def _wanted(numbers: Iterable[Number], facts: Sequence[Fact], load: Load) -> list[Number]:
    """All figures of a batch in hand; of one only asked about, those that the question is for."""
    if load.slots.get("stage") != "asked":
        return list(numbers)
    asked = {f.get("about") for f in facts if f.kind == "question" and f.get("batch") == load.batch}
    if asked & _DRYING_QUESTIONS:
        return list(numbers)
    return [n for n in numbers if n.name == "blanch_time" and "pretreat" in asked]


def _keeping(load: Load, kitchen: Kitchen, tables: Tables) -> Iterable[Number]:
    place = str(load.slots.get("place") or "")
    days = keeping(
        load.food, tables, pack_of(load.slots), Store.at(place, kitchen.room_c, kitchen.room_rh)
    )
    if days is not None:
        yield _number(load, "shelf_life", days, load.food.sources_for("keep_60f"))


def _number(load: Load, name: str, value: Range, extra: Iterable[str] = ()) -> Number:
    sources = tuple(dict.fromkeys((*value.sources, *extra)))
    return Number(
        name, value.low, value.likely, value.high, UNITS[name], load.batch,
        value.assumes, value.driver, sources or ("common-practice",), load.words,
    )  # fmt: skip


def _numbers(load: Load, kitchen: Kitchen, tables: Tables) -> Iterable[Number]:
    water = load.food.sources_for("water_likely")
    if load.prepared is not None:
        yield _number(load, "prepared_mass", load.prepared, water)
        yield from _inside(_weights(load, load.prepared, water, tables))
        yield from _inside(_water(load))
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


def _bulk(load: Load, tables: Tables) -> Range:
    """How the dried pieces fill a jar [g/ml]."""
    figure = tables.density(load.food.id, "dried", load.cut)
    if figure is None:
        return DRIED_BULK
    said = f"dried pieces fill a jar at about {figure.likely:.2f} g/ml"
    return Range(figure.low, figure.likely, figure.high, (said,), "how they fill the jar",
                 figure.sources)  # fmt: skip


def _weights(
    load: Load, prepared: Range, water: tuple[str, ...], tables: Tables
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


def _water(load: Load) -> Iterable[Number]:
    """Water and its activity, now or when done, and what is left to mould and to pathogens."""
    found = margins(load)
    if found is None or load.prepared is None or not (load.fresh or found.weighed):
        return
    if found.weighed:
        yield _number(load, "present_moisture", found.water, load.food.sources_for("water_likely"))
    yield _number(load, "water_activity", found.activity)
    yield _number(load, "mould_margin", found.to_mould)
    yield _number(load, "pathogen_margin", found.to_pathogens)


def _times(load: Load, kitchen: Kitchen) -> Iterable[Number]:
    model = model_table()
    hours = drying_time(load.constants, load.size, dryer_of(load, kitchen), model.dryer)
    sources = (*model.dryer.sources, *load.food.sources_for("hours_low"))
    yield _number(load, "drying_time", hours, sources)
    first = look_schedule(hours)[0]
    yield _number(load, "look_first", Range(first, first, first), sources)


def _air(load: Load, kitchen: Kitchen) -> Iterable[Number]:
    humidity = air_humidity(kitchen.room_c, kitchen.room_rh, load.temp_c, kitchen.altitude_m)
    yield _number(load, "air_humidity", humidity)


def _trays_and_energy(load: Load, kitchen: Kitchen) -> Iterable[Number]:
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
        figure = _number(load, "cost", cost(power.kwh, kitchen.price))
        yield replace(figure, unit=kitchen.currency or figure.unit)
