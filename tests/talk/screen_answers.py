"""Answers made by hand, so that screens are held against texts that no rule pack can change."""

from __future__ import annotations

from stillroom.base.fact import Advice, Caution, Fact, Number, Ruling
from stillroom.base.statement import Amount, Reading, Statement
from stillroom.talk.answer import Answer, Reply

TITLES = {
    "a": "Drying in a Damp Kitchen. Hill Farm Press, 1998",
    "b": "Trays and Sheets (common practice)",
    "c": "Notes on Jars. A County Extension Service, 2004",
}
NAMES = {"zucchini": "courgettes", "plum": "plums"}
_SIX_KILO = Statement(
    "have", "6 kg courgettes, shredded, drained", food="zucchini",
    amount=Amount("kg", "g", 6.0, 6000.0), cut="shredded", prep=("drained",), batch="zucchini-1",
)  # fmt: skip
_LOT = Fact("lot", {"batch": "zucchini-1", "food": "zucchini", "stage": "in-hand"})
_FIGURES = (
    Number("dry_mass", 228.3, 336.1, 578.8, "g", "zucchini-1", sources=("a",)),
    Number("end_mass", 228.3, 336.1, 578.8, "g", "zucchini-1", sources=("a",)),
    Number("drying_time", 5.85, 8.31, 11.8, "h", "zucchini-1", sources=("a",),
           driver="air flow of the dryer"),
    Number("tray_count", 11, 15, 21, "count", "zucchini-1", sources=("b",)),
    Number("water_activity", 0.14, 0.33, 0.49, "1", "zucchini-1", sources=("a",)),
)  # fmt: skip
_RULINGS = (
    Ruling("temperature", "Dry courgettes at 60 °C (140 °F).", "t.one", "zucchini-1", 60.0,
           "degC", sources=("a", "b", "c")),
    Ruling("surface", "Spread the wet shredded courgettes on a solid sheet.", "s.one",
           "zucchini-1", sources=("b",)),
    Ruling("loading", "Courgettes: about 15 trays (11 to 21).", "l.one", "zucchini-1"),
    Ruling("dryness", "Dry courgettes: brittle; a slice snaps.", "d.one", "zucchini-1",
           sources=("c",)),
    Ruling("conditioning", "Condition dried courgettes for 5 days in a closed jar, and shake it "
           "every day.", "c.one", "zucchini-1"),
)  # fmt: skip


def _answer(statements: tuple[Statement, ...], note: str, **more: object) -> Answer:
    facts = more.pop("facts", (_LOT,))
    advice = Advice(
        rulings=more.pop("rulings", ()),  # type: ignore[arg-type]
        cautions=more.pop("cautions", ()),  # type: ignore[arg-type]
        facts=facts,  # type: ignore[arg-type]
    )
    unread = more.pop("unread", ())
    reading = Reading(note, statements, unread=unread)  # type: ignore[arg-type]
    return Answer(reading, advice, names=NAMES, measure="metric", **more)  # type: ignore[arg-type]


ANSWERS = {
    "glut": _answer(
        (_SIX_KILO,), _SIX_KILO.text, rulings=_RULINGS, numbers=_FIGURES,
        kept=("Kept as zucchini-1.",),
    ),
    "stop": _answer(
        (_SIX_KILO,), _SIX_KILO.text, rulings=_RULINGS, numbers=_FIGURES,
        cautions=(
            Caution("stop", "x", "Do not put these on the shelf: they are not dry.", "h.one",
                    sources=("c",)),
            Caution("caution", "y", "Keep the dryer away from the curtain.", "h.two"),
            Caution("note", "z", "A faded jar has lost flavour only.", "h.three"),
        ),
    ),
    "question": _answer(
        (Statement("ask", "how much will it make", food="zucchini", about="yield",
                   batch="zucchini-1"),), "how much will it make", rulings=_RULINGS,
        numbers=_FIGURES,
        replies=(
            Reply("Dried, it weighs about 340 g (12 oz), 230 to 580 g.", "yield", "zucchini-1",
                  ("Dried volume: about 1.3 l (5.6 cups), 0.7 to 2.8 l.",), ("a",)),
            Reply("Dried, it weighs about 340 g (12 oz), 230 to 580 g.", "yield", "zucchini-1"),
        ),
    ),
    "two-batches": _answer(
        (_SIX_KILO,
         Statement("load", "plums on 3 mesh trays at 57 C", food="plum", trays=3.0,
                   surface="mesh", temperature_c=57.0, batch="plum-1")),
        "both",
        facts=(_LOT, Fact("lot", {"batch": "plum-1", "food": "plum", "stage": "drying"})),
        rulings=(*_RULINGS, Ruling("dryness", "Dry plums: leathery, no wet when torn.", "d.two",
                                   "plum-1", sources=("c",))),
        numbers=(*_FIGURES, Number("drying_time", 19, 35, 68, "h", "plum-1"),
                 Number("look_first", 4, 4, 4, "h", "plum-1")),
        kept=("Kept as zucchini-1.", "Kept as plum-1."),
        unread=("the wireless was on", "x" * 200),
        question="How thick are the plums cut?", wants="thickness_mm",
    ),
    "nothing": _answer((), "\N{TOMATO}\N{TOMATO}", facts=()),
    "minus-and-too-much": _answer(
        (Statement("have", "9000000 kg courgettes", food="zucchini", batch="zucchini-1",
                   amount=Amount("kg", "g", 9e6, 9e9)),),
        "9000000 kg courgettes and -3 kg more", numbers=_FIGURES, rulings=_RULINGS,
    ),
}  # fmt: skip
