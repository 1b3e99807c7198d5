"""From clauses to statements: which act a clause is, whose food, which slots."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from stillroom.base.statement import Context, Statement
from stillroom.reader.clauses import Clause
from stillroom.reader.drafts import Draft, celsius
from stillroom.reader.lexicon import lexicon
from stillroom.reader.questions import KITCHEN, abouts
from stillroom.reader.tagging import Item

_STAPLES = {"vinegar", "salt", "sugar"}
_DIPS = {"lemon", "lime", *_STAPLES}
_NEGATED_SIGN = {"mould": "no-mould", "clumping": "loose"}
_NP = {"cut", "prep", "dried", "size"}
_LINK = {"of", "the", "ripe", "fresh", "good", "red", "green", "yellow", "more", "my", "our", "those", "fat", "purple",
         "windfall", "early", "late", "big", "lovely", "nice", "wild", "and", "or"}  # fmt: skip
_MASS_NOUN = {
    "puree",
    "purees",
    "powder",
    "slices",
    "strips",
    "rings",
    "florets",
    "leaves",
    "chunks",
    "cubes",
    "halves",
}
_STORING = {"jar", "bag", "vacuum-bag", "tin", "bottle", "box"}
_TOOK = {"took", "taken", "gave", "given", "eat", "added", "sent"}


class Builder:
    """Gathers the statements of one note, clause by clause."""

    def __init__(self, note: str, lows: Sequence[str], context: Context) -> None:
        self.note, self.lows, self.context = note, lows, context
        self.drafts: list[Draft] = []
        self.topic: str | None = None
        self.group: list[str] = []
        self.sentence = -1
        self.mode = ""
        self.pending: Draft | None = None
        self.words = lexicon()

    def run(self, clauses: Sequence[Clause]) -> list[Statement]:
        """The statements of the clauses, neighbours merged."""
        for clause in clauses:
            if clause.sentence != self.sentence:
                self.sentence, self.group, self.mode = clause.sentence, [], ""
            self._clause(clause)
        return [draft.statement(self.note) for draft in self.drafts]

    # one clause

    def _clause(self, clause: Clause) -> None:
        clause.items = _negate(clause.items)
        if self._amend(clause):
            return
        if clause.asks:
            self._ask(clause)
            return
        if self._setting(clause):
            return
        self._tell(clause)

    def _framed(self, kind: str, clause: Clause) -> Item | None:
        for item in clause.items:
            if self.words.framed(kind, self.lows, item.first):
                return item
        return None

    def _add(self, draft: Draft) -> None:
        """Appends a draft, or merges it into a neighbour with the same act and food."""
        if draft.food:
            self.topic = draft.food
        for last in reversed(self.drafts[-3:]):
            same = last.act == draft.act and (
                last.food == draft.food or (draft.act == "look" and last.food is None)
            )
            if same and draft.act not in ("ask", "amend") and not last.clashes(draft):
                last.merge(draft)
                return
            if last.act != "amend":
                break
        self.drafts.append(draft)

    # repairs

    def _amend(self, clause: Clause) -> bool:
        first = clause.items[0]
        at = first.first
        while at <= clause.items[-1].last and self.lows[at] in (
            "no",
            "oh",
            "um",
            "uh",
            "er",
            "actually",
            ",",
            "so",
            "and",
            "but",
            "sorry",
            "wait",
            "hang",
            "on",
        ):
            at += 1
        head = self.lows[first.first]
        undo = self.words.framed("undo", self.lows, at) if at <= clause.items[-1].last else None
        repair = self.words.framed("repair", self.lows, at) if at <= clause.items[-1].last else None
        begins = at > first.first and head in ("no", "sorry", "wait", "actually")
        inner = next((item for item in clause.items[1:] if (found := self.words.framed("repair", self.lows, item.first))
                      and len(found.head) > 1), None)  # fmt: skip
        if undo is None and repair is None and not begins:
            if inner is None:
                return False
            place = clause.items.index(inner)
            before, after = (
                Clause(clause.items[:place], sentence=clause.sentence),
                clause.items[place:],
            )
            self._clause(before)
            self._change(Clause(after, sentence=clause.sentence), undo=False)
            return True
        values = clause.of(
            "amount", "trays", "heat", "length", "num", "hours", "food", "vessel", "cut", "day"
        )
        if begins and not values:
            return False
        if (
            begins
            and repair is None
            and clause.has("act", "prep", "sign")
            and not clause.of("amount", "trays", "num")
        ):
            return False
        self._change(clause, undo=undo is not None and not values)
        return True

    def _change(self, clause: Clause, *, undo: bool) -> None:
        draft = Draft("amend")
        draft.cover(clause.start, clause.end)
        if undo:
            draft.slots["undo"] = True
        else:
            foods = clause.of("food")
            draft.food = foods[-1].value if foods else self.topic or _first(self.context.foods)
            self._fill(draft, clause.items, kitchen=False)
            self._bare_change(draft, clause)
        self._append(draft)

    def _append(self, draft: Draft) -> None:
        self.drafts.append(draft)

    def _bare_change(self, draft: Draft, clause: Clause) -> None:
        """Make that four: the unit is that of the amount put right."""
        nums = clause.of("num")
        old = next(
            (d.slots["amount"] for d in reversed(self.drafts) if d.slots.get("amount")), None
        )
        if (
            nums
            and "amount" not in draft.slots
            and "temperature_c" not in draft.slots
            and old is not None
        ):
            size = (old.si or old.si_high or 0.0) / max(old.value or old.high or 1.0, 1e-9)
            value = nums[-1].number
            draft.slots["amount"] = replace(
                old, value=value, si=value * size, low=None, high=None, si_low=None, si_high=None
            )

    # questions

    def _ask(self, clause: Clause) -> None:
        kinds = abouts(clause, self.lows)
        foods = list(dict.fromkeys(item.value for item in clause.of("food")))
        if not kinds:
            return
        if (
            not foods
            and not clause.has("pron")
            and kinds[0]
            in ("time", "stock", "yield", "safe", "loading", "jar", "prep", "shelf-life", "storage")
            and not self._ours(clause, kinds[0])
        ):
            return
        for about in kinds:
            for food in self._asked_foods(clause, about, foods):
                draft = Draft("ask", food)
                draft.cover(clause.start, clause.end)
                draft.slots["about"] = about
                self._conditions(draft, clause, about)
                self._append(draft)
                self.topic = food or self.topic

    def _ours(self, clause: Clause, about: str) -> bool:
        return (
            clause.has(
                "dried",
                "dryer",
                "trays",
                "traynoun",
                "vessel",
                "place",
                "leather",
                "cut",
                "prep",
                "todo",
                "heat",
            )
            or bool(self.topic)
            or about in ("stock", "safe")
        )

    def _asked_foods(self, clause: Clause, about: str, foods: list[str]) -> list[str | None]:
        if about in KITCHEN and about not in ("history", "source", "plan"):
            return [None]
        if about == "mix":
            return [foods[0] if len(foods) == 1 else None]
        if about == "substitute" or about == "brine":
            others = [food for food in foods if food not in _STAPLES]
            return [others[0] if others else _first(foods)]
        if foods:
            return list(foods)
        if clause.has("pron") or about in (
            "time",
            "temperature",
            "surface",
            "dryness",
            "yield",
            "pretreat",
        ):
            return [self._near() if about not in ("source",) else None]
        return [None]

    def _near(self) -> str | None:
        return self.topic or _first(self.context.foods)

    def _conditions(self, draft: Draft, clause: Clause, about: str) -> None:
        kinds = {"amount", "cut", "length", "size", "place", "vessel", "heat", "surface", "hours"}
        if about in ("surface",):
            kinds -= {"surface"}
        if about == "powder":
            kinds -= {"cut"}
        if about in ("time", "shelf-life", "conditioning"):
            kinds -= {"hours"}
        if about in ("jar", "packaging", "loading", "label", "stock"):
            kinds -= {"vessel"}
        if about in ("prep", "pretreat"):
            kinds -= {"cut"} if not _adjectival(clause) else set()
        items = [item for item in clause.items if item.kind in kinds or item.kind == "num"]
        self._fill(draft, items, kitchen=False)
        self._bare_heat(draft, clause)

    # kitchen

    def _setting(self, clause: Clause) -> bool:
        kitchen, weather = clause.of("kitchen"), clause.of("weather")
        food = clause.has("food")
        draft = Draft("set")
        damp = [item for item in clause.of("sign") if item.value in ("damp", "dry")]
        if (kitchen and (clause.has("heat", "num") or damp or weather)) or (weather and not food):
            draft.sign = list(
                dict.fromkeys(item.value for item in [*weather, *damp] if not item.negated)
            )
            heat = next(iter(clause.of("heat", "num")), None)
            if heat is not None and heat.number < 130:
                draft.slots["temperature_c"] = celsius(
                    heat.number, heat.scale, self.context.measure, kitchen=True
                )
        trays = clause.of("trays")
        if (
            trays
            and not food
            and not clause.has("prep", "cut", "heat", "surface")
            and self._owns(clause)
        ):
            draft.slots["trays"] = trays[-1].number
        self._bare_setting(draft, clause)
        if not draft.slots and not draft.sign:
            return False
        draft.cover(clause.start, clause.end)
        self._add(draft)
        return True

    def _owns(self, clause: Clause) -> bool:
        low = [self.lows[at] for at in range(clause.items[0].first, clause.items[-1].last + 1)]
        return (
            (clause.has("dryer")
            and not {"on", "put"} & set(low))
            or (bool({"have", "'ve", "has", "got", "own", "holds", "takes"} & set(low))
            and not clause.has("pron"))
        )

    def _bare_setting(self, draft: Draft, clause: Clause) -> None:
        heights = clause.of("height")
        if heights and not clause.has("food"):
            draft.slots["altitude_m"] = heights[0].number / 1000
        item = self._framed("measure", clause)
        verbs = {
            "use",
            "switch",
            "change",
            "metric",
            "set",
            "show",
            "give",
            "work",
            "prefer",
            "units",
            "measure",
            "please",
            "in",
        }
        if (
            item
            and not clause.has("food")
            and any(
                self.lows[at] in verbs
                for at in range(clause.items[0].first, clause.items[-1].last + 1)
            )
        ):
            entry = self.words.framed("measure", self.lows, item.first)
            if entry and not clause.has("heat"):
                draft.slots["measure"] = entry.value
        price = self._framed("setting", clause)
        if price and clause.has("num", "clock", "amount") and not clause.has("food"):
            entry = self.words.framed("setting", self.lows, price.first)
            figure = clause.of("num", "clock", "amount")[0]
            if entry and entry.value == "price":
                pence = any(
                    self.lows[at] in ("p", "pence", "cents", "cent", "c", "¢")
                    for at in range(clause.items[0].first, clause.items[-1].last + 1)
                )
                draft.slots["price_per_kwh"] = figure.number / 100 if pence else figure.number
            elif entry:
                draft.slots["altitude_m"] = figure.number

    # what was done

    def _tell(self, clause: Clause) -> None:
        parts = self._parts(clause)
        if not parts:
            return
        for food, items in parts:
            for draft in self._facets(food, items, clause):
                self._add(draft)
            if food:
                self.topic = food
                if food not in self.group:
                    self.group.append(food)

    def _foods(self, clause: Clause) -> list[int]:
        out = []
        for place, item in enumerate(clause.items):
            if item.kind != "food":
                continue
            amount = any(
                other.kind == "amount" for other in clause.items[max(0, place - 3) : place]
            )
            before = self.lows[item.first - 1] if item.first else ""
            if (
                item.value in _DIPS
                and before in ("in", "with", "and", "some", "of", "the")
                and not amount
                and len(clause.of("food")) + bool(self.topic) > 1
                and (before in ("in", "with") or item.value in _STAPLES)
            ):
                continue
            if item.value == "date" and item.low == "date" and before not in ("dried",):
                continue
            out.append(place)
        return out

    def _parts(self, clause: Clause) -> list[tuple[str | None, list[Item]]]:
        """The clause cut by food; what a list shares is given to each."""
        places = self._foods(clause)
        items = clause.items
        if not places:
            return self._without_food(clause)
        starts = [
            self._np_start(items, place, places[k - 1] if k else -1)
            for k, place in enumerate(places)
        ]
        starts[0] = 0
        bounds = [*starts, len(items)]
        parts: list[tuple[str | None, list[Item]]] = [
            (items[place].value, items[bounds[k] : bounds[k + 1]]) for k, place in enumerate(places)
        ]
        return self._joined(self._shared(parts, clause))

    def _without_food(self, clause: Clause) -> list[tuple[str | None, list[Item]]]:
        if (
            clause.has("both")
            and len(self.group) > 1
            and clause.has("prep", "cut", "trays", "heat", "surface", "length", "sign", "place")
        ):
            return [(food, clause.items) for food in self.group]
        return [(self._near(), clause.items)]

    def _np_start(self, items: list[Item], place: int, floor: int) -> int:
        at = place
        while at - 1 > floor:
            before = items[at - 1]
            if (
                before.kind in _NP
                or (before.kind in ("idiom",)
                and before.low == "nice and")
                or before.low in _LINK
                or before.kind == "filler"
            ):
                at -= 1
                continue
            if before.kind in ("amount", "vessel", "num") and not (
                before.kind == "amount" and floor >= 0 and self._taken(items, floor, at - 1)
            ):
                at -= 1
            break
        return at

    def _taken(self, items: list[Item], floor: int, at: int) -> bool:
        """Kale 3 oz, leeks 8 oz: an amount with a comma before the next food belongs to the last."""
        return any(
            self.lows[place] == ","
            for place in range(
                items[at].last + 1,
                items[at + 1].first if at + 1 < len(items) else items[at].last + 1,
            )
        ) or (at + 1 < len(items) and items[at + 1].low in (",", "and"))

    def _shared(
        self, parts: list[tuple[str | None, list[Item]]], clause: Clause
    ) -> list[tuple[str | None, list[Item]]]:
        if len(parts) < 2:
            return parts
        food, last = parts[-1]
        both = next((k for k, item in enumerate(last) if item.kind == "both"), None)
        if both is not None:
            common = last[both:]
            return [
                (name, [*items, *common] if items is not last else items) for name, items in parts
            ]
        slot = {
            "prep",
            "cut",
            "trays",
            "heat",
            "surface",
            "length",
            "sign",
            "place",
            "vessel",
            "seal",
            "num",
            "hours",
        }
        after = last[next(k for k, item in enumerate(last) if item.kind == "food") + 1 :]
        if any(
            any(item.kind in slot and item.kind != "num" for item in items[1:])
            for _, items in parts[:-1]
        ):
            return parts
        joined = any(item.low in ("and", "&", "+", "plus") for item in parts[-2][1][-2:])
        if not joined:
            return parts
        common = [item for item in after if item.kind in slot]
        return [(name, [*items, *common] if items is not last else items) for name, items in parts]

    def _joined(
        self, parts: list[tuple[str | None, list[Item]]]
    ) -> list[tuple[str | None, list[Item]]]:
        out: list[tuple[str | None, list[Item]]] = []
        for food, items in parts:
            if out and out[-1][0] == food:
                out[-1] = (food, [*out[-1][1], *items])
            else:
                out.append((food, items))
        return out

    # acts

    def _facets(self, food: str | None, items: list[Item], clause: Clause) -> list[Draft]:
        verbs = {item.value for item in clause.of("act")}
        signs = _signs(items)
        day = next((item for item in items if item.kind == "day"), None)
        act = self._act(food, items, clause, verbs, bool(signs or day))
        if act is None:
            if (signs or day) and not food:
                return []
            return []
        explicit = any(item.kind == "food" for item in clause.items)
        if food is None and act not in ("blend", "brine"):
            return []
        if act == "use" and "discard" in verbs:
            main, other = (
                self._draft("use", food, [i for i in items if i.kind not in ("sign", "day")]),
                self._look(food, items, signs, day),
            )
            main.sign = ["discarded"]
            if other is None:
                return [main]
            other.slots.pop("vessel", None) if explicit and main.slots.get("vessel") else None
            first_sign = min((i.start for i in items if i.kind == "sign"), default=0)
            thrown = next((i.start for i in clause.of("act") if i.value == "discard"), 0)
            return [other, main] if first_sign < thrown else [main, other]
        if act == "look":
            out = [draft for draft in [self._look(food, items, signs, day)] if draft]
            mass = [i for i in items if i.kind == "amount" and i.amount and i.amount.si_unit == "g"]
            if out and mass:
                weigh = self._draft("weigh", food, mass[-1:])
                out[0].slots.pop("amount", None)
                out.append(weigh)
            return out
        main = self._draft(act, food, [i for i in items if i.kind not in ("sign", "day")])
        if act == "have" and not (main.slots or main.prep):
            return []
        look = (
            self._look(food, [i for i in items if i.kind in ("sign", "day")], signs, day)
            if act != "pack" or signs
            else None
        )
        return [look, main] if look else [main]

    def _look(
        self, food: str | None, items: list[Item], signs: list[str], day: Item | None
    ) -> Draft | None:
        if not signs and day is None:
            return None
        draft = self._draft(
            "look",
            food,
            [i for i in items if i.kind not in ("amount", "sign", "place", "trays", "seal")],
        )
        draft.sign = signs
        if day is not None:
            draft.slots["day"] = int(day.number)
        return draft

    def _act(
        self, food: str | None, items: list[Item], clause: Clause, verbs: set[str], looks: bool
    ) -> str | None:
        kinds = {item.kind for item in items}
        mass = any(i.amount is not None and i.amount.si_unit == "g" for i in items)
        if "discard" in verbs:
            return "use"
        if self._mixing(clause, verbs, "blend") or (self.mode == "blend" and "amount" in kinds):
            self.mode = "blend"
            return "blend"
        if (
            self._mixing(clause, verbs, "brine")
            or (self.mode == "brine" and "amount" in kinds)
            or (
                food in _STAPLES
                and self.drafts
                and self.drafts[-1].act == "brine"
                and "amount" in kinds
            )
        ):
            self.mode = "brine"
            return "brine"
        if mass and ("weigh" in verbs or self._now(clause, items)):
            return "weigh"
        if "use" in verbs and self._uses(clause, items):
            return "use"
        if self._packs(kinds, items, verbs, clause, looks):
            return "pack"
        if (
            kinds & {"trays", "surface"}
            or "heat" in kinds
            or self._hot(items, clause)
            or ("load" in verbs and self._loads(clause, looks))
        ):
            return "load"
        if looks:
            return "look"
        return (
            "have"
            if kinds & {"amount", "prep", "cut", "length", "place", "vessel", "size", "num"}
            else None
        )

    def _now(self, clause: Clause, items: list[Item]) -> bool:
        """Now 104 g; the parsnips were fourteen ounces."""
        low = [self.lows[at] for at in range(clause.items[0].first, clause.items[-1].last + 1)]
        mass = next(i for i in items if i.amount is not None and i.amount.si_unit == "g")
        before = self.lows[mass.first - 1] if mass.first else ""
        if (
            before in ("now", "is", "are", "was", "were", "'s", "'re")
            and low[:1] != ["there"]
            and "there" not in low[:3]
        ):
            return True
        return (
            bool(self.drafts)
            and self.drafts[-1].act == "look"
            and not any(i.kind == "food" for i in items)
            and not ({"pack", "load", "use"} & {i.value for i in clause.of("act")})
            and not clause.has("trays", "heat", "vessel")
        )

    def _mixing(self, clause: Clause, verbs: set[str], act: str) -> bool:
        if act not in verbs:
            return False
        item = next(i for i in clause.of("act") if i.value == act)
        before = self.lows[item.first - 1] if item.first else ""
        if item.low in ("pickled", "ground", "mixed", "crushed", "blended"):
            after = (
                clause.items[clause.items.index(item) + 1].low
                if item is not clause.items[-1]
                else ""
            )
            if before in ("the", "of", "some", "dried", "my", "our", "those", "these") or (
                after in ("carrots",) and clause.has("sign")
            ):
                return False
            return not clause.has("sign")
        if act == "blend" and clause.has("vessel") and "pack" in verbs:
            return False
        return not clause.has("sign", "day")

    def _uses(self, clause: Clause, items: list[Item]) -> bool:
        verb = next(i for i in clause.of("act") if i.value == "use")
        if verb.low in _TOOK:
            return any(i.kind in ("amount", "vessel", "dried", "both", "which") for i in items) or any(
                self.words.framed("which", self.lows, i.first) for i in items)  # fmt: skip
        return True

    def _packs(
        self, kinds: set[str], items: list[Item], verbs: set[str], clause: Clause, looks: bool
    ) -> bool:
        vessels = {item.value for item in items if item.kind == "vessel"}
        if looks and "pack" not in verbs:
            return False
        if kinds & {"trays", "surface", "heat"}:
            return False
        if "pack" in verbs and (kinds & {"vessel", "place", "seal"}):
            return not vessels <= {"crock", "bowl"} or not vessels or "seal" in kinds
        if vessels & _STORING and not ("have" in verbs and "amount" in kinds):
            return True
        puts = any(
            self.lows[at] in ("put", "popped", "stuck", "went", "gone", "went", "moved")
            for at in range(clause.items[0].first, clause.items[-1].last + 1)
        )
        if (
            "place" in kinds
            and (puts or (self.drafts and self.drafts[-1].act == "pack"))
            and not vessels
        ):
            return True
        return "seal" in kinds or (
            "pack" in verbs
            and any(
                i.low in ("packed", "jarred", "bagged", "sealed", "bottled")
                for i in clause.of("act")
            )
        )

    def _hot(self, items: list[Item], clause: Clause) -> bool:
        return any(i.kind == "num" and self._is_heat(i) for i in items)

    def _is_heat(self, item: Item) -> bool:
        before = self.lows[item.first - 1] if item.first else ""
        plain = 85 <= item.number <= 200
        return plain or (before in ("at", "to") and 30 <= item.number < 85)

    def _loads(self, clause: Clause, looks: bool) -> bool:
        verb = next(i for i in clause.of("act") if i.value == "load")
        if looks and verb.low not in ("loaded", "back in", "back on"):
            return False
        return verb.low not in (
            "start",
            "started",
            "went in",
            "gone in",
            "going in",
            "laid",
            "stuck on",
            "filled",
            "fill",
            "hung",
            "put on",
            "went on",
            "going on",
            "goes on",
            "gone on",
        ) or clause.has("food", "pron")

    # slots

    def _draft(self, act: str, food: str | None, items: list[Item]) -> Draft:
        draft = Draft(act, food)
        real = [item for item in items if item.kind not in ("filler", "mark")] or items
        if real:
            draft.cover(min(i.start for i in real), max(i.end for i in real))
        self._fill(draft, items, kitchen=False)
        self._bare_heat_items(draft, items)
        return draft

    def _bare_heat(self, draft: Draft, clause: Clause) -> None:
        self._bare_heat_items(draft, clause.items)

    def _bare_heat_items(self, draft: Draft, items: list[Item]) -> None:
        for item in items:
            if (
                item.kind == "num"
                and self._is_heat(item)
                and draft.act in ("load", "ask", "have", "amend")
            ):
                draft.put(
                    "temperature_c", celsius(item.number, "", self.context.measure, kitchen=False)
                )

    def _fill(self, draft: Draft, items: list[Item], *, kitchen: bool) -> None:
        for item in items:
            self._slot(draft, item, kitchen)
        if "amount" not in draft.slots:
            self._bracket(draft, items)

    def _bracket(self, draft: Draft, items: list[Item]) -> None:
        """Lemons (6); mangoes: 5 — a bare small number beside a food is a count."""
        from stillroom.base.statement import Amount

        for item in items:
            beside = item.first > 1 and self.lows[item.first - 1] in ("(", ":", ",", "-", "–")
            after_food = any(i.kind == "food" and item.first - i.last in (1, 2) for i in items)
            if item.kind == "num" and item.number < 60 and (beside or after_food) and after_food:
                draft.put("amount", Amount("count", "count", value=item.number, si=item.number))

    def _slot(self, draft: Draft, item: Item, kitchen: bool) -> None:
        kind = item.kind
        if kind == "amount":
            self._amount(draft, item)
        elif kind in ("cut", "size", "surface", "place"):
            if not item.negated and not (
                kind == "size"
                and draft.act in ("load", "weigh", "look", "pack", "use")
                and "amount" not in draft.slots
            ):
                draft.put(kind, item.value)
        elif kind == "length":
            draft.put("thickness_mm", item.number)
        elif kind in ("trays", "hours"):
            draft.put(kind, item.number)
        elif kind == "heat":
            draft.put(
                "temperature_c",
                celsius(item.number, item.scale, self.context.measure, kitchen=kitchen),
            )
        elif kind == "prep":
            self._prep(draft, item)
        elif (
            kind == "todo"
            and item.negated
            and item.value == "peeled"
            and "unpeeled" not in draft.prep
        ):
            draft.prep.append("unpeeled")
        elif kind == "vessel":
            draft.vessel(item)
        elif kind == "seal" and draft.act == "pack":
            draft.put("seal", item.value)
        elif kind == "traynumber":
            draft.put("tray", int(item.number))

    def _amount(self, draft: Draft, item: Item) -> None:
        amount = item.amount
        if amount is None:
            return
        if (
            draft.act == "pack"
            and amount.si_unit == "ml"
            and amount.value
            and "vessel" not in draft.slots
        ):
            unit = (amount.si or 0.0) / amount.value
            draft.put("vessel_ml", round(unit))
            draft.put("vessel_count", amount.value)
            return
        old = draft.slots.get("amount")
        if (
            old is not None
            and old.unit == "count"
            and item.article is False
            and amount.si_unit == "g"
        ):
            draft.slots.pop("amount")
        draft.put("amount", amount)

    def _prep(self, draft: Draft, item: Item) -> None:
        value = item.value
        if item.negated:
            if value != "peeled":
                return
            value = "unpeeled"
        if value not in draft.prep and draft.act not in ("look", "weigh", "use", "pack", "ask"):
            draft.prep.append(value)


def _first(names: Sequence[str]) -> str | None:
    return names[0] if names else None


def _adjectival(clause: Clause) -> bool:
    return any(
        b.kind == "food" and a.kind == "cut"
        for a, b in zip(clause.items, clause.items[1:], strict=False)
    )


def _negate(items: list[Item]) -> list[Item]:
    """Marks what a negating word denies; "no mould or clumps" denies both."""
    out: list[Item] = []
    left = 0
    for item in items:
        if item.kind == "neg":
            left = 5
        elif item.low in (",", "but", "just") and left:
            left = 0
        elif left and item.kind in ("sign", "prep", "todo", "cut"):
            item = replace(item, negated=True)
            left = 3
        elif left and item.kind == "sign":
            left = 0
        else:
            left = max(0, left - 1)
        out.append(item)
    return out


def _signs(items: list[Item]) -> list[str]:
    out: list[str] = []
    for item in items:
        if item.kind != "sign":
            continue
        value: str | None = item.value
        if item.negated:
            value = _NEGATED_SIGN.get(item.value)
        if value and value not in out:
            out.append(value)
    return out
