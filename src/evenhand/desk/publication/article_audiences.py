"""Each audience of an article: what is said to it, what flips that, and what a reader may put in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.verdict import Looked, VerdictPage, verdict_page
from evenhand.desk.verdict.judged import ForAudience, Judgement
from evenhand.desk.verdict.verdict_ground import ground_of, sliders_of
from evenhand.editions.article import Figure, Flip, ForWhom, OwnPrice, OwnShare, OwnTerms
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital
from evenhand.publish.verdict_words import chance_words, verdict_sentence, weighing_words
from evenhand.records.amounts import plain_amount
from evenhand.store.workbench import Workbench


def for_whom(wb: Workbench, record: StudyOnRecord, judgement: Judgement) -> Iterator[ForWhom]:
    """Every audience with its sentences, figures, flips, and the terms that a reader may put in."""
    for here in judgement.audiences:
        shown = verdict_page(wb, record.study.key, Looked(audience=here.audience.key))
        yield ForWhom(
            key=here.audience.key, name=isolated(here.audience.name),
            weighs=_weighs(here, judgement.names), said=tuple(_said(here, record, judgement)),
            figures=tuple(_figures(shown)), flips=tuple(_flips(shown)),
            own=_own(record, here, judgement),
        )  # fmt: skip


def _weighs(here: ForAudience, names: Names) -> str:
    told = f"{capital(here.audience.told)}. " if here.audience.told else ""
    return f"{told}{capital(weighing_words(here.audience, names))}."


def _said(here: ForAudience, record: StudyOnRecord, judgement: Judgement) -> Iterator[str]:
    if here.trouble is not None:
        yield f"{capital(str(here.trouble))}."
    for verdict in here.verdicts:
        said = verdict_sentence(
            verdict, here.audience, judgement.names, margin=record.study.margin,
            currency=judgement.paid.currency,
        )  # fmt: skip
        firmly = chance_words(here.wobbles.get((verdict.a, verdict.b)), verdict, judgement.names)
        yield f"{capital(said.removeprefix(f'{isolated(here.audience.name)}: '))} {firmly}"


def _figures(shown: VerdictPage) -> Iterator[Figure]:
    if shown.weight is not None:
        yield Figure(heading=shown.weight.heading, about=shown.weight.about, picture=shown.weight.picture)
    for each in (shown.money.band, shown.money.per_money) if shown.money else ():
        if each is not None:
            yield Figure(heading=each.heading, about=each.words or each.about, picture=each.picture)


def _flips(shown: VerdictPage) -> Iterator[Flip]:
    for each in shown.flips:
        small = f" ({each.small})" if each.small else ""
        yield Flip(change=f"{each.change}{small}", effect=each.effect)


def _own(record: StudyOnRecord, here: ForAudience, judgement: Judgement) -> OwnTerms | None:
    """What a reader may put in; nothing where the study says no currency or the audience has no verdict."""
    currency, names = judgement.paid.currency, judgement.names
    if currency is None or not here.verdicts:
        return None
    minor = judgement.paid.minor
    return OwnTerms(
        currency=currency.symbol,
        prices=tuple(
            OwnPrice(
                setup=setup, name=names.setup(setup), slot=names.slot(setup).number,
                price=str(plain_amount(minor[setup], currency)) if setup in minor else "",
            )
            for setup in record.study.setups
        ),
        shares=tuple(
            OwnShare(key=s.key, name=s.name, value=s.value, said=s.said) for s in sliders_of(here, names)
        ),
        ground={key: each for key, each in _ground(here, names).items() if key != "pairs"},
    )  # fmt: skip


def _ground(here: ForAudience, names: Names) -> dict[str, Any]:
    return ground_of(here, (here.verdicts[0].a, here.verdicts[0].b), names)


def measured(judgement: Judgement) -> Sequence[Mapping[str, Any]]:
    """What all audiences are judged by: the same for each, since it is laid out for all of them."""
    judged = [here for here in judgement.audiences if here.verdicts]
    return _ground(judged[0], judgement.names)["pairs"] if judged else ()
