"""Study folders at random, all of them sound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from typing import TypeVar

from hypothesis import strategies as st

from evenhand.folders.study_folder import (
    DecisionEntry,
    LayoutEntry,
    PastLines,
    PhotoEntry,
    RunEntry,
    ScoreKey,
    StudyFolder,
)
from evenhand.records.amounts import plain_decimal
from evenhand.records.audiences import Audience, Property
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.faults import Ground, Severity
from evenhand.records.layouts import Column, LogKind, Role
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.offers import Offer, Seller
from evenhand.records.part_facts import PartFact
from evenhand.records.photos import PhotoWords
from evenhand.records.prices import Currency, Price
from evenhand.records.rates import Rate
from evenhand.records.runs import Reason, RunState
from evenhand.records.sound import SoundReading
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Script, Test
from evenhand.records.windows import Window

KEYS = st.text("abcxyzäλ7", min_size=1, max_size=6).filter(lambda t: t[0] != "-")
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
WORDS = TEXT.filter(lambda t: t.strip() != "" and any(not c.isspace() for c in t) and _has_word(t))
POSITIVE = st.floats(1e-6, 1e9, allow_nan=False)
SCRIPTS = st.builds(
    Script,
    command=TEXT.map(lambda t: f"run {t}"),
    score=st.sampled_from(["", r"rate (?P<score>[\d.]+)"]),
    warm_up=st.integers(0, 3),
    timeout_s=POSITIVE,
    folder=TEXT,
)
STAMPS = st.dictionaries(WORDS, TEXT, max_size=3)
WHEN = st.datetimes(
    datetime(2000, 1, 1),  # noqa: DTZ001 - hypothesis adds the time zone
    datetime(2090, 1, 1),  # noqa: DTZ001
    timezones=st.sampled_from([UTC, timezone(timedelta(hours=2)), timezone(-timedelta(minutes=210))]),
)
FILES = st.lists(
    st.text("abc é-_.7", min_size=3, max_size=8).filter(lambda t: ".." not in t), min_size=1, max_size=3
)
CHANNELS = [
    (Role.CLOCK, "MHz"),
    (Role.TEMPERATURE, "°C"),
    (Role.POWER, "W"),
    (Role.LOAD, "%"),
    (Role.FAN, "rpm"),
]


def _has_word(text: str) -> bool:
    """Python and the checker's pattern disagree on a few control characters; both must see a word."""
    return any(c.isalnum() for c in text)


@st.composite
def layouts(draw: st.DrawFn, name: str, kind: LogKind) -> LayoutEntry:
    headers = iter(draw(st.lists(WORDS, min_size=8, max_size=8, unique=True)))
    if kind is LogKind.FRAMES:
        roles = [(Role.FRAME_TIME, "ms"), (Role.ELAPSED, "s"), (Role.PROCESSOR_SHARE, "us")]
    elif kind is LogKind.SENSORS:
        roles = [
            (Role.TIMESTAMP, ""),
            *(c for c in CHANNELS for _ in range(draw(st.integers(0, 1)))),
            CHANNELS[0],
        ]
        roles.sort(key=lambda pair: list(Role).index(pair[0]))
    else:
        roles = [(Role.TEST, ""), (Role.RUN, ""), (Role.SCORE, "")]
    columns = tuple(Column(header=next(headers), role=r, unit=u, about=draw(TEXT)) for r, u in roles)
    return LayoutEntry(name=name, kind=kind, columns=columns)


@st.composite
def windows(draw: st.DrawFn, reasons: st.SearchStrategy[str] = TEXT) -> Window:
    start_s = draw(st.floats(0, 1e6))
    end_s = draw(st.none() | st.floats(0.001, 1e6).map(lambda length_s: start_s + length_s))
    return Window(start_s=start_s, end_s=end_s, reason=draw(reasons), by=draw(TEXT))


@st.composite
def tests_of_any_sort(draw: st.DrawFn, key: str) -> Test:
    measures = draw(st.sampled_from(Measures))
    return Test(
        key=key,
        name=draw(WORDS),
        measures=measures,
        metric="score" if measures is Measures.SCORE else draw(WORDS),
        unit=draw(WORDS),
        direction=draw(st.sampled_from(Direction)),
        stresses=tuple(draw(st.lists(WORDS, max_size=2))),
        scene=draw(TEXT),
        version=draw(TEXT),
        settings=draw(STAMPS),
        group=draw(TEXT),
        also=tuple(draw(st.lists(WORDS, max_size=2))),
        locked_fps=draw(st.none() | POSITIVE),
        free_length=draw(st.booleans()),
        minutes=draw(st.none() | POSITIVE),
        script=draw(st.none() | SCRIPTS),
        window=None if measures is Measures.SCORE else draw(st.none() | windows()),
    )


GROUNDS = st.builds(
    Ground,
    kind=WORDS,
    title=WORDS,
    severity=st.sampled_from(Severity),
    evidence=TEXT,
    numbers=st.dictionaries(TEXT, st.floats(allow_nan=False), max_size=2),
)


@st.composite
def decisions(draw: st.DrawFn) -> DecisionEntry:
    state = draw(st.sampled_from(RunState))
    reasons = st.sampled_from(Reason)
    return DecisionEntry(
        at=draw(WHEN),
        state=state,
        reason=draw(reasons if state is RunState.SET_ASIDE else st.none() | reasons),
        note=draw(TEXT),
        over=tuple(draw(st.lists(WORDS, max_size=2))),
        masked=draw(st.booleans()),
        grounds=tuple(draw(st.lists(GROUNDS, max_size=2))),
    )


T = TypeVar("T")

FACT_VALUES = (
    st.booleans() | st.integers(0, 10**6) | POSITIVE | TEXT | st.lists(TEXT, max_size=2)
    | st.lists(st.dictionaries(WORDS, st.integers(0, 16) | st.lists(TEXT), max_size=2), max_size=2)
    | st.dictionaries(WORDS, TEXT, max_size=2)
)  # fmt: skip


@st.composite
def facts(draw: st.DrawFn, parts: Sequence[Part]) -> tuple[PartFact, ...]:
    """Facts of the parts, by source and day, known ones first, as a file has them."""
    found = []
    for part in parts:
        names = iter(draw(st.lists(WORDS, max_size=4, unique=True)))
        places = draw(st.lists(st.tuples(WORDS, st.dates()), max_size=2, unique=True))
        for source, on in places:
            known = [draw(FACT_VALUES), None] if draw(st.booleans()) else [draw(st.none() | FACT_VALUES)]
            found += [
                PartFact(part=part.key, fact=name, value=value, source=source, on=on)
                for name, value in zip(names, known, strict=False)
            ]
    return tuple(found)


KEY_SETS = st.lists(KEYS, max_size=2, unique=True)
CURRENCIES = st.builds(Currency, symbol=st.sampled_from(["dl", "cr", "¤"]), decimals=st.integers(0, 4))


@st.composite
def audiences(
    draw: st.DrawFn, key: str, groups: Sequence[str], tests: Sequence[str], currency: Currency | None
) -> Audience:
    named = [*groups, *tests]
    if not named:
        return Audience(key=key, name="nobody")
    heavy = draw(st.sampled_from(named))
    weights = {name: 1.0 if name == heavy else draw(st.just(0.0) | POSITIVE) for name in named}
    properties = {
        p: draw(POSITIVE) for p in draw(st.lists(st.sampled_from(Property), min_size=1, unique=True))
    }
    if set(properties) == {Property.PRICE}:  # by itself it is refused
        properties[Property.SPEED] = 1.0
    return Audience(
        key=key, name=draw(WORDS), told=draw(TEXT), groups={name: weights[name] for name in groups},
        tests={name: weights[name] for name in tests}, properties=properties,
        fixed_minor=0 if currency is None else draw(st.integers(0, 10**9)),
        hours_a_year=draw(st.none() | ordered(st.floats(0.1, 8784))),
        tariff_minor=None if currency is None else draw(st.none() | TARIFFS),
    )  # fmt: skip


def ordered(ends: st.SearchStrategy[T]) -> st.SearchStrategy[tuple[T, T]]:
    return st.tuples(ends, ends).map(lambda two: (min(two), max(two)))  # type: ignore[type-var]


TARIFFS = ordered(st.integers(0, 10**7)).map(
    lambda two: (plain_decimal(Decimal(two[0]) / 10**4), plain_decimal(Decimal(two[1]) / 10**4))
)


@st.composite
def money_terms(draw: st.DrawFn, currency: Currency | None) -> MoneyTerms:
    amounts = st.just(0) if currency is None else st.integers(0, 10**9)
    return MoneyTerms(
        years=draw(st.floats(0.01, 20)), repairs_minor=draw(amounts), resale=draw(ordered(st.floats(0, 1))),
        fall=draw(ordered(st.floats(0, 5))), horizon_months=draw(st.integers(1, 240)),
        cash_minor=draw(amounts), saved_minor=draw(amounts),
        budget_minor=draw(st.none() if currency is None else st.none() | st.integers(1, 10**9)),
    )  # fmt: skip


@st.composite
def prices(draw: st.DrawFn, builds: Sequence[Build], currency: Currency | None) -> Price:
    return Price(
        build=draw(st.sampled_from(builds)).key, minor=draw(st.integers(1, 10**9)),
        currency=draw(CURRENCIES) if currency is None else draw(st.just(currency) | CURRENCIES),
        on=draw(st.dates()), note=draw(TEXT),
    )  # fmt: skip


@st.composite
def offers(draw: st.DrawFn, parts: Sequence[Part], currency: Currency | None) -> Offer:
    item, shipping, tax = (draw(st.integers(least, 10**9)) for least in (1, 0, 0))
    return Offer(
        part=draw(st.sampled_from(parts)).key, item_minor=item, shipping_minor=shipping, tax_minor=tax,
        coupon_minor=draw(st.integers(0, item + shipping + tax - 1)),
        currency=draw(CURRENCIES) if currency is None else draw(st.just(currency) | CURRENCIES),
        on=draw(st.dates()), seller=draw(st.sampled_from(Seller)), in_stock=draw(st.booleans()),
        note=draw(TEXT),
    )  # fmt: skip


@st.composite
def rates(draw: st.DrawFn) -> Rate:
    of, into = draw(st.tuples(CURRENCIES, CURRENCIES).filter(lambda two: two[0].symbol != two[1].symbol))
    return Rate(
        of=of, into=into, on=draw(st.dates()), note=draw(TEXT),
        rate=draw(st.decimals("0.000000000001", 999_999_999, places=12)),
    )  # fmt: skip


@st.composite
def readings(draw: st.DrawFn, setups: Sequence[Setup], tests: Sequence[Test]) -> SoundReading:
    level_db = draw(st.floats(20, 120))
    return SoundReading(
        setup=draw(st.sampled_from(setups)).key, level_db=level_db,
        background_db=draw(st.none() | st.floats(0, 20)), weighting=draw(st.sampled_from("ACZ")),
        test=draw(st.just("") | st.sampled_from([test.key for test in tests])),
        distance_m=draw(st.none() | POSITIVE), at=draw(st.none() | WHEN), note=draw(TEXT),
        temperatures_c=draw(st.dictionaries(WORDS, st.floats(-40, 150), max_size=2)),
        room_c=draw(st.none() | st.floats(-40, 60)),
    )  # fmt: skip


@st.composite
def photos(draw: st.DrawFn, builds: Sequence[Build]) -> tuple[PhotoEntry, ...]:
    """Photos of the builds, in the order of these as a file has them."""
    words = st.builds(PhotoWords, alt=TEXT, caption=TEXT, taken_on=st.none() | st.dates())
    return tuple(
        PhotoEntry(build=build.key, file=f"photos/{'/'.join(draw(FILES))}-{number}", words=draw(words))
        for build in builds
        for number in range(draw(st.integers(0, 2)))
    )


@st.composite
def runs(draw: st.DrawFn, number: int, folder: StudyFolder) -> RunEntry:
    test = draw(st.sampled_from(folder.tests))
    named = {kind: [e.name for e in folder.layouts if e.kind is kind] for kind in LogKind}

    def layout(kind: LogKind) -> str | None:
        return draw(st.none() | st.sampled_from(named[kind])) if named[kind] else None

    source: dict[str, object]
    file = f"{'/'.join(draw(FILES))}-{number}"
    if test.measures is Measures.FRAMES:
        own = draw(st.none() | windows(WORDS))
        source = {"log": file, "layout": layout(LogKind.FRAMES), "window": own}
    elif draw(st.booleans()):
        source = {"score": draw(POSITIVE)}
    else:
        row = ScoreKey(test=draw(st.just(test.key) | WORDS), run=str(number))
        source = {"scores": "scores.csv", "row": row, "layout": layout(LogKind.SCORES)}
    return RunEntry(
        test=test.key,
        setup=draw(st.sampled_from(folder.setups)).key,
        label=f"{draw(TEXT)} no. {number}",
        sensors=draw(st.none() | st.just("day.csv")),
        sensor_layout=layout(LogKind.SENSORS),
        boot=draw(st.none() | WORDS),
        order=draw(st.none() | st.integers(0, 500)),
        started_at=draw(st.none() | WHEN),
        duration_s=draw(st.none() | POSITIVE),
        ambient_c=draw(st.none() | st.floats(-40, 60)),
        wall_w=draw(st.none() | st.floats(0, 2000)),
        stamps=draw(STAMPS),
        decisions=tuple(draw(st.lists(decisions(), max_size=2))),
        named=draw(st.booleans()),
        **source,  # type: ignore[arg-type]
    )


@st.composite
def study_folders(draw: st.DrawFn) -> StudyFolder:
    parts = tuple(
        Part(key=key, kind=draw(WORDS), name=draw(WORDS), note=draw(TEXT))
        for key in draw(st.lists(KEYS, max_size=3, unique=True))
    )
    slots = iter(draw(st.permutations(range(1, 6))))
    some_parts = st.lists(st.sampled_from([p.key for p in parts]), max_size=3) if parts else st.just([])
    builds = tuple(
        Build(key=key, name=draw(WORDS), slot=next(slots), parts=tuple(draw(some_parts)), note=draw(TEXT))
        for key in draw(st.lists(KEYS, min_size=1, max_size=3, unique=True))
    )
    setups = tuple(
        Setup(
            key=key,
            name=draw(WORDS),
            build=draw(st.sampled_from(builds)).key,
            state=draw(WORDS),
            stamps=draw(STAMPS),
        )
        for key in draw(st.lists(KEYS, min_size=1, max_size=3, unique=True))
    )
    tests = tuple(
        draw(tests_of_any_sort(key)) for key in draw(st.lists(KEYS, min_size=1, max_size=3, unique=True))
    )
    names = draw(st.lists(WORDS, max_size=4, unique=True))
    entries = tuple(draw(layouts(name, draw(st.sampled_from(LogKind)))) for name in names)
    study = Study(
        key=draw(KEYS),
        title=draw(WORDS),
        setups=tuple(setup.key for setup in setups),
        tests=tuple(test.key for test in tests if draw(st.booleans())),
        question=draw(TEXT),
        audience=draw(TEXT),
        budget=draw(TEXT),
        margin=draw(st.floats(1e-6, 0.5)),
        boot_allowance=draw(st.floats(0, 0.5)),
        ambient_c=draw(st.none() | st.tuples(st.floats(-40, 20), st.floats(20, 60))),
    )
    weights = {test: draw(POSITIVE | st.just(0.0)) for test in study.tests if draw(st.booleans())}
    currency = draw(st.none() | CURRENCIES)
    groups = sorted({test.group for test in tests if test.group and _has_word(test.group)})
    weighed = tuple(draw(audiences(key, groups, study.tests, currency)) for key in draw(KEY_SETS))
    told = weighed if groups or study.tests else ()
    money = draw(st.none() | money_terms(currency))
    study = replace(study, weights=weights, currency=currency, audiences=told, money=money)
    folder = StudyFolder(
        study=study, parts=parts, facts=draw(facts(parts)),
        builds=builds, setups=setups, tests=tests, layouts=entries,
        prices=tuple(draw(st.lists(prices(builds, currency), max_size=3))),
        sound=tuple(draw(st.lists(readings(setups, tests), max_size=3))),
        offers=tuple(draw(st.lists(offers(parts, currency), max_size=3))) if parts else (),
        rates=tuple(draw(st.lists(rates(), max_size=2))),
        photos=draw(photos(builds)),
    )  # fmt: skip
    past = PastLines(changes=draw(st.integers(0, 500)), results=draw(st.integers(0, 9)))
    made = tuple(draw(runs(number, folder)) for number in range(draw(st.integers(0, 6))))
    return replace(folder, runs=made, past=past)
