"""Which batch a statement is about: by food, day, form, stage, and what was spoken of last."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from stillroom.base.statement import Statement
from stillroom.journal.hints import day_hint
from stillroom.journal.records import Batch, is_open
from stillroom.journal.world import day_of

JAR_SIGNS = frozenset(
    {"loose", "clumping", "condensation", "sticking", "no-mould", "mould", "insects", "off-smell"}
)
PICKLE_SIGNS = frozenset({"cloudy", "fizzing"})
SEAL_SIGNS = frozenset({"seal-held", "seal-failed", "faded"})
_BY_ORDER = {"first": 0, "old": 0, "second": 1, "third": 2, "last": -1}
_FALLBACK = ("drying", "conditioning", "in-hand", "stored", "refrigerated")


@dataclass(frozen=True)
class Choice:
    """The batch taken, and the others that fit as well."""

    name: str | None
    rivals: tuple[str, ...] = ()


def stages_for(item: Statement, pickled: bool) -> Sequence[str]:
    """The stages that an act speaks of, likeliest first."""
    if pickled:
        return ("refrigerated",)
    signs = set(item.sign)
    if item.act == "look":
        if signs & PICKLE_SIGNS:
            return ("refrigerated", "stored", "conditioning")
        if signs & SEAL_SIGNS:
            return ("stored", "refrigerated", "conditioning")
        if signs & JAR_SIGNS or item.day is not None:
            return ("conditioning", "stored", "drying", "refrigerated", "in-hand")
        return ("drying", "conditioning", "stored", "in-hand", "refrigerated")
    if item.act == "weigh":
        return ("drying", "conditioning", "in-hand", "stored", "refrigerated")
    if item.act == "use":
        if "discarded" in signs and not item.dried:
            return ("conditioning", "refrigerated", "stored", "drying", "in-hand")
        kept = ("stored", "refrigerated", "conditioning", "drying")
        return kept if item.dried or item.vessel == "jar" else (*kept, "in-hand")
    return _STAGES.get(item.act, _FALLBACK)


_STAGES: dict[str, Sequence[str]] = {
    "pack": ("drying", "conditioning", "in-hand", "stored", "refrigerated"),
    "blend": ("stored", "conditioning", "drying"),
    "brine": ("in-hand",),
}


def choose(
    item: Statement,
    batches: Iterable[Batch],
    spoken: Sequence[str],
    now: datetime,
    stages: Sequence[str],
) -> Choice:
    """The batch that fits best.

    Args:
        item: the statement.
        batches: all that may be meant.
        spoken: batches that this note spoke of, newest last.
        now: the clock.
        stages: stages that may be meant, likeliest first.
    """
    fits = [batch for batch in batches if is_open(batch) and batch["stage"] in stages
            and _food_fits(item, batch)]  # fmt: skip
    if not fits:
        return Choice(None)
    fits = _pointed_at(item, fits, spoken, now)
    scored = sorted(fits, key=lambda batch: _score(item, batch, spoken, stages, now))
    best = scored[0]
    top = _score(item, best, spoken, stages, now)[:-2]
    rivals = [other["name"] for other in scored[1:]
              if _score(item, other, spoken, stages, now)[:-2] == top]  # fmt: skip
    if best["name"] in spoken:
        rivals = []
    return Choice(best["name"], tuple(rivals))


def _food_fits(item: Statement, batch: Batch) -> bool:
    if item.food is None:
        return True
    return batch["food"] == item.food


def _days(batch: Batch) -> set[object]:
    """The calendar days that a batch may be called by: begun, loaded, jarred."""
    days = [batch["begun"], batch["loaded"], batch["drying_since"]]
    return {day_of(day) for day in days if day}


def _pointed_at(
    item: Statement, fits: list[Batch], spoken: Sequence[str], now: datetime
) -> list[Batch]:
    """Those that "today's", "the other", "the first" point at; all when none fits."""
    if len(fits) < 2:
        return fits
    hint = day_hint(item.text, now.date())
    if item.which in ("today", "yesterday"):
        hint = day_hint(item.which, now.date())
    if hint is not None:
        narrowed = [batch for batch in fits if hint in _days(batch)]
        fits = narrowed or fits
    ordered = sorted(fits, key=lambda batch: (batch["begun"], batch["touched"]))
    if item.which in _BY_ORDER:
        at = _BY_ORDER[item.which]
        return [ordered[at]] if at < len(ordered) else fits
    if item.which in ("bigger", "smaller") and all(batch["fresh_g"] for batch in fits):
        by_mass = sorted(fits, key=lambda batch: batch["fresh_g"] or 0.0)
        return [by_mass[-1 if item.which == "bigger" else 0]]
    if item.which in ("other", "another") and spoken:
        return [batch for batch in fits if batch["name"] != spoken[-1]] or fits
    return fits


def _score(
    item: Statement, batch: Batch, spoken: Sequence[str], stages: Sequence[str], now: datetime
) -> tuple[float, ...]:
    """Lower is better; the last two places only order what fits equally well."""
    powdered = batch["form"] == "powdered"
    mix = batch["food"] is None and item.food is not None
    form = 0.0 if item.cut is None or item.cut == batch["form"] else 1.0
    if (item.cut == "powdered") != powdered:
        form += 2.0
    lately = spoken.index(batch["name"]) if batch["name"] in spoken else -1
    impossible = _too_heavy(item, batch)
    vessel = _vessel_misses(item, batch)
    return (
        float(mix), float(impossible), form, -float(lately), float(stages.index(batch["stage"])),
        _day_misses(item, batch, now), vessel, _not_ready(item, batch),
        -float(batch["touched"]), -datetime.fromisoformat(batch["begun"]).timestamp(),
    )  # fmt: skip


def _too_heavy(item: Statement, batch: Batch) -> bool:
    """Whether a reading is more than the food ever weighed."""
    if item.act != "weigh" or item.amount is None or item.amount.si_unit != "g":
        return False
    return batch["fresh_g"] is not None and item.amount.si_likely > 1.1 * batch["fresh_g"]


def _not_ready(item: Statement, batch: Batch) -> float:
    """Jarring speaks of what is dry before what is not; throwing out, of what is mouldy."""
    if "discarded" in item.sign:
        return 0.0 if batch["mould"] else 1.0
    if item.act in ("pack", "blend"):
        return 0.0 if batch["dried"] else 1.0
    return 0.0


def _day_misses(item: Statement, batch: Batch, now: datetime) -> float:
    jar = batch["jar"]
    if item.day is None or jar is None:
        return 0.0
    at = item.at or now
    return 0.0 if (at.date() - day_of(jar["since"])).days == item.day else 1.0


def _vessel_misses(item: Statement, batch: Batch) -> float:
    """How many of the place and vessel said are another's; only where things stand packed."""
    if item.act in ("pack", "load", "have") or batch["stage"] not in ("stored", "refrigerated"):
        return 0.0
    misses = 0.0
    for key in ("place", "vessel", "vessel_ml"):
        said = getattr(item, key)
        if said is not None and all(dict(line).get(key) != said for line in batch["stock"]):
            misses += 1.0
    return misses
