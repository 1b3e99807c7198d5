"""Statements into deeds: which batch each is about, and what it does to it.

``plan`` is pure: it reads the journal's present state and gives back deeds. They are stored with
the note, so that no later change of these rules alters what was kept.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from stillroom.base.statement import Statement
from stillroom.journal.amend import other_meant, plan_amend
from stillroom.journal.deeds import REDRY_SIGNS
from stillroom.journal.draft import Draft
from stillroom.journal.fresh import open_of, plan_have, plan_load
from stillroom.journal.hints import (
    all_jars,
    forgets,
    goes_into,
    is_all,
    is_both,
    is_half_unit,
    is_put_in,
    is_rest,
    is_some,
    is_taken,
    names_contents,
    share_said,
)
from stillroom.journal.jars import plan_blend, plan_brine, plan_pack
from stillroom.journal.records import Batch, Deed, Question, is_open

_DRY = frozenset({"dry", "crisp", "brittle", "crumbly"})
_BENDS = frozenset({"leathery", "pliable"})
_NOT_DRY = frozenset({"tacky", "soft", "sticking", "damp"})


@dataclass(frozen=True)
class Drafted:
    """What a note would do.

    Args:
        statements: as given, each with its batch.
        deeds: in order.
        questions: where two batches fit.
        lines: short sentences on what was done.
    """

    statements: tuple[Statement, ...]
    deeds: tuple[Deed, ...]
    questions: tuple[Question, ...]
    lines: tuple[str, ...]


def plan(draft: Draft, statements: Sequence[Statement]) -> Drafted:
    """Work through the statements of a note.

    Args:
        draft: the note and the journal as they are.
        statements: in the order of the note; amends are done by the caller's ``amend``.
    """
    meant = other_meant(draft)
    if meant is not None:
        told = tuple(item.having(act="amend", amount=None, batch=meant) for item in statements)
        return Drafted(told, tuple(draft.deeds), (), tuple(draft.lines))
    named: list[Statement] = []
    for index, said in enumerate(statements):
        draft.index = index
        item = _short_name(draft, said)
        name = item.batch
        if not item.whatif:
            known = item if item.batch in draft.world.batches else item.having(batch=None)
            name = _HANDLERS[item.act](draft, _filled(known)) or name
        named.append(item if name is None else item.having(batch=name))
    return Drafted(tuple(named), tuple(draft.deeds), tuple(draft.questions), tuple(draft.lines))


def _short_name(draft: Draft, item: Statement) -> Statement:
    """The statement with its food in full: "the beans" may be the only green beans there are."""
    named = _named(draft, item)
    if named is not None:
        counted = item.amount is not None and item.amount.si_unit == "count"
        return item.having(batch=named["name"], food=named["food"] or item.food,
                           amount=None if counted else item.amount)  # fmt: skip
    if item.food is None or item.batch or item.act not in ("weigh", "look", "pack", "use"):
        return item
    foods = {batch["food"] for batch in draft.world.batches.values() if is_open(batch)}
    longer = [food for food in foods if food and food.endswith(f" {item.food}")]
    return item.having(food=longer[0]) if item.food not in foods and len(longer) == 1 else item


def _named(draft: Draft, item: Statement) -> Batch | None:
    """The batch that the words name outright ("tomato-2 is crisp")."""
    if item.batch or not any(char.isdigit() for char in item.text):
        return None
    words = {word.strip(".,;:!?()'’s").lower() for word in item.text.split()}
    found = [batch for name, batch in draft.world.batches.items() if name in words]
    return found[0] if len(found) == 1 else None


def _filled(item: Statement) -> Statement:
    """The statement with the part and the pointing that its words give but its slots do not."""
    if item.act in ("ask", "set", "amend"):
        return item
    share, which = item.share, item.which
    if share is not None and is_half_unit(item.text):
        share = None
    if share is None and item.amount is None:
        share = share_said(item.text)
    if which is None and share is None and item.amount is None and is_rest(item.text):
        which = "rest"
    return (
        item
        if (share, which) == (item.share, item.which)
        else item.having(share=share, which=which)
    )


# weigh and look


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


def _unknown(draft: Draft, item: Statement, stage: str) -> Batch | None:
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


def _plan_weigh(draft: Draft, item: Statement) -> str | None:
    batch = draft.pick(item) or _unknown(draft, item, "drying")
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


def _plan_look(draft: Draft, item: Statement) -> str | None:
    many = _several(draft, item)
    for one in many:
        _look_at(draft, item, one)
    if many:
        return many[-1]["name"]
    pickled = bool(set(item.sign) & {"cloudy", "fizzing"})
    stage = "refrigerated" if pickled else _look_stage(item)
    batch = draft.pick(item) or _unknown(draft, item, stage)
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
    if not all_jars(text) or names_contents(text) or draft.spoken:
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


# load, use, ask, set


def _plan_load(draft: Draft, item: Statement) -> str | None:
    """On trays; "back in the jars" is jarring."""
    on_trays = item.trays or item.temperature_c or item.surface
    if item.vessel and not on_trays:
        return plan_pack(draft, item)
    return plan_load(draft, item)


def _plan_have(draft: Draft, item: Statement) -> str | None:
    """Food in hand; "took 60 g of it" is taking when there is some in store."""
    taken = is_taken(item.text) and item.amount is not None and not item.prep
    if taken and open_of(draft, item, ("stored", "conditioning", "refrigerated")):
        return _plan_use(draft, item)
    return plan_have(draft, item)


def _plan_use(draft: Draft, item: Statement) -> str | None:
    if forgets(item.text):
        return _exclude(draft, item)
    if _is_packing(item):
        return plan_pack(draft, item)
    batch = draft.pick(item) or _unknown_use(draft, item)
    if batch is None:
        return None
    grams, _ = draft.grams(item, batch["form"], True)
    text = draft.sentence(item)
    discarded = "discarded" in item.sign
    slots: dict[str, Any] = {"grams": grams, "share": item.share, "place": item.place}
    slots |= _vessels_taken(item, batch)
    if item.amount is None and item.share is None and "count" not in slots:
        unsaid = discarded and not is_some(item.text)
        wide = item.which in ("all", "rest") or is_all(item.text) or is_all(_own(item, text))
        if unsaid or wide or _one_vessel(item, batch):
            slots["all"] = True
    if batch["stage"] in ("stored", "refrigerated"):
        slots["vessel"], slots["vessel_ml"] = item.vessel, item.vessel_ml
    draft.do("use", batch["name"], at=draft.at(item), discarded=discarded or None, **slots)
    return batch["name"]


def _vessels_taken(item: Statement, batch: Batch) -> dict[str, Any]:
    """Whole vessels that are used or thrown out: of stock, or of several conditioning jars."""
    if item.amount is not None or item.vessel_count is None or item.share is not None:
        return {}
    jar = batch["jar"]
    if batch["stock"]:
        return {"count": item.vessel_count}
    if jar is None or (jar["count"] or 1) <= item.vessel_count:
        return {}
    return {"count": item.vessel_count, "share": item.vessel_count / (jar["count"] or 1)}


def _is_packing(item: Statement) -> bool:
    """A powder that "went in a jar" was put away, not eaten."""
    told = item.amount or item.share or "discarded" in item.sign
    return not told and item.vessel is not None and is_put_in(item.text)


def _own(item: Statement, text: str) -> str:
    """The sentence, when it holds little more than the statement."""
    return text if len(text) < 2 * len(item.text) + 12 else ""


def _one_vessel(item: Statement, batch: Batch) -> bool:
    """Whether the only vessel there is is meant ("used the jar of leeks")."""
    return (
        item.vessel is not None
        and len(batch["stock"]) == 1
        and (batch["stock"][0]["count"] or 1) <= 1
        and item.vessel == batch["stock"][0]["vessel"]
    )


def _unknown_use(draft: Draft, item: Statement) -> Batch | None:
    """Thrown out without ever being told of is still a batch with an end; used is only asked."""
    if "discarded" in item.sign:
        return _unknown(draft, item, "stored")
    if item.food is not None:
        draft.questions.append(Question(
            draft.index, f"I have no {item.food} written down to take that from. Was it packed?"
        ))  # fmt: skip
    return None


def _exclude(draft: Draft, item: Statement) -> str | None:
    open_or_not = [batch for batch in draft.world.batches.values()
                   if item.food in (None, batch["food"])]  # fmt: skip
    if item.batch in draft.world.batches:
        name: str | None = item.batch
    else:
        newest = max(open_or_not, key=lambda batch: batch["touched"], default=None)
        name = newest["name"] if newest else None
    if name:
        draft.do("exclude", name)
        draft.lines.append(f"I leave {name} out of what I learn from.")
    return name


def _plan_ask(draft: Draft, item: Statement) -> str | None:
    """A question keeps nothing; it only finds its batch."""
    if item.food is None and item.batch is None:
        return None
    asked = len(draft.questions)
    batch = draft.pick(item, ("drying", "conditioning", "in-hand", "stored", "refrigerated"))
    del draft.questions[asked:]
    return batch["name"] if batch else None


def _plan_set(draft: Draft, item: Statement) -> str | None:
    air = next((sign for sign in item.sign if sign in ("damp", "dry")), None)
    draft.do(
        "set", None, trays=item.trays, temperature_c=item.temperature_c, air=air,
        altitude_m=item.altitude_m, price_per_kwh=item.price_per_kwh, currency=item.currency,
        measure=item.measure,
    )  # fmt: skip
    return None


def _plan_amend(draft: Draft, item: Statement) -> str | None:
    return _exclude(draft, item) if forgets(item.text) else plan_amend(draft, item)


_HANDLERS: dict[str, Callable[[Draft, Statement], str | None]] = {
    "have": _plan_have, "load": _plan_load, "weigh": _plan_weigh, "look": _plan_look,
    "pack": plan_pack, "use": _plan_use, "blend": plan_blend, "brine": plan_brine,
    "ask": _plan_ask, "amend": _plan_amend, "set": _plan_set,
}  # fmt: skip
