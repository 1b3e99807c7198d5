"""What stands on the shelves: stock, what to use first, how long it lasts, jars alike, juice."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from stillroom.base.statement import Statement
from stillroom.talk.answer import Answer, Reply
from stillroom.talk.label_text import mix_title

if TYPE_CHECKING:
    from stillroom.journal.pantry import Pace
    from stillroom.talk.session import Session

JUICE_RULE = "sums.jelly"
_JUICE = re.compile(r"\bjuices?\b", re.I)
_PACE = re.compile(
    r"\bwill\b.{0,40}\blast\b|\bat (this|that|our|my) (rate|pace)\b|\blast (me|us)\b|\brun out\b|"
    r"\b(last|enough|do)\b.{0,30}\b(until|till|to|through|for the)\b.{0,20}"
    r"\b(winter|spring|summer|autumn|season|harvest|year|next|christmas|easter)\b|\ba week\b",
    re.I,
)


def stock_line(line: Mapping[str, Any], answer: Answer, session: Session) -> str:
    """One line of stock as a sentence."""
    from stillroom.base.quantity import show

    food = str(line.get("food") or "")
    name = session.names.get(food, food) or mix_title(line)
    left = line.get("remaining_g")
    mass = show(left, "g", answer.measure) if left is not None else "amount not weighed"
    best = f", best by {line['best_by']}" if line.get("best_by") else ""
    many = line.get("count") or 1
    vessel = str(line.get("vessel") or "vessel")
    plural = "es" if vessel.endswith("x") else "s"
    count = f"{many:g} {vessel}{plural if many > 1 else ''}"
    place = f", {line['place']}" if line.get("place") else ""
    return f"{name.capitalize()} ({line['batch']}): {count}, {mass}{place}{best}."


def stock_reply(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    """What there is; of juice, what is kept and whether it makes jelly."""
    if _JUICE.search(item.asked or item.text):
        told = next((r for r in answer.advice.rulings if r.rule == JUICE_RULE), None)
        if told is not None:
            return Reply(told.text, "stock", sources=told.sources)
    if _PACE.search(item.asked or item.text) and item.food:
        return lasting_reply(session, answer, item, now)
    lines = [
        line for line in session.journal.stock() if not item.food or line.get("food") == item.food
    ]
    if not lines:
        return _none(session, item)
    texts = [stock_line(line, answer, session) for line in lines]
    foods = {str(line.get("food")) for line in lines}
    texts += alike_lines(session, foods)
    texts += [pace_line(row, answer, session) for row in session.journal.pace(now)
              if row["food"] in foods and row["weeks"] is not None]  # fmt: skip
    return Reply(texts[0], "stock", detail=tuple(texts[1:]))


def _none(session: Session, item: Statement) -> Reply:
    waiting = [batch for batch in session.journal.open_batches() if item.food
               and batch["food"] == item.food
               and batch["stage"] in ("in-hand", "drying", "conditioning")]  # fmt: skip
    name = session.names.get(item.food or "", "that")
    if waiting:
        stage = waiting[0]["stage"]
        return Reply(f"No {name} in stock yet; {waiting[0]['name']} is {stage}.", "stock")
    return Reply(f"There is no {name} in stock." if item.food else "The stock is empty.", "stock")


def use_first_reply(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    """The stock in the order in which to use it."""
    stock = session.journal.stock()
    if not stock:
        return Reply("The stock is empty, so there is nothing to use first.", "use-first")
    order = sorted(stock, key=lambda line: (line.get("best_by") or "9999", line["packed"] or ""))
    texts = [stock_line(line, answer, session) for line in order]
    return Reply(
        f"Use first: {texts[0][0].lower()}{texts[0][1:]}", "use-first", detail=tuple(texts[1:5])
    )


# how long it lasts


def asks_pace(item: Statement) -> bool:
    """Whether a question is about lasting at the pace of use, not about keeping."""
    return item.food is not None and bool(_PACE.search(item.asked or item.text))


def lasting_reply(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    """Whether a food lasts at the pace at which it was used."""
    rows = session.journal.pace(now, item.food)
    name = session.names.get(item.food or "", "that")
    lines = [stock_line(line, answer, session) for line in session.journal.stock()
             if line.get("food") == item.food]  # fmt: skip
    if not lines:
        return _none(session, item)
    if not rows:
        return Reply(
            f"I cannot tell the pace of {name} yet: that takes a week of use, and stock that was "
            "weighed.", "stock", detail=tuple(lines),
        )  # fmt: skip
    if rows[0]["weeks"] is None:
        text = f"None of the dried {name} was used in the last weeks, so they last; go by best-by."
        return Reply(text, "stock", detail=tuple(lines))
    return Reply(pace_line(rows[0], answer, session), "stock", detail=tuple(lines))


def pace_line(row: Pace, answer: Answer, session: Session) -> str:
    """How long a food lasts at the pace of the last weeks, and whether to its next season."""
    from stillroom.base.quantity import show

    name = session.names.get(row["food"], row["food"])
    week = show(row["per_week_g"], "g", answer.measure, both=False)
    left = show(row["left_g"], "g", answer.measure, both=False)
    until = row["lasts_until"]
    head = f"Dried {name}: about {week} a week; the {left} left last until {_when(until)}"
    if row["season"] is None or until is None:
        return f"{head}."
    due = _when(row["season"])
    if until >= row["season"]:
        return f"{head}, past the next harvest (about {due})."
    return f"{head}: not to the next harvest (about {due})."


def _when(text: str | None) -> str:
    if text is None:
        return "some time"
    day = date.fromisoformat(text)
    return f"{day.day} {day:%B %Y}"


def short_lines(session: Session, answer: Answer, now: datetime) -> list[str]:
    """The foods that run out before they come in again."""
    return [
        pace_line(row, answer, session) for row in session.journal.pace(now)
        if row["lasts_until"] and row["season"] and row["lasts_until"] < row["season"]
    ]  # fmt: skip


# jars that look alike


def alike_lines(session: Session, foods: set[str] | None = None) -> list[str]:
    """A sentence for each pair of batches that could be mistaken for each other, unlabelled."""
    food_of = {batch["name"]: str(batch["food"]) for batch in session.journal.open_batches()}
    return [
        _alike(session, pair, food_of)
        for pair in session.journal.unlabelled_pairs()
        if foods is None or foods & {food_of.get(name, "") for name in pair}
    ]


def _alike(session: Session, pair: Sequence[str], food_of: Mapping[str, str]) -> str:
    told = [f"{session.names.get(food_of.get(name, ''), name)} ({name})" for name in pair]
    return (
        f"{told[0].capitalize()} and {told[1]} look alike in a jar, and not both are labelled: "
        "label them today."
    )
