"""What the figures mean, in sentences: damp air, too few trays, seals, damp pieces, packages."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from stillroom.base.fact import Fact
from stillroom.base.quantity import show, two_digits
from stillroom.enrich.kitchen_types import Hint
from stillroom.enrich.loads import TRAY_M2, Kitchen, Load, loads
from stillroom.enrich.odd import odd_cuts, odd_weight, out_of_reach
from stillroom.enrich.packed import Pack, Store, film_of, keeping, pack_of
from stillroom.enrich.seal import percent, seal, uneven
from stillroom.enrich.season import Season
from stillroom.science.equilibrium import Floor, floor_moisture
from stillroom.science.loading import load_density, tray_area, trays
from stillroom.science.range import Range

if TYPE_CHECKING:
    from stillroom.tables.tables import Tables

_DAMP = 0.65
_CROWDED = 1.15  # a little more than fits is no reason for a warning
_FIRST = 40  # before the rules' own word on the topic


def remarks(
    facts: Sequence[Fact],
    tables: Tables,
    masses: Mapping[str, Range],
    kitchen: Kitchen,
    season: Season,
) -> list[Hint]:
    """Hints of every batch that a note touches; see ``computed_numbers`` for the arguments."""
    found: list[Hint] = [*odd_cuts(facts)]
    for load in loads(facts, tables, masses, season):
        asked = [
            (str(fact.get("about")), " ".join(fact.words))
            for fact in facts
            if fact.kind == "question" and fact.get("batch") in (load.batch, None)
        ]
        for part in (
            _damp_air(load, kitchen, facts, asked),
            _few_trays(load, kitchen, facts),
            odd_weight(load, facts, kitchen),
            out_of_reach(load, kitchen),
            seal(load, asked, facts, kitchen),
            uneven(load, asked),
            _package(load, kitchen, tables),
        ):
            found += _within(part)
    return found


def _within(hints: Iterator[Hint]) -> Iterable[Hint]:
    try:
        yield from hints
    except ValueError:
        return


def _heat(celsius: float, kitchen: Kitchen) -> str:
    return show(celsius, "degC", kitchen.measure)


def _mass(grams: float, kitchen: Kitchen) -> str:
    """An estimate, to two digits."""
    return show(two_digits(grams), "g", kitchen.measure)


def _damp_air(
    load: Load, kitchen: Kitchen, facts: Sequence[Fact], asked: Sequence[tuple[str, str]]
) -> Iterator[Hint]:
    """Too damp a kitchen for the end point, and what helps; only where the kitchen was told.

    A question about it is answered; else the warning stands when the note loads the food, tells
    of the kitchen or asks about drying.
    """
    told = next((fact for fact in facts if fact.kind == "kitchen"), None)
    known = told is not None and (told.get("air_known") or "humidity" in told.slots)
    about = next((a for a, words in asked if _damp_words(words)), "")
    if not load.fresh or not known or not (about or _under_way(load, facts)):
        return
    floor = floor_moisture(
        load.constants, kitchen.room_c, kitchen.room_rh.likely, load.temp_c, kitchen.altitude_m
    )
    names, heat = load.food.plural, _heat(load.temp_c, kitchen)
    room = f"{_heat(kitchen.room_c, kitchen)} and {percent(kitchen.room_rh.likely)} humidity"
    least, dry = percent(floor.moisture.likely), percent(load.constants.end_likely)
    topic, first = about or "temperature", _FIRST if about else 100
    if not floor.reachable:
        yield Hint(
            topic, "damp-air" if about else "too-damp",
            f"A kitchen at {room} is too damp for {names} at {heat}: drying stops at about "
            f"{least} water, and {dry} is dry. What helps: {_helps(load, floor, kitchen)}.",
            load.batch, floor.moisture.sources, "" if about else "caution", first,
        )  # fmt: skip
    elif kitchen.room_rh.likely >= _DAMP and floor.moisture.high >= load.constants.end_likely:
        yield Hint(
            topic, "damp-air" if about else "nearly-too-damp",
            f"In a kitchen at {room} {names} can just dry at {heat}: the air allows about {least} "
            f"water, and {dry} is dry. A warmer dryer or a drier room helps.",
            load.batch, floor.moisture.sources, "", first,
        )  # fmt: skip
    elif about:
        yield Hint(
            topic, "damp-air",
            f"No: in a kitchen at {room} the air lets {names} dry to about {least} water at "
            f"{heat}, and {dry} is dry. Damp air only makes it slower.",
            load.batch, floor.moisture.sources, "", first,
        )  # fmt: skip


def _damp_words(words: str) -> bool:
    """Whether a question is about damp air, and not about damp pieces."""
    parts = set(words.lower().replace("?", " ").split())
    return bool(parts & {"humid", "humidity", "muggy", "clammy"}) or (
        "damp" in parts and bool(parts & {"air", "kitchen", "room", "weather", "today", "too"})
    )


def _helps(load: Load, floor: Floor, kitchen: Kitchen) -> str:
    names, limit = load.food.plural, load.food.temperature_high_c
    helps: list[str] = []
    if floor.hotter_c is not None:
        allowed = limit is None or floor.hotter_c <= limit + 1
        fits = "" if allowed else f", hotter than is published for {names}"
        helps.append(f"the dryer at {_heat(floor.hotter_c, kitchen)} or more{fits}")
    if floor.drier_rh is not None:
        helps.append(
            f"a room dried to {percent(floor.drier_rh)} humidity, by air conditioning or a "
            "dehumidifier"
        )
    return ", or ".join((*helps, "a drier day"))


_ON_LOADING = frozenset({"loading", "time", "plan", "yield"})


def _under_way(load: Load, facts: Sequence[Fact]) -> bool:
    """The note loads it, tells of the kitchen or asks about drying: not again at each weighing."""
    return any(
        (fact.kind == "said" and fact.get("act") in ("have", "load", "amend")
         and fact.get("batch") in (load.batch, None))
        or (fact.kind == "said" and fact.get("act") == "set"
            and any(fact.get(slot) for slot in ("trays", "temperature_c", "sign", "humidity")))
        or (fact.kind == "question" and fact.get("about") in _ON_LOADING)
        for fact in facts
    )  # fmt: skip


def _few_trays(load: Load, kitchen: Kitchen, facts: Sequence[Fact]) -> Iterator[Hint]:
    """More food than the trays hold in one layer."""
    said = load.slots.get("trays")
    count = int(said) if isinstance(said, int | float) and said >= 1 else kitchen.trays
    if not load.fresh or load.prepared is None or count is None or not _under_way(load, facts):
        return
    density = load_density(load.cut, load.size.size_mm, load.constants.whole_mm)
    fit = trays(tray_area(load.prepared, density), TRAY_M2, count)
    if fit.loads is None or fit.loads.likely < 2:
        return
    holds = 1000 * density.likely * TRAY_M2 * count
    if load.prepared.likely < _CROWDED * holds:
        return
    spread = (
        f" ({fit.loads.low:.0f} to {fit.loads.high:.0f})" if fit.loads.low < fit.loads.high else ""
    )
    on = load.slots.get("stage") == "drying"
    yield Hint(
        "loading", "trays-short",
        f"{count} {'trays hold' if count > 1 else 'tray holds'} about {_mass(holds, kitchen)} of "
        f"{load.food.plural} in one layer; you have {_mass(load.prepared.likely, kitchen)}: about "
        f"{fit.loads.likely:.0f} loads{spread}, or {fit.trays.likely:.0f} trays."
        + (" Piled up they dry slowly and unevenly." if on else ""),
        load.batch, ("loading-articles", "mem-osu-855", "common-practice"), "caution" if on else "",
    )  # fmt: skip


def _package(load: Load, kitchen: Kitchen, tables: Tables) -> Iterator[Hint]:
    """How a package, openings or light change the keeping time."""
    if load.slots.get("brined") or not (load.slots.get("dried") or load.slots.get("asked")):
        return
    pack = pack_of(load.slots)
    film = film_of(pack)
    store = Store.at(str(load.slots.get("place") or ""), kitchen.room_c, kitchen.room_rh)
    days, shut = keeping(load.food, tables, pack, store), keeping(load.food, tables, Pack(), store)
    if days is None or shut is None:
        return
    if days.likely > 0.97 * shut.likely and days.low > 0.9 * shut.low:
        return
    kind = film.name if film else str(pack.vessel or "pack")
    kind = f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"
    if pack.opened:
        kind = f"{kind} that is opened now and then"
    if pack.lit:
        kind += " in the light"
    damp = film is not None and not film.tight
    air = f" and {percent(store.rh.likely)} humidity" if damp else ""
    damped = any("air gets in" in words for words in days.assumes)
    softens = ": damp gets in and takes the dryness" if damped else ""
    yield Hint(
        "shelf-life", "package",
        f"{load.food.plural.capitalize()} in {kind} at {_heat(store.temp_c, kitchen)}"
        f"{air}: about "
        f"{_span(days)}, against {_span(shut)} in a tight jar left shut in the dark{softens}.",
        load.batch, days.sources, priority=_FIRST,
    )  # fmt: skip


def _span(days: Range) -> str:
    for size, name, least in ((30.4, "month", 2.0), (7.0, "week", 2.0), (1.0, "day", 0.0)):
        low, likely, high = (round(end / size) for end in (days.low, days.likely, days.high))
        if days.likely >= least * size:
            if likely < 1:
                return f"a day or less ({low} to {max(1, high)})"
            return f"{likely} {name}{'' if likely == 1 else 's'} ({low} to {high})"
    return ""
