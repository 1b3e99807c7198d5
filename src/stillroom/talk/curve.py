"""One batch's drying curve: its weighings against the course that the equations expect."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stillroom.base.problem import Problem, ProblemError
from stillroom.enrich.amounts import trim_loss
from stillroom.enrich.loads import Kitchen
from stillroom.enrich.model import constants_for, model_table, shape_of
from stillroom.outputs.plots import DryingCurve, curve_text, write_curve
from stillroom.science.balance import end_mass, prepared_mass
from stillroom.science.drying import Dryer, Stages, drying_time, stages
from stillroom.science.loading import piece
from stillroom.science.range import Range, exactly
from stillroom.science.refit import WeighIn, remaining_time

if TYPE_CHECKING:
    from stillroom.talk.session import Session

_POINTS = 120
_HEAVY_G = {"us": 1400.0, "metric": 3000.0}
_UNITS = {"us": ("oz", "lb"), "metric": ("g", "kg")}


@dataclass(frozen=True)
class _Course:
    """Mass [g] by hours since loading: fast, likely and slow; and until when to draw [h]."""

    low: Callable[[float], float]
    likely: Callable[[float], float]
    high: Callable[[float], float]
    until: float
    note: str


def draw_curve(session: Session, batch: str, path: Path) -> None:
    """Draw a batch's drying curve to a PNG or SVG file; to a ``.txt`` file in plain letters.

    Raises:
        ProblemError: there is no such batch, it was never on the trays, or the file cannot be
            written.
    """
    curve = curve_of(session, batch)
    if path.suffix.lower() != ".txt":
        write_curve(path, curve)
        return
    from stillroom.outputs.sheets import cannot_write

    try:
        path.write_text(curve_text(curve) + "\n", encoding="utf-8")
    except OSError as error:
        raise cannot_write(path, error) from error


def curve_of(session: Session, name: str, measure: str | None = None) -> DryingCurve:
    """What the curve of a batch shows.

    Without a start weight, or for a food that the equations do not know, only the weighings are
    shown.

    Args:
        session: the conversation.
        name: the batch.
        measure: ``us`` or ``metric``; that of the call, the kitchen or the newest notes when None.

    Raises:
        ProblemError: there is no such batch, or it was never on the trays.
    """
    batch = _batch(session, name)
    start = _start(session, batch)
    points = _weighings(batch)
    course, end = (None, None) if start is None else _expected(session, batch, start, points)
    from stillroom.talk.session import speaker_measure

    measure = (
        measure
        or session.measure
        or str(session.journal.kitchen().get("measure") or "")
        or speaker_measure(session.journal.recent(6), "")
        or "us"
    )
    heaviest = max([mass for _, mass in points] + ([start.likely] if start else []), default=0.0)
    unit = _UNITS[measure][heaviest > _HEAVY_G[measure]]
    food = session.names.get(str(batch["food"]), str(batch["food"] or "food"))
    title = f"{name}: {food}" + (f", {batch['form']}" if batch["form"] else "")
    if start is not None and (not points or points[0][0] > 0):
        points = [(0.0, start.likely), *points]
    shown = tuple(points)
    ends = (end.low, end.likely, end.high) if end is not None else None
    if course is None:
        return DryingCurve(title, (), (), (), (), shown, ends, unit, "No course can be expected.")
    last = max([course.until, *(hours for hours, _ in shown)])
    hours = tuple(last * step / _POINTS for step in range(_POINTS + 1))
    low, likely, high = (
        tuple(mass(hour) for hour in hours) for mass in (course.low, course.likely, course.high)
    )
    return DryingCurve(title, hours, low, likely, high, shown, ends, unit, course.note)


def _batch(session: Session, name: str) -> dict[str, Any]:
    every = session.journal.store.batches(open_only=False)
    if name not in every:
        known = ", ".join(sorted(every)[-6:]) or "none yet"
        raise ProblemError(
            Problem(name="no-batch", text=f"There is no batch {name!r} in the journal.",
                    remedy=f"The newest are: {known}.")
        )  # fmt: skip
    batch = dict(every[name])
    if batch["loaded"] is None:
        raise ProblemError(
            Problem(name="not-loaded", text=f"{name} was never told to be on the trays.",
                    remedy="Say when it went in, such as “the plums went in at nine”.")
        )  # fmt: skip
    return batch


def _start(session: Session, batch: dict[str, Any]) -> Range | None:
    """Mass on the trays at the start [g]: as weighed, else fresh less what was trimmed."""
    if batch["prepared_g"] is not None:
        return exactly(float(batch["prepared_g"]))
    if batch["fresh_g"] is None or batch["fresh_g"] <= 0:
        return None
    if not batch["prep"]:
        return exactly(float(batch["fresh_g"]))
    loss = trim_loss(str(batch["food"]), batch["prep"], session.tables)
    return prepared_mass(float(batch["fresh_g"]), loss)


def _weighings(batch: dict[str, Any]) -> list[tuple[float, float]]:
    """(hours since loading, net g) of the whole load while it dried, in order.

    Readings of single trays stand for the load only where they were all that was weighed and the
    number of trays is known: then the load is taken to be like that tray.
    """
    whole = [item for item in batch["weighings"] if item["tray"] is None]
    times = 1.0
    if not whole and batch["trays"]:
        whole, times = batch["weighings"], float(batch["trays"])
    start = datetime.fromisoformat(batch["loaded"])
    until = batch["dried_at"]
    found: list[tuple[float, float]] = []
    for item in sorted(whole, key=lambda reading: str(reading["at"])):
        hours = (datetime.fromisoformat(item["at"]) - start).total_seconds() / 3600
        if hours >= 0 and (until is None or item["at"] <= until):
            found.append((hours, times * (item["grams"] - item["tare_g"])))
    return found


def _expected(
    session: Session, batch: dict[str, Any], start: Range, points: list[tuple[float, float]]
) -> tuple[_Course | None, Range | None]:
    food = session.tables.foods.get(str(batch["food"]))
    cut = str(batch["form"] or (food.usual_cuts[0] if food and food.usual_cuts else "sliced"))
    constants = constants_for(food.id, session.tables, cut) if food else None
    heat = batch["temperature_c"] or (food.temperature_c if food else None)
    if food is None or constants is None or heat is None:
        return None, None
    kitchen = Kitchen.from_slots(session.journal.kitchen())
    try:
        size = piece(shape_of(food, cut), batch["thickness_mm"], constants.whole_mm)
        dryer = Dryer(float(heat), kitchen.room_c, kitchen.room_rh.likely, kitchen.altitude_m)
        prior = stages(constants, size, dryer, model_table().dryer)
        hours = drying_time(constants, size, dryer, model_table().dryer)
    except ValueError:
        return None, end_mass(start, constants)
    course = _refitted(prior, start.likely, points) or _by_the_book(prior, start.likely, hours)
    return course, end_mass(start, constants)


def _by_the_book(prior: Stages, start_g: float, hours: Range) -> _Course:
    """The published course; the band is the same course at the short and the long drying time."""
    solids = start_g / (1 + prior.start)

    def at(pace: float) -> Callable[[float], float]:
        return lambda hour: solids * (1 + prior.moisture(hour * pace))

    note = f"Band: dry after {hours.low:.0f} to {hours.high:.0f} h; go by the dryness test."
    return _Course(at(hours.likely / hours.low), at(1.0), at(hours.likely / hours.high),
                   hours.high, note)  # fmt: skip


def _refitted(prior: Stages, start_g: float, points: list[tuple[float, float]]) -> _Course | None:
    """The course bent to the weighings; None when there are none or they do not fit."""
    readings = [WeighIn(hours, mass) for hours, mass in points if hours > 0]
    if not readings:
        return None
    try:
        fit = remaining_time(prior, start_g, readings)
    except ValueError:
        return None
    solids, last, left = start_g / (1 + prior.start), readings[-1].hours, fit.remaining

    def at(pace: float) -> Callable[[float], float]:
        def mass(hour: float) -> float:
            later = last + (hour - last) * pace if hour > last else hour
            return solids * (1 + fit.curve(later))

        return mass

    if left.likely <= 0:
        return _Course(at(1), at(1), at(1), last, "The end weight is reached: test for dryness.")
    note = f"Bent to the weighings: {left.low:.0f} to {left.high:.0f} h left at the last one."
    return _Course(at(left.likely / left.low), at(1.0), at(left.likely / left.high),
                   last + left.high, note)  # fmt: skip
