"""How fast 2,000 rules of a user load and answer, and whether both engines then say the same.

Run by hand: ``python tests/benchmarks/bench_rules.py [rules]``; exit status 1 is a missed goal.
"""

from __future__ import annotations

import gc
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from stillroom.advice.advise import advise, run
from stillroom.advice.book import RuleBook
from stillroom.advice.canary import prove, verdict
from stillroom.advice.compile import plan as compiled
from stillroom.advice.fields import load_fields
from stillroom.advice.packs import load_book
from stillroom.base.fact import Fact

LOAD_S, ANSWER_S = 2.0, 0.150
FOODS = ("plum", "courgette", "tomato", "bell pepper", "beet", "mint", "thyme", "apple", "pear")
CUTS = ("halved", "sliced", "diced", "shredded", "pureed", "whole")
TOPICS = ("surface", "temperature", "loading", "storage", "dryness")
FINDINGS = tuple(load_fields().kinds["finding"]["is"].values)[:6]


def rule_text(rng: random.Random, index: int) -> str:
    """One rule of a form that people write: a batch, its food, sometimes the kitchen, a finding."""
    food, cut = rng.choice(FOODS), rng.choice(CUTS)
    finding, warm = rng.choice(FINDINGS), rng.randint(18, 34)
    extra = rng.choice(
        (
            "",
            f"      - {{as: air, kind: kitchen, temperature_c: {{above: {warm}}}}}\n",
            f"      - {{as: f, kind: finding, batch: $lot.batch, is: {finding}}}\n",
        )
    )
    derive = (
        f"    derive: [{{kind: finding, batch: $lot.batch, is: {finding}}}]\n"
        if not extra and rng.random() < 0.3
        else ""
    )
    unless = (
        "    unless: [{kind: said, batch: $lot.batch, surface: mesh}]\n"
        if rng.random() < 0.3
        else ""
    )
    size = rng.randint(1, 30)
    return (
        f"  - id: bench.rule-{index}\n    when:\n"
        f"      - {{as: lot, kind: lot, food: {food}, cut: [{cut}, {rng.choice(CUTS)}],"
        f" thickness_mm: {{at_least: {size}}}}}\n"
        f"      - {{as: food, kind: food, food: $lot.food}}\n{extra}{unless}{derive}"
        f"    advise: {{topic: {rng.choice(TOPICS)}}}\n"
        f'    say: "Rule {index} looks at {{lot.food}} at {{lot.thickness_mm}}."\n'
        f"    why: A made-up reason.\n    sources: [made-up]\n    examples:\n"
        f'      fires: ["2 kg {food}, {cut}"]\n      silent: ["a jar of salt"]\n'
    )  # fmt: skip


def pack_text(rules: int, seed: int = 7, name: str = "bench") -> str:
    """A pack of made-up rules."""
    rng = random.Random(seed)
    head = (
        f"pack: {name}\nversion: 1.0.0\nstanding: made up for a benchmark\n"
        "sources: {made-up: Nothing at all.}\nrules:\n"
    )
    return head + "".join(rule_text(rng, index) for index in range(rules))


def note_facts(rng: random.Random, batches: int = 2) -> tuple[Fact, ...]:
    """The facts of a short note about a few batches."""
    facts = [Fact("kitchen", {"temperature_c": float(rng.randint(15, 35)), "air": "damp"})]
    for index in range(batches):
        food = rng.choice(FOODS)
        batch = f"{food}-{index}"
        facts += [
            Fact("said", {"statement": f"s{index}", "batch": batch, "act": "have", "food": food,
                          "surface": rng.choice(("mesh", "solid-sheet"))}),
            Fact("lot", {"batch": batch, "food": food, "food_known": True, "stage": "drying",
                         "cut": rng.choice(CUTS), "thickness_mm": float(rng.randint(1, 30))},
                 (food,)),
            Fact("food", {"food": food, "plural": food, "group": "fruit", "juicy": "high"}),
        ]  # fmt: skip
    return tuple(facts)


def timed(work: Callable[[], object]) -> float:
    """Seconds that one call takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def answered(rng: random.Random, book: RuleBook, engine: str) -> None:
    """One answer to a new note."""
    advise(note_facts(rng), book, engine=engine)


def same(book: RuleBook, facts: tuple[Fact, ...]) -> bool:
    """Whether both engines fire the same rules on the same facts."""
    plain, durable = run(book, facts, "plain"), run(book, facts, "durable")
    if (plain.engine, durable.engine) != ("plain", "durable"):
        return False
    return [(f.rule, f.bound) for f in plain.firings] == [
        (f.rule, f.bound) for f in durable.firings
    ]


def main() -> int:
    """Print the figures; 1 when a goal is missed."""
    rules = int(sys.argv[1]) if len(sys.argv) > 1 else 2_000
    gc.set_threshold(100_000, 20, 20)  # as the program itself does
    rng = random.Random(11)
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "bench.yaml").write_text(pack_text(rules), encoding="utf-8")
        books: list[RuleBook] = []
        for label in ("cold", "again"):
            took = timed(lambda: books.append(load_book(extra=[Path(folder)], installed=False)))
            took += timed(lambda: books[-1].layers)
            print(f"load {rules} rules, {label}: {took:.3f} s")  # its only output
        book = books[0]
        print("\n".join(map(str, book.problems[:5])))  # its only output
        first = timed(lambda: load_book(extra=[Path(folder)], installed=False))
        plan = book.plan or compiled(book.layers.strata, book.fields)
        print(f"canary: {timed(lambda: prove(plan)):.3f} s, verdict {verdict(plan)!r}")
        slow = []
        for engine in ("plain", "durable"):
            answer = partial(answered, rng, book, engine)
            once = timed(answer)
            takes = [timed(answer) for _ in range(20)]
            slow += [once, statistics.median(takes)]
            print(  # its only output
                f"{engine}: first answer {once * 1e3:.1f} ms, then median {slow[-1] * 1e3:.1f} ms, "
                f"most {max(takes) * 1e3:.1f} ms"
            )
        agree = sum(same(book, note_facts(rng, 3)) for _ in range(50))
        print(f"engines agree on {agree} of 50 notes")  # its only output
    return int(first > LOAD_S or max(slow) > ANSWER_S or agree < 50)


if __name__ == "__main__":
    sys.exit(main())
