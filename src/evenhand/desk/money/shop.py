"""What a build can be changed into: the kinds of which it has one part, chosen anew, the rest as it is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenhand.desk.money.goods import Good, Goods
from evenhand.fit.power import TOLD, assumed
from evenhand.fit.reading import Item
from evenhand.money.fitted import Apart, Fitted, fitted
from evenhand.money.shelves import Candidate, Terms

QUICK = ("processor", "graphics", "memory", "storage")
TIME_LIMIT_S = 5.0  # of a single search
WATTS = "watts"
"""What processors and cards use for long, and a supply brings."""


@dataclass(frozen=True, kw_only=True)
class Shop:
    """A build whose `kinds` can be chosen anew out of `fitted`; the parts that are `kept` cost `kept_minor`.

    `own` are its parts of these kinds, by kind; `held` has what cannot be bought now
    as well. `unpriced_kept` are kept parts without a price.
    """

    build: str
    kinds: tuple[str, ...]
    own: tuple[str, ...]
    fitted: Fitted
    held: Fitted
    kept: tuple[Item, ...]
    kept_minor: int
    unpriced_kept: tuple[str, ...]

    def terms(self, budget_minor: int, *, time_limit_s: float = TIME_LIMIT_S) -> Terms:
        """A budget for the whole machine, and no more watts than its supply brings."""
        return Terms(
            budget_minor=budget_minor - self.kept_minor,
            limits={WATTS: -self._rest_w()},
            time_limit_s=time_limit_s,
        )

    @property
    def alike(self) -> tuple[str, ...]:
        """Kinds that make a machine quick of which several can be chosen, all as good as each other."""
        own = {kind: [c.score for c in self.fitted.shelf.candidates if c.kind == kind] for kind in QUICK}
        return tuple(kind for kind, scores in own.items() if len(scores) > 1 and not any(scores))

    def _rest_w(self) -> float:
        rest = (self.fitted.power or assumed()).rest_w
        kinds = (*self.kinds, *(item.kind for item in self.kept))
        return sum(rest.get(kind, 0.0) for kind in kinds) + sum(map(watts_of, self.kept))


def shop_of(build: str, parts: Sequence[Item], goods: Goods, *, apart: Apart | None = None) -> Shop:
    """The shop of a build with these parts; `apart` says of all goods which do not go together."""
    counts = Counter(item.kind for item in parts)
    there = {good.item.kind for good in goods.by_key.values()}
    single = (item for item in parts if counts[item.kind] == 1 and item.kind in there)
    own = tuple(sorted(single, key=lambda item: item.kind))
    kept = tuple(item for item in parts if item not in own)
    kinds = tuple(item.kind for item in own)

    def out_of(every: Mapping[str, Good]) -> Fitted:
        there = {key: good for key, good in every.items() if good.item.kind in kinds}
        return fitted(
            [candidate(good) for good in there.values()],
            {key: good.item for key, good in there.items()},
            kinds=kinds,
            taken=kept,
            apart=apart,
            power=goods.power,
        )

    bought = out_of(goods.by_key)
    return Shop(
        build=build,
        kinds=kinds,
        own=tuple(item.key for item in own),
        fitted=bought,
        held=bought if len(goods.held) == len(goods.by_key) else out_of(goods.held),
        kept=kept,
        kept_minor=sum(goods.held[item.key].minor for item in kept if item.key in goods.held),
        unpriced_kept=tuple(item.key for item in kept if item.key not in goods.held),
    )


def candidate(good: Good) -> Candidate:
    """A good as it is chosen."""
    item = good.item
    return Candidate(
        key=item.key, kind=item.kind, minor=good.minor, score=good.score, uses={WATTS: watts_of(item)}
    )


def watts_of(item: Item) -> float:
    """What a part draws for long, less than nothing for a supply; 0 where it is not known or is no such part.

    Whether that is known, and what a supply lost with age, is asked of the whole build (`fit.power`).
    """
    facts: Mapping[str, float] = item.facts
    if item.kind == "supply":
        return -facts.get("power_w", 0.0)
    return facts.get("power_w", 0.0) if item.kind in TOLD else 0.0
