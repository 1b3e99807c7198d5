"""The order of work for a glut: what goes on when, and what will not fit before it spoils."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from stillroom.base.fact import Fact, Number
from stillroom.base.statement import Statement
from stillroom.talk.answer import Answer, Reply

if TYPE_CHECKING:
    from stillroom.science.plan import Lot, Plan
    from stillroom.talk.session import Session

USUAL_TRAYS = 5
_MEAT = frozenset({"meat", "poultry", "fish"})


def plan_reply(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    """Runs of the dryer for everything in hand, what spoils first going first."""
    from stillroom.enrich.loads import TRAY_M2
    from stillroom.science.plan import plan_runs

    lots = _waiting(session, answer, now)
    if not lots:
        return Reply("Nothing is waiting: tell me what you have, and how much of it.", "plan")
    kitchen = session.journal.kitchen()
    said = next((s.trays for s in answer.reading.statements if s.act == "set" and s.trays), None)
    trays = said or kitchen.get("trays")
    count = int(trays or USUAL_TRAYS)
    plan = plan_runs(lots, count * TRAY_M2)
    lines = _run_lines(session, plan, now)
    assumed = "" if trays else f" I took {count} trays; tell me how many you have."
    head = lines[0] if lines else "Nothing fits before it spoils."
    return Reply(head, "plan", detail=(*lines[1:], *_left_lines(session, plan),
                                       *((assumed.strip(),) if assumed else ())),
                 sources=("common-practice",))  # fmt: skip


def nothing_waits(session: Session, answer: Answer, now: datetime) -> bool:
    """Whether no food is in hand or drying, so that there is nothing to plan."""
    told = any(item.act != "ask" for item in answer.reading.statements)
    in_hand = any(lot["stage"] == "in-hand" for lot in session.journal.lots(now))
    return not (told or in_hand)


def _waiting(session: Session, answer: Answer, now: datetime) -> list[Lot]:
    """Everything in hand, of this note and of the journal, as the plan sees it."""
    from stillroom.enrich.computed import computed_numbers
    from stillroom.enrich.loads import Kitchen
    from stillroom.science.range import exactly

    slots: dict[str, Mapping[str, Any]] = {
        str(lot["batch"]): lot for lot in session.journal.lots(now) if lot["stage"] == "in-hand"
    }
    for fact in answer.advice.facts:
        if fact.kind == "lot" and fact.get("stage") in ("in-hand", "drying"):
            slots[str(fact.slots["batch"])] = fact.slots
    facts = [Fact("lot", lot) for lot in slots.values()]
    masses = {
        name: exactly(float(lot["fresh_g"]))
        for name, lot in slots.items()
        if isinstance(lot.get("fresh_g"), int | float) and lot["fresh_g"] > 0
    }
    kitchen = Kitchen.from_slots(session.journal.kitchen())
    numbers = [*computed_numbers(facts, session.tables, masses, kitchen), *answer.numbers]
    return [
        lot
        for name, fields in slots.items()
        if (lot := _lot(session, name, str(fields.get("food") or ""), numbers)) is not None
    ]


def _lot(session: Session, name: str, food: str, numbers: Sequence[Number]) -> Lot | None:
    from stillroom.science.plan import Lot

    row = session.tables.foods.get(food)
    own = {number.name: number for number in numbers if number.batch == name}
    if row is None or row.temperature_c is None or "tray_area" not in own:
        return None
    hours = own["drying_time"].likely if "drying_time" in own else 12.0
    return Lot(name, own["tray_area"].likely, hours, row.temperature_c, row.keeps_fresh_days,
               row.smell == "strong", row.group in _MEAT)  # fmt: skip


def _called(session: Session, name: str) -> str:
    stem = name.rpartition("-")[0] or name
    return session.names.get(stem, stem)


def _run_lines(session: Session, plan: Plan, now: datetime) -> list[str]:
    lines = []
    for number, run in enumerate(plan.runs, start=1):
        start = now + timedelta(hours=run.start_h)
        foods = " and ".join(dict.fromkeys(_called(session, name) for name, _ in run.parts))
        when = "now" if run.start_h == 0 else f"{start:%A} about {start:%H}:00"
        lines.append(f"Run {number}, {when}: {foods}, roughly {run.hours:.0f} h; "
                     "go by the dryness test.")  # fmt: skip
    return lines


def _left_lines(session: Session, plan: Plan) -> list[str]:
    names = dict.fromkeys(_called(session, name) for name, _ in plan.left_over)
    return [
        f"{name.capitalize()}: some will spoil before their turn. Freeze them, make refrigerator "
        "pickles, or chill them and dry later."
        for name in names
    ]
