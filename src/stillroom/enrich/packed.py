"""How long packed food keeps: the published anchors, cut short by damp, openings and light."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import sqrt
from typing import TYPE_CHECKING

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.base.wrap import has_words
from stillroom.enrich.model import constants_for
from stillroom.science.activity import EVENING_PER_DAY, mixture_activity, mixture_moisture
from stillroom.science.balance import dry_basis
from stillroom.science.keeping import BREATHING, IN_LIGHT, OPENED, keeping_days
from stillroom.science.package import (
    Inside,
    days_to_critical,
    film_area,
    openings_to_critical,
    permeance,
)
from stillroom.science.range import Range

if TYPE_CHECKING:
    from stillroom.science.constants import FoodConstants
    from stillroom.tables.tables import Food, Tables

STORE_C = {"fridge": 4.0, "freezer": -18.0, "cellar": 13.0, "larder": 15.6}
"""Usual temperatures of places [deg C]; common practice. Elsewhere the kitchen's counts."""
STORE_RH = {"fridge": Range(0.6, 0.75, 0.85), "cellar": Range(0.6, 0.75, 0.85)}
"""Usual humidity of places; common practice. Elsewhere the kitchen's counts."""
LIT = ("counter", "window", "sunny")
"""Places where light falls on a jar; on a shelf or in a cupboard it is taken to be dark."""
USUAL_BULK = 0.3
"""Dried pieces in a vessel [g/ml]; common practice, as for the volume of dried food."""
OPENINGS_A_WEEK = 3.0
"""How often a jar in use is opened; common practice."""
AIRY_CM3 = 500.0
"""Oxygen that a film lets through from which it counts as breathing [cm3/(m2 day atm)]: zip bags
pass thousands, vacuum pouches under a hundred [biosys-handbook-ch11]; the line is a judgement."""
_USUAL_ML = 946.0
_FROZEN_C = -10.0


@dataclass(frozen=True)
class Film:
    """What food is packed in: vapour that passes [g/(m2 day)] at the test air, low and high.

    ``breathes``: oxygen passes too, at more than AIRY_CM3.
    """

    name: str
    words: tuple[str, ...]
    low: float
    high: float
    breathes: bool
    sources: tuple[str, ...]

    @property
    def tight(self) -> bool:
        """Nothing passes the walls."""
        return self.high == 0


@dataclass(frozen=True)
class Pack:
    """One vessel of dried food.

    Args:
        vessel: as the interface names it; None when not said.
        seal: likewise.
        wrap: words on what the bag is made of; empty when not said.
        ml: what one vessel holds; None when not said.
        grams: dried food in one vessel; None when not known.
        opened: it is in use and opened now and then.
        lit: light falls on it.
    """

    vessel: str | None = None
    seal: str | None = None
    wrap: str = ""
    ml: float | None = None
    grams: float | None = None
    opened: bool = False
    lit: bool = False


@dataclass(frozen=True)
class Store:
    """Where it stands [deg C, 1]."""

    temp_c: float
    rh: Range

    @classmethod
    def at(cls, place: str | None, room_c: float, room_rh: Range) -> Store:
        """The store at a place in a kitchen."""
        return cls(STORE_C.get(place or "", min(room_c, 40.0)), STORE_RH.get(place or "", room_rh))


@cache
def _films() -> dict[tuple[str, str], list[Film]]:
    """Films by vessel and seal, those named by words first."""
    passes = {
        row["id"]: row
        for row in read_csv(knowledge_dir() / "packaging.csv", ("id", "wvtr_lo_g_m2_day"))
    }
    found: dict[tuple[str, str], list[Film]] = {}
    for row in read_csv(knowledge_dir() / "package_use.csv", ("id", "vessel", "packaging")):
        rows = [passes[name] for name in row["packaging"].split("|")]
        film = Film(
            row["name"], tuple(part for part in row["words"].split("|") if part),
            min(float(cells["wvtr_lo_g_m2_day"]) for cells in rows),
            max(float(cells["wvtr_hi_g_m2_day"]) for cells in rows),
            any(float(cells["otr_hi_cm3_m2_day_atm"] or AIRY_CM3) >= AIRY_CM3 for cells in rows),
            tuple(dict.fromkeys([row["source"], *(cells["source"] for cells in rows)])),
        )  # fmt: skip
        found.setdefault((row["vessel"], row["seal"]), []).append(film)
    return {key: sorted(films, key=lambda film: not film.words) for key, films in found.items()}


def film_of(pack: Pack) -> Film | None:
    """The film that a pack is taken for; None when it is not said or nothing is published."""
    if pack.vessel is None:
        return None
    films = _films()
    for seal in (pack.seal or "", ""):
        for film in films.get((pack.vessel, seal), ()):
            if not film.words or has_words(pack.wrap, film.words):
                return film
    return None


def anchors_of(food: Food) -> dict[float, tuple[float, float]]:
    """Published keeping times [months] by temperature [deg C]."""
    spans = ((15.6, food.keep_60f), (21.1, food.keep_70f), (26.7, food.keep_80f))
    return {celsius: span for celsius, span in spans if span is not None}


def keeping(food: Food, tables: Tables, pack: Pack, store: Store) -> Range | None:
    """Days that a packed food keeps.

    Args:
        food: its row of the tables.
        tables: the knowledge tables.
        pack: what it is in.
        store: where it stands.

    Returns:
        Days, with what cuts them short among the assumptions; None where nothing is published.
    """
    anchors = anchors_of(food)
    if not anchors:
        return None
    days = keeping_days(anchors, store.temp_c)
    film = film_of(pack)
    kind = film.name if film else "tight pack"
    dark = "in the light" if pack.lit else "kept dark"
    days = days.noting(f"{dark} in a {kind} at {store.temp_c:.0f} °C",
                       sources=film.sources if film else ())  # fmt: skip
    if store.temp_c <= _FROZEN_C:
        return days
    constants = constants_for(food.id, tables)
    if film is not None and constants is not None:
        days = _damped(days, food, constants, (pack, film), store)
    if film is not None and film.breathes:
        days = _times(days, BREATHING, f"air passes a {film.name} (factor of common practice)")
    if pack.opened:
        days = _times(days, OPENED, "opened now and then (factor of common practice)")
    if pack.lit:
        days = _times(days, IN_LIGHT, "light fades it (factor of common practice)")
    return days


def _times(days: Range, factor: Range, said: str) -> Range:
    return Range(
        days.low * factor.low, days.likely * factor.likely, days.high * factor.high,
        days.assumes, days.driver, days.sources,
    ).noting(said, sources=("common-practice",))  # fmt: skip


def _damped(
    days: Range, food: Food, constants: FoodConstants, packed: tuple[Pack, Film], store: Store
) -> Range:
    """The days, shortened by the damp that gets in: ageing and damp wear it down together."""
    pack, film = packed
    grams = pack.grams or (pack.ml or _USUAL_ML) * USUAL_BULK
    inside = _inside(food, constants, grams)
    if inside is None:
        return days
    area = film_area(grams / USUAL_BULK)
    middle = sqrt(film.low * film.high)
    gains = [
        days_to_critical(inside, permeance(passes), area, max(store.temp_c, 0.0), humid,
                         EVENING_PER_DAY)
        for passes, humid in (
            (film.high, store.rh.high), (middle, store.rh.likely), (film.low, store.rh.low),
        )
    ]  # fmt: skip
    if pack.opened:
        air = max(0.3 * grams / USUAL_BULK, (pack.ml or 0.0) - grams)
        room = openings_to_critical(inside, air, max(store.temp_c, 0.0), store.rh.likely)
        gains = [min(gain, 7 * room / OPENINGS_A_WEEK) for gain in gains]
    low, likely, high = (
        _together(day, gain)
        for day, gain in zip((days.low, days.likely, days.high), gains, strict=True)
    )
    if low > 0.97 * days.low:
        return days
    said = f"damp of {100 * store.rh.likely:.0f} % air gets in"
    return Range(low, likely, high, days.assumes, "the damp that gets in", days.sources).noting(
        said, sources=("mem-labuza-pack",)
    )


def _together(ageing: float, damp: float) -> float:
    """Days until two kinds of wear together use up what each alone would in its own time."""
    return 0.0 if damp <= 0 or ageing <= 0 else 1 / (1 / ageing + 1 / damp)


def _inside(food: Food, constants: FoodConstants, grams: float) -> Inside | None:
    rest = constants.isotherm
    solids = 1 - food.water_likely
    if rest is None or solids <= 0:
        return None
    share = min(0.95, food.sugar_fraction / solids)
    start, most = constants.end_likely, max(constants.end_high, constants.end_likely + 0.01)
    return Inside(
        grams * (1 - start), dry_basis(start), dry_basis(most),
        lambda activity: mixture_moisture(min(activity, 0.99), share, rest),
        mixture_activity(start, share, rest),
    )  # fmt: skip


def pack_of(slots: Mapping[str, object], words: str = "") -> Pack:
    """A pack from the slots of a lot fact or a stock line.

    Args:
        slots: vessel, seal, vessel_ml, vessel_count or count, dry_g or remaining_g, place, opened.
        words: what was said of it, for the kind of bag.
    """

    def figure(*names: str) -> float | None:
        for name in names:
            value = slots.get(name)
            if isinstance(value, int | float) and not isinstance(value, bool) and value > 0:
                return float(value)
        return None

    grams, count = figure("remaining_g", "grams", "dry_g"), figure("vessel_count", "count") or 1.0
    vessel, seal = slots.get("vessel"), slots.get("seal")
    place = str(slots.get("place") or "")
    lit = any(word in place for word in LIT)
    return Pack(
        str(vessel) if vessel else None, str(seal) if seal else None,
        words or str(slots.get("wrap") or ""), figure("vessel_ml"),
        None if grams is None else grams / count, bool(slots.get("opened")), lit,
    )  # fmt: skip
