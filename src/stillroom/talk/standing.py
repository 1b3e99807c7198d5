"""What is to do, and where each batch stands: the answers to "what needs doing" and "now what"."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from stillroom.base.statement import Statement
from stillroom.talk.answer import Answer, Reply
from stillroom.talk.shelves import alike_lines, short_lines

if TYPE_CHECKING:
    from stillroom.talk.session import Session

AHEAD_DAYS = 14
"""How far ahead the next thing to do is looked for."""
MOST_BATCHES = 6
_DUE = {
    "shake": "shake {name} and look for clumps and fog",
    "check-dryness": "look whether {name} {are} dry",
    "redry": "put {name} back in the dryer",
    "pack": "pack {name}",
    "label": "label {name}",
    "use-first": "use {name} first",
    "refresh-brine": "check and top up the brine of {name}",
    "eat-by": "eat up {name}",
    "make-jelly": "make jelly for the fridge or freezer: there is enough juice for a batch",
}
_NOUN = {
    "shake": "shake", "check-dryness": "look", "redry": "drying again", "pack": "packing",
    "label": "label", "eat-by": "eat by", "refresh-brine": "brine check",
    "use-first": "use first", "make-jelly": "jelly",
}  # fmt: skip


def due_sentences(
    due: Sequence[Mapping[str, Any]], names: Mapping[str, str], now: datetime
) -> list[str]:
    """One sentence for each job: days that were missed are told with the newest.

    Args:
        due: the journal's list of what is due.
        names: batch to the plural name of its food.
        now: the clock.
    """
    jobs: dict[tuple[str, str], list[Mapping[str, Any]]] = {}
    for item in due:
        jobs.setdefault((str(item["batch"]), str(item["what"])), []).append(item)
    return [_job(items, names, now) for items in jobs.values()]


def job_words(item: Mapping[str, Any], names: Mapping[str, str]) -> str:
    """One due thing without its day, as a calendar wants it."""
    text = _words(item, names)
    return f"{text[:1].upper()}{text[1:]}"


def _job(items: Sequence[Mapping[str, Any]], names: Mapping[str, str], now: datetime) -> str:
    missed = [_short_day(str(item["at"]), now) for item in items[:-1]]
    passed = f" ({_listed(missed)} missed)" if missed else ""
    when = _day(str(items[-1]["at"]), now)
    return f"{when[:1].upper()}{when[1:]}: {_words(items[-1], names)}{passed}."


def _words(item: Mapping[str, Any], names: Mapping[str, str]) -> str:
    batch = str(item["batch"])
    food = names.get(batch)
    name = f"the {food} ({batch})" if food else batch
    are = "are" if food and food.endswith("s") else "is"
    pattern: str = _DUE.get(item["what"], f"{item['what']} {{name}}")
    return pattern.format(name=name, are=are)


def _day(text: str, now: datetime) -> str:
    when = date.fromisoformat(text[:10])
    gap = (when - now.date()).days
    if gap == 0:
        return f"today{_clock(text, now)}"
    named = {1: "tomorrow", -1: "since yesterday"}
    if gap in named:
        return named[gap]
    return f"{'since ' if gap < 0 else ''}{_long_day(when)}"


def _clock(text: str, now: datetime) -> str:
    """The hour of a thing due today, while it is still to come."""
    if len(text) <= len("2026-08-20"):
        return ""
    when = datetime.fromisoformat(text)
    return f" at {when:%H:%M}" if when > now.replace(tzinfo=when.tzinfo) else ""


def _long_day(when: date) -> str:
    return f"{when:%A} {when.day} {when:%B}"


def _short_day(text: str, now: datetime) -> str:
    when = date.fromisoformat(text[:10])
    gap = (now.date() - when).days
    return "yesterday" if gap == 1 else f"{when:%A}" if gap < 7 else f"{when.day} {when:%B}"


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def batch_names(session: Session, lots: Iterable[Mapping[str, Any]]) -> dict[str, str]:
    """The plural name of the food of each batch."""
    return {str(lot["batch"]): session.names[food] for lot in lots
            if (food := str(lot.get("food") or "")) in session.names}  # fmt: skip


def due_reply(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    """What is to do, the oldest first; then how each batch that is under way stands."""
    tomorrow = "tomorrow" in (item.asked or item.text).lower()
    lots = session.journal.lots(now)
    names = batch_names(session, lots)
    mine = {str(lot["batch"]) for lot in lots}
    if item.food:
        mine = {str(lot["batch"]) for lot in lots if lot.get("food") == item.food} or mine
    mine |= {
        f"{food.replace(' ', '-')}-juice"
        for food in ([item.food] if item.food else [*session.names, "mixed"])
    }
    coming = [one for one in session.journal.due(now, ahead=AHEAD_DAYS) if one["batch"] in mine]
    until = (now.date() + timedelta(days=int(tomorrow))).isoformat()
    due = [one for one in coming if str(one["at"])[:10] <= until]
    jobs = due_sentences(due, names, now)
    if not item.food:
        jobs += alike_lines(session)
    under_way = [lot for lot in lots if lot["batch"] in mine]
    stands = _stands(coming, under_way, names, now, answer.measure)
    if not item.food:
        stands += short_lines(session, answer, now)
    if not jobs:
        head = f"Nothing is due {'tomorrow' if tomorrow else 'today'}."
        return Reply(head, "due", detail=tuple(stands))
    head = jobs[0] if len(jobs) == 1 else f"{len(jobs)} things to do. {jobs[0]}"
    return Reply(head, "due", detail=(*jobs[1:], *stands))


def _stands(
    coming: Sequence[Mapping[str, Any]],
    lots: Sequence[Mapping[str, Any]],
    names: Mapping[str, str],
    now: datetime,
    measure: str,
) -> list[str]:
    """A line for each batch that is not yet in stock."""
    lines = []
    for lot in lots:
        told = _stage(measure, lot)
        if not told:
            continue
        batch = str(lot["batch"])
        later = [one for one in coming if one["batch"] == batch and _later(str(one["at"]), now)]
        next_job = ""
        if later:
            job = later[0]
            next_job = f"; next {_NOUN.get(job['what'], job['what'])} {_day(job['at'], now)}"
        name = f"{names[batch].capitalize()} ({batch})" if batch in names else batch
        lines.append(f"{name}: {told}{next_job}.")
    return lines[:MOST_BATCHES]


def _later(text: str, now: datetime) -> bool:
    if len(text) <= len("2026-08-20"):
        return date.fromisoformat(text) > now.date()
    when = datetime.fromisoformat(text)
    return when > now.replace(tzinfo=when.tzinfo)


def _stage(measure: str, lot: Mapping[str, Any]) -> str:
    """How one batch stands; empty for what is in stock."""
    from stillroom.base.quantity import show

    stage = lot["stage"]
    if stage == "in-hand":
        mass = lot.get("fresh_g")
        return f"in hand{', ' + show(mass, 'g', measure) if mass else ''}, not on trays"
    if stage == "drying":
        if lot.get("dried"):
            return "dry, waiting for its jar"
        hours = lot.get("hours")
        return f"drying for {hours:.0f} h" if hours and hours >= 1 else "just begun to dry"
    if stage == "conditioning":
        return f"conditioning, day {lot.get('conditioning_day', 0)}"
    return ""
