"""A food's name before another noun: "plum job", "fig rolls" and "lettuce seed" are no food."""

from __future__ import annotations

from stillroom.reader.lexicon import HEARD, Entry
from stillroom.reader.measures import Measures
from stillroom.reader.soundalike import known_words
from stillroom.reader.spoken import is_number_word

# what food is cut into or has of its own
_FORMS = {
    "rings", "ring", "flakes", "flake", "chips", "chip", "crisps", "granules", "jerky", "zest",
    "tops", "greens", "heads", "head", "stalks", "sticks", "stick", "sprigs", "bits", "halves",
    "dust", "paste", "bones", "skins", "peelings", "pods", "cobs", "kernels", "fronds", "hearts",
    "stems", "ends", "bulbs", "roots", "crowns", "spears", "buds", "flowers", "meat",
    "flesh", "caps", "segments", "curls", "threads", "crumbs", "pulp", "mince", "fillets",
    "steaks", "windfalls", "seconds", "tea", "powder", "leather", "puree", "mix", "blend",
}  # fmt: skip
# verbs and small words that no row of words.csv has
_FOLLOWS = {
    "takes", "grows", "tastes", "stinks", "costs", "loves", "likes", "gives", "makes", "says",
    "already", "tonight", "yet", "soon", "later", "earlier", "ago", "too", "also", "again",
    "instead", "please", "thanks", "cheers", "mum", "mam", "dad", "love", "honestly", "mind",
    "myself", "ourselves", "himself", "herself", "themselves", "whatever", "obviously", "hey",
    "lads", "folks", "god", "gosh", "lord", "bye", "weekly", "daily", "everyone", "everybody",
    "someone", "nobody", "because", "cause", "during", "against", "without", "within", "along",
    "across", "above", "below", "under", "beside", "between", "upstairs", "downstairs", "inside",
    "outside", "everywhere", "anywhere", "overnight", "midweek", "weekend", "thick", "thin",
    "fine", "big", "wise", "could", "might", "should", "must", "shall", "may", "won", "don",
    "tends", "seems", "turns", "smell", "smells", "needs", "wants", "wanted", "shrank", "shrunk",
    "began", "kept", "held", "hung", "lay", "sits", "stood", "stands", "got", "gets", "fell",
    "broke", "burnt", "spoilt", "stuck", "bent", "let", "met", "cos", "each", "apiece", "nah",
    "beyond", "per", "versus", "than", "except", "either", "neither", "both", "every",
}  # fmt: skip
_GIVEN = {
    "basil",
    "rosemary",
    "ginger",
    "sage",
    "cherry",
    "bean",
    "olive",
    "bay",
    "sugar",
    "pepper",
}
_KIN = {
    "son", "daughter", "husband", "wife", "brother", "sister", "aunt", "auntie", "uncle", "cousin",
    "friend", "neighbour", "neighbor", "nephew", "niece", "granny", "grandad", "mrs", "mr", "miss",
}  # fmt: skip
_PETS = {"cat", "dog", "kitten", "puppy", "spaniel", "collie", "terrier", "pony", "horse", "goat"}
_SPEAKS = {"said", "says", "borrowed", "rang", "told", "thinks", "reckons", "phoned",
           "lent", "asked", "helped", "texted", "wondered"}  # fmt: skip
_VISITS = {("came", "round"), ("came", "over"), ("came", "by"), ("from", "next"),
           ("down", "the"), ("popped", "in")}  # fmt: skip
# nouns that stand in phrases of words.csv and yet are never said of food after its name
_NOUNS = {"job", "jobs", "advice", "seed", "seeds", "trench", "work", "weather", "book",
          "drop", "drops", "coloured", "colored"}  # fmt: skip
_PLAIN_ENDS = ("ed", "ly", "ing")


class Compounds(Measures):
    """Knows a food's name that only describes the noun behind it."""

    def _compound(self, entry: Entry, at: int, after: int) -> bool:
        """Whether an unknown noun follows the singular name of a food that is not measured."""
        if self.lows[at].startswith(HEARD):
            return False
        if entry.head[-1] in _GIVEN and self._person(at, after):
            return True
        if after >= len(self.pieces):
            return False
        if self.low(after) == "of":
            return self.low(after + 1) in ("a", "an") and _singular(entry)
        return _singular(entry) and self._noun(after) and not self._amount_before(at)

    def _person(self, at: int, after: int) -> bool:
        """My son Basil, Rosemary from next door, Ginger the cat."""
        if self.low(at - 1) in _KIN:
            return True
        if self.low(after) == "the":
            return self.low(after + 1) in _PETS
        rest = (self.low(after), self.low(after + 1))
        return rest[0] in _SPEAKS or rest in _VISITS

    def _noun(self, at: int) -> bool:
        low = self.low(at)
        if low in _NOUNS:
            return True
        return (
            self.pieces[at].kind == "word" and low.isalpha() and len(low) > 2
            and not low.endswith(_PLAIN_ENDS) and low not in _FORMS and low not in _FOLLOWS
            and not is_number_word(low) and low not in known_words()
            and self.words.best(self.lows, at) is None
        )  # fmt: skip

    def _amount_before(self, at: int) -> bool:
        """Two pounds of okra …: what is measured by weight is the food itself."""
        back = at - 1
        while back > 0 and self.low(back) in ("of", "the", "fresh", "dried", "frozen", "ripe"):
            back -= 1
        found = self._unit(back) if back >= 0 else None
        return found is not None and found[0].si_unit in ("g", "ml")


def _singular(entry: Entry) -> bool:
    last = entry.head[-1]
    return not last.endswith("s") or last.endswith(("ss", "us"))
