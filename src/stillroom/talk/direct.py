"""Direct answers: one sentence for each thing asked, from the figures, the rulings, the journal."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from stillroom.base.fact import Number, Ruling
from stillroom.base.statement import OVERVIEW, Statement
from stillroom.talk.answer import Answer, Reply
from stillroom.talk.batches import repeats
from stillroom.talk.figures import distinct, figure_sentence, learned
from stillroom.talk.overview import overview_reply
from stillroom.talk.relevance import nearest_first, sharing_reply, takes_up, wants_figure
from stillroom.talk.requests import requested
from stillroom.talk.shelves import asks_pace, lasting_reply, stock_reply, use_first_reply
from stillroom.talk.standing import due_reply
from stillroom.talk.unknown_food import unknown_reply

if TYPE_CHECKING:
    from stillroom.talk.session import Session

FIGURES = {
    "yield": ("fresh_mass", "dry_mass", "end_mass", "dry_volume", "drying_ratio"),
    "time": ("remaining_time", "drying_time", "look_first"),
    "loading": ("tray_count", "load_count", "tray_area"),
    "jar": ("jar_count", "dry_volume"),
    "energy": ("energy", "cost"),
    "shelf-life": ("shelf_life",),
    "brine": ("brine_volume", "vinegar_volume", "water_volume", "salt_mass", "sugar_mass",
              "jar_count"),
    "rehydrate": ("soak_water_volume", "soak_time", "fresh_mass"),
    "mix": ("mix_volume", "mix_mass", "serve_volume"),
    "powder": ("powder_mass", "powder_volume"),
    "substitute": ("fresh_mass", "fresh_volume", "dry_mass"),
    "dryness": ("end_mass", "present_moisture"),
    "pretreat": ("blanch_time",),
}  # fmt: skip
RULES_FIRST = frozenset({"dryness", "pretreat"})
"""Questions that the rules answer before any figure does."""
_TOPICS = {
    "brine": ("brine", "prep", "storage"),
    "jar": ("jar", "brine", "prep"),
    "mix": ("mix", "stock", "serve", "label"),
    "substitute": ("serve", "mix", "rehydrate"),
    "yield": ("dryness",),
}
"""Topics whose rulings answer a question of another name."""
_ANSWERING = (
    "shelf-life.fresh",
    "sums.answer",
    "sums.scraps",
    "sums.enough",
    "sums.tested-recipe",
    "sums.second-batch",
    "sums.dried-for-fresh",
    "sums.salt-first",
    "sums.amounts",
    "sums.can-make",
    "sums.recipe",
    "sums.recipes",
    "sums.taken",
    "sums.for-first",
    "sums.salt-draw",
    "sums.spare",
    "sums.style",
    "sums.brine-enough",
    "sums.at-rest",
    "sums.dried-drinks",
    "sums.fridge-only",
    "sums.damp-air",
    "sums.seal-sound",
    "sums.damp-pieces",
)
"""Sums that are an answer by themselves, in the order in which they are said."""


def direct_replies(session: Session, answer: Answer, now: datetime) -> list[Reply]:
    """A reply to each question of the note, in order."""
    replies, answered = requested(session, answer, now)
    asks = [item for item in answer.reading.statements
            if item.act == "ask" and not any(item.text in part for part in answered)]  # fmt: skip
    shared = sharing_reply(answer, asks)
    replies += [shared] if shared else [_reply(session, answer, item, now) for item in asks]
    if not any(item.act == "ask" for item in answer.reading.statements):
        replies += _unasked(answer)
    quiet = not (answer.reading.statements or answer.advice.cautions or replies)
    if quiet and answer.reading.chat == "outside":
        unknown = unknown_reply(answer.reading.note, session.journal.kitchen(), answer.measure)
        if unknown is not None:
            return [unknown]
    if quiet and answer.reading.chat:
        chat = answer.reading.chat
        replies.append(_help() if chat == "help" else Reply(_small_talk(chat), "chat"))
    return replies


def _reply(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    about = item.about or "why"
    scraps = [r for r in answer.advice.rulings if r.rule == "sums.scraps"]
    if scraps and not answer.stopped:
        sources = tuple(dict.fromkeys(s for r in scraps for s in r.sources))
        return Reply(scraps[0].text, "prep", item.batch, tuple(r.text for r in scraps[1:]), sources)
    maker = _MAKERS.get(about)
    if maker is not None:
        return maker(session, answer, item, now)
    return _from_figures_and_rulings(answer, item, about)


def _unasked(answer: Answer) -> list[Reply]:
    """What the sums found that answers a note without a plain question ("what can I make")."""
    rulings = answer.advice.rulings
    found = [*_first(rulings), *(r for r in rulings if r.rule.startswith("trouble."))]
    replies = [Reply(r.text, r.topic, r.batch, sources=r.sources) for r in found]
    return [*(Reply(text, "stock") for text in _shortage(answer, "mix") if replies), *replies]


def _first(rulings: Sequence[Ruling]) -> list[Ruling]:
    """The sums that are an answer by themselves."""
    found = [r for r in rulings if r.rule in _ANSWERING]
    return sorted(found, key=lambda r: _ANSWERING.index(r.rule))


def _shortage(answer: Answer, about: str) -> list[str]:
    """What stands in the way: said before what goes in a mix or a brine."""
    names = {"mix": ("sums.short", "sums.untracked"), "brine": ("sums.never-less",)}.get(about, ())
    return [c.text for c in answer.advice.cautions if c.rule in names]


def _safe(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    """Whether something is safe: the gravest caution, or what is known, never a guess."""
    cautions = answer.advice.cautions
    if cautions:
        gravest = cautions[0]
        head = "No." if gravest.severity == "stop" else "Take care."
        return Reply(f"{head} {gravest.why or gravest.text}", "safe", item.batch,
                     sources=gravest.sources)  # fmt: skip
    _, rulings = _for_batch(answer, item)
    for ruling in rulings:
        if ruling.rule.startswith("trouble."):
            return Reply(ruling.text, "safe", item.batch, (ruling.why,), ruling.sources)
    said = [r for r in rulings if r.topic in ("storage", "dryness", "packaging", "shelf-life")]
    head = (
        "I have no rule that speaks against it, but I can neither see nor smell it: when in doubt "
        "throw it out, and ask your local extension or food-safety service."
    )
    return Reply(head, "safe", item.batch, tuple(r.text for r in said[:2]),
                 tuple(s for r in said[:2] for s in r.sources))  # fmt: skip


def _for_batch(answer: Answer, item: Statement) -> tuple[list[Number], list[Ruling]]:
    batches = {item.batch} if item.batch else _batches_of(answer, item)
    numbers = [n for n in answer.numbers if n.batch in batches or not batches]
    rulings = [
        r for r in answer.advice.rulings
        if r.batch in batches or r.batch is None or (not batches and r.rule.startswith("sums."))
    ]  # fmt: skip
    return numbers, rulings


def _batches_of(answer: Answer, item: Statement) -> set[str | None]:
    if item.food is None:
        return set()
    lots = [f for f in answer.advice.facts if f.kind == "lot" and f.get("food") == item.food]
    return {str(lot.slots["batch"]) for lot in lots}


def _from_figures_and_rulings(answer: Answer, item: Statement, about: str) -> Reply:
    numbers, rulings = _for_batch(answer, item)
    wanted = FIGURES.get(about, ())
    figures = sorted((n for n in numbers if n.name in wanted), key=lambda n: wanted.index(n.name))
    topics = _TOPICS.get(about, (about,))
    said = sorted(
        (r for r in rulings if r.topic in topics or r.rule == "sums.answer"),
        key=lambda r: (
            not r.rule.startswith("sums."),
            topics.index(r.topic) if r.topic in topics else -1,
            r.priority,
        ),
    )
    counted = wants_figure(item)
    if not counted:
        said = nearest_first(said, item, answer)
        counted = not (said and takes_up(said[0], item, answer))
    told: list[str] = []
    for number in distinct(figures):
        told += [figure_sentence(number, answer.measure), *learned(number)]
    first = [r.text for r in (*_first(said), *_practical(rulings, item))]
    rules = [
        r.text
        for r in said
        if r.text not in first and r.rule not in _ANSWERING and not repeats(r, figures)
    ]
    lines = (
        _shortage(answer, about)
        + first
        + (rules + told if about in RULES_FIRST or not counted else told + rules)
    )
    sources = [s for n in figures for s in n.sources] + [s for r in said for s in r.sources]
    if not lines:
        return Reply(_unknown(answer, item, about), about, item.batch)
    shown = len(first) + (0 if about in ("brine", "jar") else 3) if first else 4
    return Reply(lines[0], about, item.batch, tuple(lines[1:shown]), tuple(dict.fromkeys(sources)))


def _practical(rulings: Sequence[Ruling], item: Statement) -> list[Ruling]:
    """What went wrong, or how the dryer is run: it answers a question that wants no number."""
    if wants_figure(item):
        return []
    return [ruling for ruling in rulings if ruling.rule.startswith("trouble.")]


def _unknown(answer: Answer, item: Statement, about: str) -> str:
    plain = about.replace("-", " ")
    if answer.stopped:
        return "I give no figure for that: first do what the STOP says."
    if item.food:
        name = answer.names.get(item.food, item.food)
        return f"I have no published figure or rule on {plain} for {name}; I will not guess."
    return f"Tell me which food you mean, and I can answer about {plain}."


def _shelf_life(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    """How long it keeps; "will it last?" asks for the pace of use first."""
    keeps = _from_figures_and_rulings(answer, item, "shelf-life")
    if not asks_pace(item):
        return keeps
    lasts = lasting_reply(session, answer, item, now)
    detail = (*lasts.detail, keeps.text) if keeps.sources else lasts.detail
    return replace(lasts, detail=detail, sources=keeps.sources)


def _history(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    found = session.journal.history(item.food)
    if not found:
        name = session.names.get(item.food or "", "that")
        return Reply(f"I have nothing in the journal about {name}.", "history")
    lines = [_past(batch, answer) for batch in found]
    return Reply(lines[-1], "history", detail=tuple(reversed(lines[-6:-1])))


def _past(batch: Mapping[str, Any], answer: Answer) -> str:
    """What became of a batch, in a sentence."""
    from stillroom.base.quantity import show

    begun = date.fromisoformat(str(batch["begun"])[:10])
    parts = [f"{begun.day} {begun:%B %Y}, {batch['name']}: {batch['stage']}"]
    if batch.get("fresh_g"):
        parts.append(f"{show(batch['fresh_g'], 'g', answer.measure)} fresh")
    if batch.get("temperature_c"):
        parts.append(f"dried at {show(batch['temperature_c'], 'degC', answer.measure)}")
    if batch.get("dry_g"):
        parts.append(f"{show(batch['dry_g'], 'g', answer.measure)} dry")
    return ", ".join(parts) + "."


def _why(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    from stillroom.talk.why import why_reply

    return why_reply(session, answer, item, now)


def _plan(session: Session, answer: Answer, item: Statement, now: datetime) -> Reply:
    if item.topic == OVERVIEW and (told := overview_reply(answer, item)):
        return told
    if item.food:
        said = [r for r in answer.advice.rulings if r.rule.startswith("plan.dries")]
        if said:
            return Reply(said[0].text, "plan", item.batch, sources=said[0].sources)
    from stillroom.talk.planning import nothing_waits, plan_reply

    if nothing_waits(session, answer, now):
        return due_reply(session, answer, item, now)
    return plan_reply(session, answer, item, now)


def _help() -> Reply:
    from stillroom.talk.phrases import examples

    lines = [f"{situation}: “{texts[0]}”" for situation, texts in examples().items()]
    return Reply("Just say what you have, see or want to know. For instance:", "help",
                 detail=tuple(lines))  # fmt: skip


def _small_talk(kind: str) -> str:
    return {
        "thanks": "You're welcome. Tell me when the next thing is weighed or ready.",
        "greeting": "Hello. What have you brought in, or what would you like to know?",
        "bye": "Goodbye. Everything you told me is kept.",
        "help": "Say “what can I say?” for examples.",
    }.get(
        kind, "That is outside what I know: I help with drying, powders, mixes and fridge pickles."
    )


_MAKERS: dict[str, Callable[[Any, Answer, Statement, datetime], Reply]] = {
    "due": due_reply, "stock": stock_reply, "use-first": use_first_reply,
    "shelf-life": _shelf_life, "history": _history, "why": _why,
    "source": _why, "plan": _plan,
    "safe": _safe,
}  # fmt: skip
