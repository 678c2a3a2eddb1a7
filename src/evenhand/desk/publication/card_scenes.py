"""What each card of a study shows, off its record: nothing where there is nothing to show."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.comparison.pair_names import PairKeys
from evenhand.desk.money.basis import ground_for
from evenhand.desk.money.owning import owning
from evenhand.desk.parts.price_days import study_prices
from evenhand.desk.publication.card_ground import CardGround
from evenhand.desk.verdict.judged import ForAudience
from evenhand.metrics.wall import WALL_POWER
from evenhand.money.price_days import HISTORY_DAYS, usual
from evenhand.publish.dates import days_words
from evenhand.publish.figures.beside import Measured
from evenhand.publish.figures.break_even import Level, Prices
from evenhand.publish.figures.flip_cards import Flips
from evenhand.publish.figures.headline import ForWhom
from evenhand.publish.figures.interval_rows import Pair, Row
from evenhand.publish.figures.owning import Bar
from evenhand.publish.figures.owning_card import OwningScene
from evenhand.publish.figures.price_card import PriceLine, PriceLines
from evenhand.publish.figures.price_index import Point, PriceIndex
from evenhand.publish.numbers import capital, counted, with_unit
from evenhand.publish.owning_words import line_words
from evenhand.publish.standing import standing
from evenhand.publish.tried_words import nothing_turns
from evenhand.publish.verdict_words import front_span
from evenhand.verdicts.claims import Kind
from evenhand.verdicts.verdict import Verdict


def headline_scene(ground: CardGround, pair: PairKeys) -> tuple[ForWhom, ...]:
    """Every audience with a verdict on the pair; the index over all tests where no audience is on record."""
    about = ground.about(pair)
    found = []
    for here in ground.judgement.audiences:
        verdict = here.verdict(*pair)
        if verdict is not None:
            kinds = (Kind.INDEX,) if here.stand_in else (Kind.AUDIENCE, Kind.VALUE)
            sayings = ground.sayings(here, pair, kinds)
            besides = f"{capital(verdict.bought)}." if verdict.bought else ""
            found.append(
                ForWhom(
                    name=ground.people[here.audience.key], sayings=sayings, row=_row(verdict, about),
                    besides=besides,
                )
            )  # fmt: skip
    return tuple(found)


def _row(verdict: Verdict, about: Pair) -> Row:
    """A verdict as it is drawn, a to the right, and in words."""
    span = standing(verdict)
    leader = about.leader(verdict.outcome)
    word = verdict.outcome.value
    if leader is not None and span is not None:
        word = with_unit(front_span(verdict).digits(), "%")
    return Row(label="", outcome=verdict.outcome, span=span, word=word, leader=leader)


def foot_of_pair(ground: CardGround, pair: PairKeys) -> tuple[str, ...]:
    """On what a pair's verdicts rest: tests, reservations, the days of prices."""
    tests = counted(len(ground.record.compared_tests), "test").capitalize()
    return (f"{tests}.", *ground.about(pair).reserved, *dated(ground, pair))


def dated(ground: CardGround, pair: PairKeys) -> tuple[str, ...]:
    """Of which days the prices of the two are, as a sentence; none without prices."""
    prices = ground.judgement.paid.by_setup
    days = [prices[setup].on for setup in pair if setup in prices]
    return (f"Prices of {days_words(days)}.",) if days else ()


def prices_scene(ground: CardGround, pair: PairKeys) -> Prices | None:
    """The price of the first setup against the band of each audience; None without prices or intervals."""
    paid = ground.judgement.paid
    levels = tuple(_levels(ground, pair))
    if paid.currency is None or not levels or not set(pair) <= set(paid.by_setup):
        return None
    return Prices(
        a=pair[0], b=pair[1], now=paid.by_setup[pair[0]].minor, other=paid.by_setup[pair[1]].minor,
        days=tuple(sorted({paid.by_setup[setup].on for setup in pair})), currency=paid.currency,
        levels=levels,
    )  # fmt: skip


def _levels(ground: CardGround, pair: PairKeys) -> Iterator[Level]:
    for here in ground.judgement.audiences:
        verdict = here.verdict(*pair)
        if verdict is not None and verdict.break_even is not None and verdict.break_even.low is not None:
            yield Level(
                audience=ground.people[here.audience.key], even=verdict.break_even,
                sayings=ground.sayings(here, pair, (Kind.VALUE,)), value_open=verdict.value_open,
            )  # fmt: skip


def price_scene(ground: CardGround) -> PriceIndex | None:
    """Every priced setup with its index for the first audience; None with fewer than two of them."""
    paid, here = ground.judgement.paid, ground.judgement.audiences[0]
    priced = [setup for setup in ground.record.study.setups if setup in paid.by_setup]
    points = tuple(_points(here, priced, paid.minor))
    if paid.currency is None or len(points) < 2 or here.case.states:
        return None
    said = ground.sayings(here, (points[0].setup, points[1].setup), (Kind.VALUE,))
    return PriceIndex(
        audience=ground.people[here.audience.key], base=points[0].setup, points=points,
        currency=paid.currency,
        days=paid.days, unpriced=paid.unpriced, sayings=said,
        among=here.among,
    )  # fmt: skip


def _points(here: ForAudience, priced: list[str], minor: dict[str, int]) -> Iterator[Point]:
    """The first priced setup at 100, each other as its verdict against it says."""
    for setup in priced[:1]:
        yield Point(setup=setup, minor=minor[setup], index=100.0)
    for setup in priced[1:]:
        verdict = here.verdict(priced[0], setup)
        if verdict is not None and verdict.break_even is not None:
            low, high = (None if end is None else 100 / end for end in (verdict.high, verdict.low))
            yield Point(setup=setup, minor=minor[setup], index=100 / verdict.ratio, low=low, high=high)


def history_scene(ground: CardGround) -> PriceLines | None:
    """What every build cost over time; None where none was looked at on more than one day."""
    currency, setups = ground.record.study.currency, ground.record.study.setups
    found = study_prices(ground.wb, ground.record.study, ground.record.builds.values())
    own = {setup: found[ground.record.setups[setup].build] for setup in setups} if found else {}
    last = max((max(each.days) for each in own.values() if each.days), default=None)
    if currency is None or last is None:
        return None
    looked = {s: [d for d in each.days if 0 <= (last - d).days < HISTORY_DAYS] for s, each in own.items()}
    if all(len(days) < 2 for days in looked.values()):
        return None
    lines = tuple(
        PriceLine(setup=setup, days=each.days, usual=usual(each.days, on=last), out=each.out)
        for setup, each in own.items()
        if looked[setup]
    )
    unpriced = tuple(setup for setup in setups if not looked[setup])
    return PriceLines(lines=lines, currency=currency, until=last, unpriced=unpriced)


def owning_scene(ground: CardGround) -> OwningScene | None:
    """What every priced setup costs the first audience to own; None with fewer than two of them."""
    here = ground.judgement.audiences[0]
    found = ground_for(ground.record, ground.judgement, here) if here.trouble is None else None
    if found is None:
        return None
    own = owning(found)
    return OwningScene(
        audience=ground.people[here.audience.key],
        bars=tuple(Bar(setup=setup, own=each) for setup, each in own.by_setup.items()),
        years=found.kept.years, currency=found.currency, counted=own.counted,
        told=line_words(found.kept, found.currency, counted=own.counted),
        days=ground.judgement.paid.days,
    )  # fmt: skip


def flips_scene(ground: CardGround, pair: PairKeys) -> Flips | None:
    """What turns the first audience's verdict on the pair; None where there is no verdict."""
    here = ground.judgement.audiences[0]
    verdict = here.verdict(*pair)
    if verdict is None:
        return None
    kinds = (Kind.INDEX,) if here.stand_in else (Kind.AUDIENCE, Kind.VALUE)
    return Flips(
        about=ground.about(pair), audience=ground.people[here.audience.key], ratio=verdict.ratio,
        flips=tuple(flip for flip in here.flips if (flip.a, flip.b) == pair),
        currency=ground.judgement.paid.currency,
        runs={each.run.id: each.run.label for each in ground.record.runs},
        now=ground.sayings(here, pair, kinds),
        nothing=nothing_turns(here.tried.get(pair, ()), value=verdict.says_value),
    )  # fmt: skip


def beside_scene(ground: CardGround, pair: PairKeys) -> Measured:
    """Noise, heat and watts of the pair, whatever of them was measured."""
    evidence, here = ground.evidence, ground.judgement.audiences[0]
    watts = evidence.power.findings
    return Measured(
        about=ground.about(pair), gaps=tuple(g for g in evidence.gaps if (g.a, g.b) == pair),
        watts=tuple(f for f in watts if (f.a, f.b) == pair and f.metric == WALL_POWER),
        sayings=ground.sayings(here, pair, (Kind.NOISE, Kind.HEAT, Kind.POWER)),
    )  # fmt: skip
