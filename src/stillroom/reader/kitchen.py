"""What is told of the kitchen: heat, damp, trays, measures, altitude, price of power."""

from __future__ import annotations

from stillroom.reader.clause import Clause
from stillroom.reader.drafts import Draft, celsius
from stillroom.reader.slots import Slots

_TARIFF = ("unit", "kwh", "kilowatt", "price", "tariff", "rate", "cost")
_DRYERS = {"dryer", "drier", "dehydrator"}
_HILL_MM = 100_000  # a lower height is a trench or a shelf, unless altitude is named
_COLDEST = 8  # a smaller bare number is a count, not the kitchen


class Kitchen(Slots):
    """Reads settings."""

    def _spread_on(self, clause: Clause) -> bool:
        """I've used seven trays, after a load: what it lies on, not what the house has."""
        said = self.lows[clause.items[0].first : clause.items[-1].last + 1]
        loaded = any(draft.act in ("load", "have") for draft in self.drafts[-2:])
        return loaded and bool({"used", "using", "took", "filled"} & set(said))

    def _setting(self, clause: Clause) -> bool:
        kitchen, weather = clause.of("kitchen"), clause.of("weather")
        food = clause.has("food")
        draft = Draft("set")
        figures = clause.of("humidity")
        if figures and food:
            self._humidity_beside(clause)
        elif figures:
            draft.slots["humidity"] = figures[0].number
        damp = [item for item in clause.of("sign") if item.value in ("damp", "dry")]
        if (kitchen and (clause.has("heat", "num") or damp or weather)) or (weather and not food):
            close = kitchen and any(item.value == "tacky" for item in clause.of("sign"))
            values = [item.value for item in [*weather, *damp] if not item.negated]
            draft.sign = list(dict.fromkeys([*values, *(["damp"] if close else [])]))
            heat = next(iter(clause.of("heat", "num")), None)
            if (
                heat is not None
                and (heat.kind == "heat" or heat.number >= _COLDEST)
                and heat.number < 130
            ):
                draft.slots["temperature_c"] = celsius(
                    heat.number, heat.scale, self.context.measure, kitchen=True
                )
        trays = [] if self._spread_on(clause) else clause.of("trays")
        if (
            trays
            and not food
            and not clause.has("prep", "cut", "heat", "surface")
            and self._owns(clause)
        ):
            draft.slots["trays"] = trays[-1].number
        if not food and clause.items[0].kind == "traynoun" and clause.has("num"):
            draft.slots["trays"] = clause.of("num")[0].number
        self._bare_setting(draft, clause)
        if not draft.slots and not draft.sign:
            return False
        draft.cover(clause.start, clause.end)
        self._add(draft)
        return True

    def _humidity_beside(self, clause: Clause) -> None:
        """Humidity told in the middle of something else: a setting of its own."""
        for figure in clause.of("humidity"):
            draft = Draft("set")
            draft.slots["humidity"] = figure.number
            draft.cover(figure.start, figure.end)
            self._add(draft)

    def _owns(self, clause: Clause) -> bool:
        low = [self.lows[at] for at in range(clause.items[0].first, clause.items[-1].last + 1)]
        if self._framed("measure", clause) and not clause.has("pron", "act"):
            return True
        if low[:1] == ["there"] and {"machine", *_DRYERS} & set(low):
            return True  # "there's only nine trays in the machine"
        return (clause.has("dryer") and not {"on", "put"} & set(low)) or (
            bool({"have", "'ve", "has", "got", "own", "holds", "takes"} & set(low))
            and not clause.has("pron")
        )

    def _bare_setting(self, draft: Draft, clause: Clause) -> None:
        heights = clause.of("height")
        high = any(item.number >= _HILL_MM for item in heights) or self._framed("setting", clause)
        if heights and high and not clause.has("food"):
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
        if price and not clause.has("food"):
            entry = self.words.framed("setting", self.lows, price.first)
            if entry and entry.value == "price":
                self._price(draft, clause)
            elif entry and not heights and clause.has("num", "clock", "amount"):
                near = clause.of("num", "clock", "amount")
                figure = min(near, key=lambda item: abs(item.first - price.first))
                draft.slots["altitude_m"] = figure.number

    def _tariff(self, clause: Clause) -> bool:
        """Whether a bare number can be a price: not in "the power went off at three"."""
        words = self.lows[clause.items[0].first : clause.items[-1].last + 1]
        return any(word.startswith(_TARIFF) for word in words)

    def _price(self, draft: Draft, clause: Clause) -> None:
        """At 32p a unit; power is 28c a kWh; the price of power is nought point three."""
        for item in clause.of("money", "heat", "amount", "num", "clock"):
            if item.kind == "heat" and item.low.split()[-1] == "c":  # cents here, not degrees
                draft.put("price_per_kwh", item.number / 100)
            elif item.kind == "amount" and item.amount and item.amount.unit == "lb":
                draft.put("price_per_kwh", item.amount.value)
                draft.put("currency", "GBP")
            elif item.kind == "money" or (item.kind == "num" and self._tariff(clause)):
                draft.put("price_per_kwh", item.number)
                draft.put("currency", item.value or None)
            if "price_per_kwh" in draft.slots:
                return
