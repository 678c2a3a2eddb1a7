"""What choices of parts and upgrade paths stand on: one audience, the goods, a shop for each build."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evenhand.desk.bench.hiding import refuse_hidden
from evenhand.desk.latest import Latest
from evenhand.desk.money.goods import Goods, goods_of
from evenhand.desk.money.shop import Shop, shop_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.parts.items import items_of
from evenhand.desk.study.pricing import paid_now
from evenhand.desk.verdict.judged import ForAudience
from evenhand.desk.verdict.judged_for import judged_for
from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.money.fitted import Apart, apart_of
from evenhand.publish.choice_words import left_out_words
from evenhand.publish.dates import day_words
from evenhand.records.money_terms import MoneyTerms
from evenhand.store.rows import as_text
from evenhand.store.workbench import Workbench

OTHER_POWER = "Power is assumed otherwise than as usual."
KNOWN = Latest(4)  # what goes together, of the catalogues that are being looked at


@dataclass(frozen=True, kw_only=True)
class Grounds:
    """The goods of a study for one audience, with a shop for each compared build that has parts, by key.

    `paid` are the prices of builds in minor units, of those that have one.
    """

    record: StudyOnRecord
    here: ForAudience
    goods: Goods
    shops: Mapping[str, Shop]
    paid: Mapping[str, int]

    @property
    def terms(self) -> MoneyTerms:
        """What is assumed of owning a machine; what is usual where the study says nothing."""
        return self.record.study.money or MoneyTerms()

    def name(self, build: str) -> str:
        """What a build is called."""
        return self.record.builds[build].name

    def setup_of(self, build: str) -> str:
        """The setup that stands for a build: the first one that is compared."""
        return next(key for key in self.record.study.setups if self.record.setups[key].build == build)

    def shop(self, build: str) -> Shop:
        """The shop of a build, the first one's for "". Raises NotFound; BadRecord where none has parts."""
        if not self.shops:
            raise BadRecord(
                "no build of this study has parts",
                where=self.record.study.key,
                todo="say them on page Builds",
            )
        if build and build not in self.shops:
            raise NotFound(
                f"no compared build with parts is called '{build}'",
                where=self.record.study.key,
                todo=nearest(build, self.shops),
            )
        return self.shops[build or next(iter(self.shops))]


def grounds_of(wb: Workbench, study: str, audience: str = "") -> Grounds:
    """The grounds for an audience, the first one for "".

    Raises NotFound, HiddenNames where names are hidden, and BadRecord where the study says no currency.
    """
    record = load_study(wb, study)
    refuse_hidden(record)
    return wb.lately(("money grounds", study, audience), lambda: _read(wb, record, audience))


def _read(wb: Workbench, record: StudyOnRecord, audience: str) -> Grounds:
    currency = record.study.currency
    if currency is None:
        raise BadRecord(
            "the study does not say what it counts in",
            where=record.study.key,
            todo="give a first price: it counts in its currency then",
        )
    here = judged_for(wb, record, only=audience or None).audiences[0]
    goods = goods_of(wb, record, here, currency)
    builds = dict.fromkeys(record.setups[key].build for key in record.study.setups)
    parts = {key: record.builds[key].parts for key in builds}
    minor, apart = paid_now(wb, record).minor, _apart(goods)
    return Grounds(
        record=record,
        here=here,
        goods=goods,
        shops={key: shop_of(key, items_of(wb, own), goods, apart=apart) for key, own in parts.items() if own},
        paid={record.setups[setup].build: each for setup, each in minor.items()},
    )


def left_out(goods: Goods) -> tuple[str, ...]:
    """What could not be bought or chosen, and why."""
    return left_out_words(
        goods.unpriced, goods.unsaid, names=goods.names, currency=goods.currency, roles=goods.roles,
        out=goods.out, old=goods.old,
    )  # fmt: skip


def days_of_prices(goods: Goods) -> tuple[str, ...]:
    """Of which days the prices of parts are, as a sentence."""
    days = tuple(map(day_words, goods.days))
    return (f"Prices of parts are of {' to '.join(days)}.",) if days else ()


def stands_on(goods: Goods) -> tuple[str, ...]:
    """Of which days prices are, and what is assumed of power otherwise than as usual, as sentences."""
    return (*days_of_prices(goods), *filter(None, (goods.power_said,)))


def card_stands_on(goods: Goods) -> tuple[str, ...]:
    """The same in short, for the foot of a card."""
    return (*days_of_prices(goods), *((OTHER_POWER,) if goods.power_said else ()))


def _apart(goods: Goods) -> Apart:
    """Which goods do not go together: asked again only where something else is known of them."""
    items = [good.item for good in goods.held.values()]
    known = tuple((item.key, item.kind, item.name, as_text(item.facts)) for item in items)
    return KNOWN.of(known, lambda: apart_of(items))
