"""Looks and readings of the scale, turned into deeds."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from stillroom.base.statement import Statement
from stillroom.journal.draft import Draft
from stillroom.journal.dryer import REDRY_SIGNS
from stillroom.journal.hints import (
    all_jars,
    all_of_them,
    goes_into,
    is_both,
    names_contents,
    shakes,
)
from stillroom.journal.jars import plan_pack
from stillroom.journal.records import Batch, is_open

_DRY = frozenset({"dry", "crisp", "brittle", "crumbly"})


_BENDS = frozenset({"leathery", "pliable"})


_NOT_DRY = frozenset({"tacky", "soft", "sticking", "damp"})


def _is_done(draft: Draft, batch: Batch, signs: Sequence[str]) -> bool | None:
    """Whether these signs say that the food is dry; None when they do not settle it."""
    said = set(signs)
    if said & _NOT_DRY:
        return False
    if said & _DRY:
        return True
    if said & _BENDS:
        pliable = draft.know.of(batch["food"]).pliable or batch["form"] == "pureed"
        return True if pliable else None
    return None


def unknown(draft: Draft, item: Statement, stage: str) -> Batch | None:
    """A batch that was never told of before: it is taken up where it is now."""
    if item.food is None:
        return None
    name = draft.name_for(item.food)
    since = None
    if stage == "conditioning" and item.day is not None:
        from datetime import timedelta

        since = (datetime.fromisoformat(draft.at(item)) - timedelta(days=item.day)).isoformat()
    draft.do("begin", name, food=item.food, at=draft.at(item), stage=stage, since=since,
             form=item.cut, place=item.place, vessel=item.vessel)  # fmt: skip
    return draft.get(name)


def plan_weigh(draft: Draft, item: Statement) -> str | None:
    """A reading of the scale."""
    batch = draft.pick(item) or unknown(draft, item, "drying")
    if batch is None:
        return None
    grams, guessed = draft.grams(item, batch["form"], batch["dried"])
    _describe_seen(draft, item, batch)
    done = _is_done(draft, batch, item.sign)
    if item.sign:
        _look_at(draft, item, batch)
    if grams is not None and not guessed:
        draft.do("weigh", batch["name"], grams=grams, tray=item.tray, tare_g=item.tare_g,
                 at=draft.at(item), done=done or None)  # fmt: skip
    return _goes_on(draft, item, batch)


def _goes_on(draft: Draft, item: Statement, batch: Batch) -> str:
    """A look or weighing whose stretch goes on into a jar packs it as well."""
    if batch["stage"] == "drying" and item.vessel and goes_into(item.text):
        jarred = item.having(act="pack", amount=None, sign=(), batch=batch["name"])
        return plan_pack(draft, jarred) or batch["name"]
    return batch["name"]


def _describe_seen(draft: Draft, item: Statement, batch: Batch) -> None:
    """Slots that come along with a look or weighing of food that is drying."""
    if batch["stage"] == "drying" and (item.temperature_c or item.trays):
        draft.do("describe", batch["name"], temperature_c=item.temperature_c, trays=item.trays)


def _look_stage(item: Statement) -> str:
    if item.day is not None:
        return "conditioning"
    jar: object = (
        item.vessel or item.place or set(item.sign) & {"off-smell", "insects", "seal-failed"}
    )
    return "stored" if jar else "drying"


def plan_look(draft: Draft, item: Statement) -> str | None:
    """How food on trays or in jars looks."""
    many = _several(draft, item)
    for one in many:
        _look_at(draft, item, one)
    if many:
        return many[-1]["name"]
    pickled = bool(set(item.sign) & {"cloudy", "fizzing"})
    stage = "refrigerated" if pickled else _look_stage(item)
    batch = draft.pick(item) or unknown(draft, item, stage)
    if batch is None:
        return None
    _describe_seen(draft, item, batch)
    _look_at(draft, item, batch)
    return _goes_on(draft, item, batch)


def _several(draft: Draft, item: Statement) -> list[Batch]:
    """All batches that one look is about ("shook the jars", "both lots")."""
    text = draft.sentence(item)
    food = item.food
    if _any_jars(draft, item, text):
        food = None
    elif item.which not in ("both", "all") and not is_both(item.text):
        return []
    shut = [batch for batch in draft.world.batches.values()
            if is_open(batch) and food in (None, batch["food"])]  # fmt: skip
    jarred = [batch for batch in shut if batch["stage"] == "conditioning"]
    trays = [batch for batch in shut if batch["stage"] == "drying"]
    fits = jarred or trays
    return fits if len(fits) > 1 else []


def _any_jars(draft: Draft, item: Statement, text: str) -> bool:
    """Whether all jars are meant, whatever food was spoken of before this note."""
    said = all_jars(text) or (shakes(text) and (item.which == "all" or all_of_them(text)))
    if not said or names_contents(text) or draft.spoken:
        return False
    stem = (item.food or "").split(" ")[-1][:4].lower()
    return item.food is None or stem not in text.lower()


def _look_at(draft: Draft, item: Statement, batch: Batch) -> None:
    signs = list(item.sign)
    kept_apart = "loose" in signs and "clumping" in signs
    redry = any(sign in REDRY_SIGNS for sign in signs) and not (
        kept_apart and not set(signs) & {"condensation", "sticking", "tacky", "damp"}
    )
    jarred = batch["stage"] in ("conditioning", "stored")
    draft.do(
        "look", batch["name"], at=draft.at(item), signs=signs, day=item.day,
        done=_is_done(draft, batch, signs), redry=True if redry and jarred else None,
    )  # fmt: skip
