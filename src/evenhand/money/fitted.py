"""The best parts that go together: pairs that do not are barred before, all else where it shows.

A rule over more than two parts is asked of each choice that was found. Where it does not fit, the parts that
the answer rests on are barred from being chosen together, and another choice is looked for.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from evenhand.fit.answers import Answer, worst
from evenhand.fit.asking import Fit, asked
from evenhand.fit.power import TOLD, Assumed, budget
from evenhand.fit.reading import Item
from evenhand.fit.rooms import Room
from evenhand.fit.rules import Rule, rules
from evenhand.money.choosing import best
from evenhand.money.shelves import Candidate, Chosen, Misfits, Shelf, Terms

POWER = "power"
"""How the power budget is called beside the rules."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Parts that are not chosen together, and the rule that says so of a whole build."""

    parts: tuple[str, ...]
    rule: str


@dataclass(slots=True, kw_only=True)
class Fitted:
    """A shelf, what is known of its parts, and what was found not to go together so far.

    `taken` are parts that any choice is built with, whatever it is, and `unsure` pairs of which it is not
    known, by rule. `waived` are rules that are not asked, `more_w` are watts that every supply brings beyond
    its rating, and with `room` parts of a kind have a little more of something: to see what they cost. What
    does not fit at one budget does not at another, so that `cuts` are kept.
    """

    shelf: Shelf
    items: Mapping[str, Item]
    unsure: Mapping[str, Misfits] = field(default_factory=dict)
    taken: tuple[Item, ...] = ()
    room: Room | None = None
    waived: frozenset[str] = frozenset()
    more_w: float = 0.0
    cuts: list[Cut] = field(default_factory=list)
    power: Assumed | None = None

    def best(self, terms: Terms, *, but: Sequence[Chosen] = ()) -> Chosen | None:
        """The best choice that fits by every rule, other than those in `but`; None where there is none."""
        while True:
            barred = [Chosen(parts=cut.parts, minor=0, score=0.0) for cut in self.cuts]
            found = best(self.shelf, terms, but=(*but, *barred))
            if found is None:
                return None
            cut = self.cut(found.parts)
            if cut is None:
                return found
            self.cuts.append(cut)

    def cut(self, parts: Sequence[str]) -> Cut | None:
        """What of a choice does not go together; the smallest such set of parts, None where all fits."""
        build = (*(self.items[key] for key in parts), *self.taken)
        wrong = [each for each in self._fits(build) if each.answer is not Answer.FITS]
        cuts = [Cut(parts=self._rests_on(each, parts), rule=each.rule.key) for each in wrong]
        power = budget([_stronger(item, self.more_w) for item in build], taken=self.power)
        if power is not None and power.answer is not Answer.FITS:
            cuts.append(Cut(parts=self._fed(parts), rule=POWER))
        left = (cut for cut in cuts if cut.rule not in self.waived)
        return min(left, key=lambda cut: len(cut.parts), default=None)

    def _fits(self, build: Sequence[Item]) -> Iterator[Fit]:
        """Every rule asked of a build, those of the room with it."""
        roomy = build if self.room is None else [self.room.given(item) for item in build]
        mine = () if self.room is None else self.room.rules
        for rule in rules():
            yield from asked(rule, roomy if rule.key in mine else build)

    @property
    def barring(self) -> frozenset[str]:
        """The rules that have barred anything so far: any other one costs nothing."""
        pairs = (rule for by in (self.shelf.misfits, self.unsure) for rule, found in by.items() if found)
        return frozenset((*pairs, *(cut.rule for cut in self.cuts)))

    def without(self, *waived: str) -> Fitted:
        """The same with some rules not asked."""
        misfits, unsure = (
            {rule: pairs for rule, pairs in by.items() if rule not in waived}
            for by in (self.shelf.misfits, self.unsure)
        )
        return replace(
            self._barring(misfits, unsure), waived=self.waived | {*waived},
            cuts=[cut for cut in self.cuts if cut.rule not in waived],
        )  # fmt: skip

    def with_more_power(self, watts: float) -> Fitted:
        """The same with so many watts more from every supply."""
        cuts = [cut for cut in self.cuts if cut.rule != POWER]
        return replace(self, more_w=self.more_w + watts, cuts=cuts)

    def with_room(self, room: Room) -> Fitted:
        """The same with a little more room in every part of a kind."""
        keys = [each.key for each in self.shelf.candidates]
        again = apart_of([room.given(self.items[key]) for key in keys], only=room.rules)
        misfits, unsure = {**self.shelf.misfits, **again.misfits}, {**self.unsure, **again.unsure}
        return replace(
            self._barring(misfits, unsure), room=room,
            cuts=[cut for cut in self.cuts if cut.rule not in room.rules],
        )  # fmt: skip

    def _barring(self, misfits: Mapping[str, Misfits], unsure: Mapping[str, Misfits]) -> Fitted:
        shelf = replace(self.shelf, misfits=misfits, unsure=_all_of(unsure))
        return replace(self, shelf=shelf, unsure=unsure)

    def _fed(self, parts: Sequence[str]) -> tuple[str, ...]:
        return tuple(key for key in parts if self.items[key].kind in (*TOLD, "supply"))

    def _rests_on(self, found: Fit, parts: Sequence[str]) -> tuple[str, ...]:
        read = {each.part.key for each in (*found.seen, *found.missing)} | {part.key for part in found.parts}
        return tuple(key for key in parts if key in read) or tuple(parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """Pairs of parts that do not go together, and those of which it is not known, by rule."""

    misfits: Mapping[str, Misfits]
    unsure: Mapping[str, Misfits]

    def among(self, keys: Collection[str]) -> Apart:
        """The same of these parts alone."""
        own = frozenset(keys)
        return Apart(misfits=_among(own, self.misfits), unsure=_among(own, self.unsure))


def _among(own: frozenset[str], by_rule: Mapping[str, Misfits]) -> dict[str, Misfits]:
    left = {rule: frozenset(pair for pair in pairs if pair <= own) for rule, pairs in by_rule.items()}
    return {rule: pairs for rule, pairs in left.items() if pairs}


def _all_of(by_rule: Mapping[str, Misfits]) -> Misfits:
    return frozenset[frozenset[str]]().union(*by_rule.values())


def apart_of(items: Sequence[Item], *, only: Collection[str] | None = None) -> Apart:
    """Every rule between two kinds, or only these, asked of every pair of these parts."""
    wrong: dict[str, Misfits] = {}
    unsure: dict[str, Misfits] = {}
    for rule in (rule for rule in rules() if len(rule.of) == 2 and (only is None or rule.key in only)):
        answers = _of_pairs(rule, items)
        wrong[rule.key] = frozenset(pair for pair, answer in answers.items() if answer is Answer.MISFIT)
        unsure[rule.key] = frozenset(pair for pair, answer in answers.items() if answer is Answer.UNKNOWN)
    return Apart(misfits=wrong, unsure=unsure)


def fitted(
    candidates: Sequence[Candidate],
    items: Mapping[str, Item],
    *,
    kinds: Sequence[str],
    taken: Sequence[Item] = (),
    apart: Apart | None = None,
    power: Assumed | None = None,
) -> Fitted:
    """Everything that can be chosen; `apart` says of these and more parts which do not go together.

    `power` is what is assumed of power, the usual where it is None.
    """
    keys = [each.key for each in candidates]
    known = apart_of([items[key] for key in keys]) if apart is None else apart
    own = known.among(keys)
    shelf = Shelf(
        candidates=tuple(candidates), kinds=tuple(kinds), misfits=own.misfits, unsure=_all_of(own.unsure)
    )
    return Fitted(shelf=shelf, items=items, unsure=own.unsure, taken=tuple(taken), power=power)


def _of_pairs(rule: Rule, items: Sequence[Item]) -> dict[frozenset[str], Answer]:
    """What a rule answers of each pair that does not simply fit."""
    one, other = ([each for each in items if each.kind == kind] for kind in rule.of)
    found: dict[frozenset[str], Answer] = {}
    for a, b in product(one, other):
        answer = worst(fit.answer for fit in asked(rule, (a, b)))
        if answer is not Answer.FITS:
            found[frozenset((a.key, b.key))] = answer
    return found


def _stronger(item: Item, watts: float) -> Item:
    """A supply with so many watts more; other parts as they are."""
    rated = item.facts.get("power_w")
    if item.kind != "supply" or not watts or rated is None:
        return item
    return replace(item, facts={**item.facts, "power_w": rated + watts})
