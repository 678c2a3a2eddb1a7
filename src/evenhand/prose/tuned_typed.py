"""Figures of tuned parts that were typed by hand: each held against what the record has of the part."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from evenhand.prose.objection import Objection
from evenhand.prose.reading import Reading
from evenhand.prose.signs import Named
from evenhand.prose.tuned_amounts import Amount, amounts_in, stretch_of, topics_in
from evenhand.prose.tuned_meant import kinds_in
from evenhand.prose.tuned_otherwise import is_so, otherwise
from evenhand.prose.tuned_record import (
    BY_TOPIC,
    WARMTH,
    OnRecord,
    Parts,
    apart,
    as_said,
    at_stock,
    clocks,
    degrees,
    most_work,
    told,
    watts,
)
from evenhand.prose.tuned_said import Span
from evenhand.prose.tuned_shares import is_gain, of_shares
from evenhand.prose.tuned_ways import way_of
from evenhand.tuning.figured import OF_HEAT, Of

# What the words of a clock or a voltage are of, and those of how far two lie apart.
OF_POINTS = ("advised", "enough", "edge", "limit", "set", "at_stock", "clocked")
OF_GAPS = ("reserve", "guard_band", "moved")
METERED = frozenset({Of.DRAW, Of.ADDED, Of.WORK})
AGAINST = frozenset({"stock", "limit", "edge", "advised"})
A_POINT = 0.5  # of the least that was tried: what is as large is no distance from another


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What is objected to of typed figures of tuned parts, where those that were read stand, and in what."""

    objections: tuple[Objection, ...] = ()
    settled: tuple[Span, ...] = ()
    stretches: tuple[Span, ...] = ()


def typed_figures(reading: Reading, parts: Parts, *, about: bool) -> Typed:
    """Amounts of a sentence that are of a tuned part; `about` says that it names one, or speaks of tuning."""
    amounts = tuple(amounts_in(reading))
    parts = _asked(parts, amounts, reading)
    text, rules = reading.sentence.text, reading.rules
    imagined = rules["tuning.imagined"].search(text) or rules["tuning.of_steps"].search(text)
    objections, settled, stretches = list[Objection](), list[Span](), list[Span]()
    for amount in amounts:
        found = _judged(amount, amounts, parts, reading, about=about)
        if found is None:
            continue
        way = way_of(amount, amounts, reading)
        right = any(is_so(amount, way, each) for each in found)
        if not right and imagined:
            continue
        settled.append(amount.span)
        stretches.append(stretch_of(amount, amounts, reading))
        if not right:
            objections.append(otherwise(amount, way, found, reading))
    return Typed(objections=tuple(objections), settled=tuple(settled), stretches=tuple(stretches))


def _asked(parts: Parts, amounts: Sequence[Amount], reading: Reading) -> Parts:
    """The same with the clocks that the sentence names: those at which something was tried."""
    known = {held.clock_mhz for held in parts.held}
    clocks = tuple(
        each for each in amounts
        if each.unit == "MHz" and each.last is None and any(each.tells(clock) for clock in known)
    )  # fmt: skip
    stock = reading.rules["tuning.stock_clock"].search(reading.sentence.text) is not None
    return Parts(held=parts.held, figured=parts.figured, clocks=clocks, stock_clock=stock)


def _judged(
    amount: Amount, amounts: tuple[Amount, ...], parts: Parts, reading: Reading, *, about: bool
) -> list[OnRecord] | None:
    """What the record has to hold an amount against; None where its words are of nothing that it has."""
    of_test = reading.sentence.of(Named.TEST) and not is_gain(amount, parts, reading, about=about)
    if of_test or reading.rules["tuning.of_others"].search(reading.sentence.text):
        return None  # of tests the study's own figures are told
    span = stretch_of(amount, amounts, reading)
    parts = parts.narrowed(reading.sentence.keys(Named.SETUP, span), kinds_in(reading, span))
    if not parts.held:
        return None
    parts = _metered(parts, reading, part=bool(kinds_in(reading, span)))
    own, whole = topics_in(span, reading), topics_in((0, len(reading.sentence.text)), reading)
    unit = amount.unit
    if unit == "°C":
        return _of_degrees(amount, amounts, parts, own or whole, reading, about=about)
    if not about:
        return None
    if unit == "°C/W":
        return list(told(parts.of(Of.WARMING, unit)))
    if unit == "%":
        return of_shares(amount, parts, own, whole, reading, span=span)
    if unit == "W":
        return _of_watts(amount, parts, own, whole, reading, span=span)
    if unit == "MHz" and reading.rules["tuning.most_work"].search(reading.text(span)):
        return _of_most_work(amount, parts, reading, span=span)
    if _is_set_at(amount, amounts, own, reading, parts=parts):
        own = own - {"limit", "edge", "guard_band", "stock", "at_stock"} | {"set"}
    return _of_clock_or_voltage(amount, parts, own, whole)


def _of_most_work(amount: Amount, parts: Parts, reading: Reading, *, span: Span) -> list[OnRecord] | None:
    """The clock at which a part does most work for a joule, unless another is said not to be that."""
    before = reading.text((span[0], amount.span[0]))
    return None if reading.rules["exempt.negation"].search(before) else list(most_work(parts)) or None


def _is_set_at(
    amount: Amount, amounts: tuple[Amount, ...], own: frozenset[str], reading: Reading, *, parts: Parts
) -> bool:
    """Whether a voltage is where a part is set while another amount says how far that is from something."""
    before = reading.sentence.text[: amount.span[0]]
    if amount.unit != "mV" or not own & AGAINST or not reading.rules["tuning.set_at"].search(before):
        return False
    if any(amount.tells(each.value) for each in parts.of(Of.LIMIT, "mV")):
        return False
    start, end = stretch_of(amount, amounts, reading)
    others = (each for each in amounts if each is not amount and each.unit == "mV")
    return any(start <= each.span[0] < end and way_of(each, amounts, reading) for each in others)


def _metered(parts: Parts, reading: Reading, *, part: bool) -> Parts:
    """Watts and work as they were read at the wall where that is said; of a part that is named, its own."""
    if reading.rules["tuning.at_the_wall"].search(reading.sentence.text):
        kept = tuple(each for each in parts.figured if each.of not in METERED or each.meter == "wall")
    else:
        kept = tuple(each for each in parts.figured if each.of not in METERED or each.part or not part)
    return replace(parts, figured=kept)


def _of_clock_or_voltage(
    amount: Amount, parts: Parts, own: frozenset[str], whole: frozenset[str]
) -> list[OnRecord] | None:
    """A clock or a voltage, or how far one lies from another; both where offsets look like either."""
    unit = amount.unit
    if unit == "MHz" and _is_asked_of(amount, parts, own):
        return None
    here = own & {*OF_POINTS, *OF_GAPS, "apart"}
    topics = own if here else whole & {*OF_POINTS, *OF_GAPS} - {"set", "at_stock", "clocked"}
    found: list[OnRecord] = []
    if _may_be(amount, parts, whole=True):
        found += _points(unit, parts, topics)
    if _may_be(amount, parts, whole=False):
        kept = [BY_TOPIC[topic] for topic in ("reserve", "guard_band") if topic in topics]
        gaps = [each for of in kept for each in parts.of(of, unit)]
        found += told(gaps)
        if not gaps and (topics & {"moved"} or ("apart" in topics and topics & AGAINST)):
            found += apart(parts, unit, topics if topics & AGAINST else frozenset({"stock"}))
    return found if any(each.words for each in found) else None


def _is_asked_of(amount: Amount, parts: Parts, own: frozenset[str]) -> bool:
    """Whether a clock says of which one a sentence speaks: one that was tried and is not itself advised."""
    if "limit" in own or ("advised" in own and any(parts.of(Of.ADVISED, "MHz"))):
        return False
    return any(amount.tells(held.clock_mhz) for held in parts.held)


def _may_be(amount: Amount, parts: Parts, *, whole: bool) -> bool:
    """Whether an amount may be a clock or voltage itself, or how far two lie apart; by its size."""
    if amount.unit == "mV" and any(held.offset for held in parts.held):
        return True
    tried = [held.voltage_mv if amount.unit == "mV" else held.clock_mhz for held in parts.held]
    return (amount.first.value >= A_POINT * min(tried)) is whole


def _points(unit: str, parts: Parts, topics: frozenset[str]) -> Iterator[OnRecord]:
    """What is advised, where it begins to fail, what is allowed, what stock is, what was tried."""
    if "enough" in topics:
        yield from told([*parts.of(Of.ADVISED, unit), *parts.of(Of.ENOUGH, unit)])
    for topic in ("advised", "edge"):
        if topic in topics:
            yield from told(parts.of(BY_TOPIC[topic], unit))
    if "limit" in topics:
        yield from told(each for each in parts.figured if (each.of, each.unit) == (Of.LIMIT, unit))
    if unit == "MHz" and "at_stock" in topics:
        yield from at_stock(parts, unit)
    elif unit == "MHz" and "clocked" in topics:
        yield from clocks(parts)
    if unit == "mV" and topics & {"set", "at_stock"} and not topics & {"advised", "enough", "edge", "limit"}:
        yield from at_stock(parts, unit)
        if "set" in topics:
            yield from told(parts.of(Of.ADVISED, unit))
            yield from (OnRecord(value=held.voltage_mv, words="") for held in parts.points())


def _of_watts(
    amount: Amount, parts: Parts, own: frozenset[str], whole: frozenset[str], reading: Reading, *, span: Span
) -> list[OnRecord] | None:
    """Watts of the part: none of the wall's, unless its own trials were read there."""
    wall = reading.rules["tuning.at_the_wall"].search(reading.sentence.text) is not None
    parts = replace(parts, held=()) if wall else parts
    topics = own | (whole & {"drawn"})
    if "apart" in topics and len(reading.sentence.keys(Named.SETUP)) > 1:
        return None  # of two machines
    if reading.rules["tuning.of_shares"].search(reading.text(span)):
        return [as_said(amount)]  # of which the record tells, and no figure has it
    if "limit" in own:
        found = list(told(parts.of(Of.LIMIT, "W")))
    else:
        found = list(watts(parts, topics, reading)) if topics & {"drawn", "apart"} else []
    machine = [] if kinds_in(reading) else [each for each in parts.of(Of.ADDED, "W") if each.over]
    if machine and "apart" in topics and reading.rules["tuning.quicker"].search(reading.sentence.text):
        # Of a whole machine that is quicker the wall tells what that takes.
        found = [
            *(replace(each, first=True) for each in told(machine)),
            *(replace(f, first=False) for f in found),
        ]
    if wall and "apart" in topics and reading.rules["tuning.held_to_stock"].search(reading.sentence.text):
        return found  # be it none: no other watts of the study are what is more or less than at stock
    return found or None


def _of_degrees(
    amount: Amount,
    amounts: Sequence[Amount],
    parts: Parts,
    topics: frozenset[str],
    reading: Reading,
    *,
    about: bool,
) -> list[OnRecord] | None:
    """Degrees of warmth, where the words are of that; those of a room stand beside them as they are."""
    rooms = [each.first.value for each in amounts if is_room(each, reading)]
    known = topics & (WARMTH if about else WARMTH - {"warm"})
    if is_room(amount, reading):
        there = known and any(each.of in OF_HEAT for each in parts.figured)
        return [as_said(amount)] if there else None
    if about and _is_beside(amounts, topics, reading):
        return [as_said(amount)]
    limits = [each for each in parts.figured if (each.of, each.unit) == (Of.LIMIT, "°C")]
    is_gap = any(amount.first.value < A_POINT * each.value for each in limits)
    way = way_of(amount, tuple(amounts), reading) if is_gap and about else None
    known |= {"headroom"} if way is not None and way.against == "limit" else set()
    found = list(degrees(parts, known & {"headroom"} if is_gap else known - {"headroom"}, rooms))
    if "limit" in topics and not is_gap and (known or about):
        found += told(limits)
    return found if any(each.address for each in found) else None


def _is_beside(amounts: Sequence[Amount], topics: frozenset[str], reading: Reading) -> bool:
    """Whether degrees say how far above the room something is, or how warm it is while it draws so much."""
    if reading.rules["tuning.above_room"].search(reading.sentence.text):
        return True
    watts = any(each.unit == "W" for each in amounts)
    return watts and "drawn" in topics and not topics & {*WARMTH, "limit"}


def is_room(amount: Amount, reading: Reading) -> bool:
    """Whether an amount is how warm a room is."""
    text, rules = reading.sentence.text, reading.rules
    before, after = text[: amount.span[0]], text[amount.span[1] :]
    return bool(rules["tuning.room_of"].search(before) or rules["tuning.of_room"].match(after))
