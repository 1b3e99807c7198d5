"""Statements into deeds: which batch each is about, and what it does to it.

``plan`` is pure: it reads the journal's present state and gives back deeds. They are stored with
the note, so that no later change of these rules alters what was kept.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from stillroom.base.statement import Statement
from stillroom.journal.amend import other_meant, plan_amend
from stillroom.journal.divide import plan_divide
from stillroom.journal.draft import Draft
from stillroom.journal.fresh import open_of, plan_have, plan_load
from stillroom.journal.hints import (
    forgets,
    is_half_unit,
    is_rest,
    is_taken,
    ordinal_said,
    owned_day,
    share_said,
)
from stillroom.journal.jars import plan_pack
from stillroom.journal.juicing import plan_juice
from stillroom.journal.looks import plan_look, plan_weigh
from stillroom.journal.mixing import make_mix, plan_blend, plan_brine
from stillroom.journal.records import Batch, Deed, Question, is_open
from stillroom.journal.uses import exclude, plan_use


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
        if not (item.whatif or item.intended):
            known = item if item.batch in draft.world.batches else item.having(batch=None)
            known = _pointed(draft, _filled(known), statements)
            name = _kept(draft, index, known) or name
        named.append(item if name is None else item.having(batch=name))
    return Drafted(tuple(named), tuple(draft.deeds), tuple(draft.questions), tuple(draft.lines))


def _kept(draft: Draft, index: int, item: Statement) -> str | None:
    """What a statement does; a mix of a recipe is made as the caller worked it out, or not."""
    if item.juice:
        return plan_juice(draft, item)
    if index not in draft.made:
        return _HANDLERS[item.act](draft, item)
    made = draft.made[index]
    return None if made is None else make_mix(draft, item, made)


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


def _pointed(draft: Draft, item: Statement, statements: Sequence[Statement]) -> Statement:
    """The statement with what its sentence says of which batch is meant.

    "The second lot of shredded plums is crisp, 105 g" gives a look and a weight; the words that
    tell the batch may stand in one of them alone.
    """
    if item.act not in ("weigh", "look", "pack", "use") or item.batch or item.food is None:
        return item
    alike = [batch for batch in draft.world.batches.values()
             if is_open(batch) and batch["food"] == item.food]  # fmt: skip
    if len(alike) < 2:
        return item
    text = draft.sentence(item)
    near = [other for other in statements if other.food == item.food and other.cut
            and draft.sentence(other) == text]  # fmt: skip
    forms = {batch["form"] for batch in alike}
    cut = item.cut or next((other.cut for other in near if other.cut in forms), None)
    which = item.which if item.which != "another" else ordinal_said(text) or item.which
    return item.having(cut=cut, which=which or ordinal_said(text) or owned_day(text))


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
        return plan_use(draft, item)
    return plan_divide(draft, item) or plan_have(draft, item)


def _plan_ask(draft: Draft, item: Statement) -> str | None:
    """A question keeps nothing; it only finds its batch."""
    mix = draft.mix_named(item)
    if mix is not None:
        return mix["name"]
    if item.food is None and item.batch is None:
        return _alone_on_trays(draft) if item.about == "energy" else None
    asked = len(draft.questions)
    if item.amount is not None and item.about in _OF_MORE and not item.dried:
        batch = draft.pick(item, ("in-hand",))  # so much more of it, not what dries already
    else:
        batch = draft.pick(item, _ASKED_OF)
    del draft.questions[asked:]
    return batch["name"] if batch else None


def _alone_on_trays(draft: Draft) -> str | None:
    """The batch that dries alone: what the power goes into."""
    on = [b["name"] for b in draft.world.batches.values() if b["stage"] == "drying"]
    return on[0] if len(on) == 1 else None


def _plan_set(draft: Draft, item: Statement) -> str | None:
    air = next((sign for sign in item.sign if sign in ("damp", "dry")), None)
    draft.do(
        "set", None, trays=item.trays, temperature_c=item.temperature_c, air=air,
        altitude_m=item.altitude_m, price_per_kwh=item.price_per_kwh, currency=item.currency,
        measure=item.measure, humidity=item.humidity,
    )  # fmt: skip
    return None


def _plan_amend(draft: Draft, item: Statement) -> str | None:
    return exclude(draft, item) if forgets(item.text) else plan_amend(draft, item)


_ASKED_OF = ("drying", "conditioning", "in-hand", "stored", "refrigerated")
_OF_MORE = frozenset({"yield", "time", "loading", "energy", "jar", "plan", "temperature"})
"""Questions that, with an amount, are about fresh food yet to be dried."""
_HANDLERS: dict[str, Callable[[Draft, Statement], str | None]] = {
    "have": _plan_have, "load": _plan_load, "weigh": plan_weigh, "look": plan_look,
    "pack": plan_pack, "use": plan_use, "blend": plan_blend, "brine": plan_brine,
    "ask": _plan_ask, "amend": _plan_amend, "set": _plan_set,
}  # fmt: skip
