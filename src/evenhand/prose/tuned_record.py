"""What the record has of tuned parts to hold an amount against, by what the words about the amount are of."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from evenhand.prose.quoted_figures import address_of
from evenhand.prose.quoted_tuning import under_load, word
from evenhand.prose.reading import Reading
from evenhand.prose.tuned_amounts import Amount
from evenhand.publish.tuning.quoted import figure_words
from evenhand.publish.tuning.words import apart_words, clock_words, voltage_words
from evenhand.tuning.figured import Of, TunedFigure
from evenhand.tuning.held import Held

BY_TOPIC = {
    "advised": Of.ADVISED, "enough": Of.ENOUGH, "edge": Of.EDGE, "guard_band": Of.GUARD_BAND,
    "reserve": Of.RESERVE, "limit": Of.LIMIT, "headroom": Of.HEADROOM, "steady": Of.STEADY,
    "warm": Of.STEADY, "work": Of.WORK, "gain": Of.GAIN,
}  # fmt: skip
"""Which figure the words of a topic are of."""
WARMTH = frozenset({"headroom", "steady", "warm"})


@dataclass(frozen=True, slots=True, kw_only=True)
class OnRecord:
    """A value of the record, in words and under its address ("" where it has none), with its interval.

    `first` says that it is of the point by which the part is spoken of. Of how far one lies from another
    `way` is the sign of what is tuned less the other, 0 of all else, and `directed` says it in words.
    """

    value: float
    words: str
    address: str = ""
    way: int = 0
    directed: str = ""
    low: float | None = None
    high: float | None = None
    first: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """The tuned parts that a sentence may mean: their points, their figures, and the clocks that it names."""

    held: tuple[Held, ...]
    figured: tuple[TunedFigure, ...]
    clocks: tuple[Amount, ...] = ()
    stock_clock: bool = False

    def of(self, of: Of, unit: str) -> Iterator[TunedFigure]:
        """Figures of one sort, of the clocks that are named where any is."""
        own = [each for each in self.figured if each.of is of and each.unit == unit]
        named = [each for each in own if each.at_clock is not None and self.names(each.at_clock, each.setup)]
        yield from named if any(each.at_clock is not None for each in own) and self._asks else own

    def narrowed(self, setups: Collection[str], kinds: Collection[str]) -> Parts:
        """Those of these setups and kinds alone, where any are named."""

        def own(setup: str, part: str) -> bool:
            return (not setups or setup in setups) and (not kinds or not part or part in kinds)

        return replace(
            self, held=tuple(each for each in self.held if own(each.setup, each.part)),
            figured=tuple(each for each in self.figured if own(each.setup, each.part)),
        )  # fmt: skip

    @property
    def _asks(self) -> bool:
        return bool(self.clocks) or self.stock_clock

    def names(self, clock_mhz: float, setup: str) -> bool:
        """Whether a clock is one of those that the sentence names; any is where it names none."""
        if not self._asks:
            return True
        stocks = {each.stock[0] for each in self.held if each.setup == setup}
        if self.stock_clock and clock_mhz in stocks:
            return True
        return any(each.tells(clock_mhz) for each in self.clocks)

    def points(self) -> Iterator[Held]:
        """The points that were tried at the clocks that are named."""
        return (each for each in self.held if self.names(each.clock_mhz, each.setup))


def told(figures: Iterable[TunedFigure]) -> Iterator[OnRecord]:
    """Figures as amounts are held against them."""
    for each in figures:
        way, directed = _way(each)
        yield OnRecord(
            value=each.value, words=figure_words(each)[1], address=address_of(each), low=each.low,
            high=each.high, first=each.spoken, way=way, directed=directed,
        )  # fmt: skip
        if each.surely is not None:
            yield OnRecord(value=each.surely, words=figure_words(each)[1], address=address_of(each))


def as_said(amount: Amount) -> OnRecord:
    """An amount that is of the part and that no figure has: it is held against nothing."""
    return OnRecord(value=amount.first.value, words="")


def _way(figure: TunedFigure) -> tuple[int, str]:
    """Which way a figure lies of what it is held against, and the figure with that in words."""
    words, way = figure_words(figure)[1], sign_of(figure.value)
    if figure.of in (Of.ADDED, Of.WORK):
        return way, f"{words} than at stock"
    if figure.of is Of.GAIN:
        return way, f"{words}, {'faster' if way > 0 else 'slower'} than at stock"
    if figure.of is Of.GUARD_BAND:
        return 1, f"what is advised lies {words} above the edge"
    if figure.of is Of.HEADROOM:
        return -way, f"it settles {words} {'below' if way > 0 else 'above'} the maker's limit"
    return 0, ""


def sign_of(value: float) -> int:
    """1, 0 or -1."""
    return (value > 0) - (value < 0)


def at_stock(parts: Parts, unit: str) -> Iterator[OnRecord]:
    """The clocks of parts at stock, or their voltages, where they are noted."""
    for held in {(each.setup, each.part): each for each in parts.held}.values():
        clock, volts = held.stock_as_set
        whose = f"of {held.setup} by {word(held.part)} at stock"
        if unit == "MHz":
            yield OnRecord(value=clock, words=clock_words(clock), address=f"clock {whose}")
        elif volts is not None:
            words = voltage_words(volts, offset=held.offset)
            yield OnRecord(value=volts, words=words, address=f"voltage {whose}")


def clocks(parts: Parts) -> Iterator[OnRecord]:
    """The clocks that were tried, and by which of them parts are spoken of."""
    for held in parts.held:
        words = clock_words(held.clock_mhz) if held.told else ""
        whose = f"of {held.setup} by {word(held.part)} {under_load(held.load, held.settings)}"
        yield OnRecord(
            value=held.clock_mhz, words=words, address=f"clock {whose}" if held.told else "", first=held.told
        )


def rises(parts: Parts) -> Iterator[OnRecord]:
    """By how much the clocks that were tried lie above those of stock, in per cent."""
    for held in parts.held:
        yield OnRecord(value=100 * (held.clock_mhz / held.stock[0] - 1), words="")


def apart(parts: Parts, unit: str, topics: frozenset[str]) -> Iterator[OnRecord]:
    """How far what is advised, or what is spoken of, lies from stock, from its limit, from the edge."""
    against = topics & {"stock", "limit", "edge"} or {"stock", "limit", "edge"}
    for of, first, clock, voltage in _spoken(parts):
        setup, part = of.setup, of.part
        here = voltage if unit == "mV" else clock
        if "stock" in against:
            own_stock = (h.stock_as_set for h in parts.held if (h.setup, h.part) == (setup, part))
            stock = next(own_stock, (clock, None))
            there = stock[1] if unit == "mV" else stock[0]
            if there is not None and there != here:
                yield _far(here, there, apart_words(here, there, unit, "stock"), first=first)
        for each in parts.figured:
            own = (each.setup, each.part, each.unit) == (setup, part, unit)
            if own and "limit" in against and each.of is Of.LIMIT:
                words = apart_words(here, each.value, unit, "the maker's limit")
                yield _far(here, each.value, words, first=first)
            if own and "edge" in against and each.of is Of.EDGE and each.clock_mhz == clock:
                words = apart_words(here, each.value, unit, "the edge")
                yield _far(here, each.value, words, first=first)


def _far(here: float, there: float, words: str, *, first: bool) -> OnRecord:
    return OnRecord(
        value=here - there, words=words, first=first, way=sign_of(here - there), directed=f"it is set {words}"
    )


def _spoken(parts: Parts) -> Iterator[tuple[Held | TunedFigure, bool, float, float]]:
    """Advised points, and those that parts are spoken of by, which is told; at the clocks that are named."""
    for held in parts.points():
        if held.told:
            yield held, True, held.clock_mhz, held.voltage_mv
    for each in parts.of(Of.ADVISED, "mV"):
        if each.clock_mhz is not None and each.voltage_mv is not None:
            yield each, each.spoken, each.clock_mhz, each.voltage_mv


def watts(parts: Parts, topics: frozenset[str], reading: Reading) -> Iterator[OnRecord]:
    """What a part draws: at stock, where it is tuned, or more than at stock; by its law and by its trials."""
    tuned = reading.rules["tuning.tuned"].search(reading.sentence.text) is not None
    if "apart" in topics:
        yield from told(parts.of(Of.ADDED, "W"))
        return
    at_stock = "stock" in topics
    drawn = [
        each for each in parts.figured
        if each.of is Of.DRAW and (each.stock if at_stock else not (tuned and each.stock))
        and (at_stock or each.clock_mhz is None or parts.names(each.clock_mhz, each.setup))
    ]  # fmt: skip
    yield from told(drawn)
    for held in parts.held if at_stock else parts.points():
        is_stock = (held.clock_mhz, held.voltage_mv) == held.stock_as_set
        if is_stock if at_stock else not (tuned and is_stock):
            yield from (OnRecord(value=each, words="") for each in held.watts)


def most_work(parts: Parts) -> Iterator[OnRecord]:
    """The clock of most work for a joule; stock, too, where there is no more than at stock."""
    for each in parts.figured:
        if each.of is Of.WORK and each.clock_mhz is not None:
            words = f"{clock_words(each.clock_mhz)}, where it does most work for a joule"
            yield OnRecord(value=each.clock_mhz, words=words)
            if each.value <= 0:
                stocks = {held.stock[0] for held in parts.held if held.setup == each.setup}
                yield from (OnRecord(value=stock, words="") for stock in stocks)


def degrees(parts: Parts, topics: frozenset[str], rooms: Sequence[float]) -> Iterator[OnRecord]:
    """Where a part settles, in another room by as much more or less; how far that is from its limit."""
    for topic in sorted(WARMTH & topics):
        for each in parts.of(BY_TOPIC[topic], "°C"):
            yield from told([each])
            yield from _elsewhere(each, rooms)
    if "warm" in topics:
        hottest = (value for held in parts.held for value in held.hottest_c)
        yield from (OnRecord(value=each, words="") for each in hottest)
    if "limit" in topics:
        yield from told(parts.of(Of.LIMIT, "°C"))


def _elsewhere(figure: TunedFigure, rooms: Sequence[float]) -> Iterator[OnRecord]:
    """The same in another room that is named: it settles as much warmer as the room is."""
    way = -1 if figure.of is Of.HEADROOM else 1
    for room in rooms:
        if figure.room_c is not None and room != figure.room_c:
            value = figure.value + way * (room - figure.room_c)
            yield OnRecord(value=value, words="", way=-sign_of(value) if way < 0 else 0)
