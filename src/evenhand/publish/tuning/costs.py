"""What tuning costs beside money, in words: watts at the wall, work for a joule, decibels and degrees."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.findings.finding import Outcome
from evenhand.findings.gaps import Gap, Topic
from evenhand.findings.outcomes import LEVEL_INTERVAL
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted, level_words, listed, number, with_unit
from evenhand.publish.spans import Span, percent_span
from evenhand.publish.tuning.bands import kelvins
from evenhand.publish.tuning.words import hours_words, part_words
from evenhand.tuning.bands import Band

NO_WATTS = "No test has watts at the wall of both: read the meter in the same tests on each."
NO_NOISE = "Noise was not read of both under load: read both at the same place, with the room beside it."
NO_HEAT = "Degrees at the same noise are not told: they need levels, the room and temperatures of both."


WHOLE = "the whole machine in what was measured, and not the part alone under the load of its trials"


def price_of(watts: Band | float | None, noise: Sequence[Gap]) -> str:
    r"""What it takes beside money where that is told, and what it saves, as it follows in a sentence.

    >>> price_of(Band(value=24.2, low=20.0, high=28.0), [])
    ' for 24\xa0W more at the wall'
    >>> price_of(Band(value=-12.0, low=-15.0, high=-9.0), [])
    ' with 12\xa0W fewer at the wall'
    >>> price_of(Band(value=3.0, low=-2.0, high=8.0), [])
    ''
    """
    found: list[tuple[float, str, str]] = []
    if isinstance(watts, Band) and (watts.low > 0 or watts.high < 0):
        found.append((watts.value, with_unit(number(abs(watts.value)), "W"), "fewer at the wall"))
    loudest = max(_told(noise), key=lambda gap: abs(gap.difference or 0.0), default=None)
    if loudest is not None and loudest.difference:
        digits = number(abs(loudest.difference), 1).removesuffix(".0")
        found.append((loudest.difference, with_unit(digits, "dB"), "less"))
    spent = [f"{much} more{' at the wall' if 'wall' in way else ''}" for more, much, way in found if more > 0]
    saved = [f"{much} {way}" for more, much, way in found if more < 0]
    said = f" for {listed(tuple(spent))}" if spent else ""
    joined = " and" if spent and saved else ""
    return f"{said}{joined} with {listed(tuple(saved))}" if saved else said


def _told(noise: Sequence[Gap]) -> list[Gap]:
    """Gaps under load that are clear of none."""
    return [
        gap for gap in noise
        if gap.test and gap.outcome in (Outcome.AHEAD, Outcome.BEHIND) and gap.difference is not None
    ]  # fmt: skip


def watts_words(tests: int, stock_w: float, added: Band | float) -> str:
    """What it draws at the wall on top of stock, or less."""
    where = f"on average of {counted(tests, 'test')}" if tests > 1 else "in one test"
    base = f"{with_unit(number(stock_w), 'W')} at stock"
    if not isinstance(added, Band):
        alone = with_unit(number(added, signed=True), "W")
        return f"At the wall {alone} {where} on {base}, without an interval: that settles nothing."
    span = Span(value=added.value, low=added.low, high=added.high)
    if added.low < 0 < added.high:
        return f"At the wall no difference is told {where}: {span.words('W', signed=True)} on {base}."
    way = "more" if added.value > 0 else "fewer"
    return f"At the wall it draws {span.magnitude.words('W')} {way} {where}, on {base}: {WHOLE}."


def joule_words(work: Band) -> str:
    """Work for a joule at the wall over that of stock, as a ratio with its band."""
    span = percent_span(work.value, work.low, work.high)
    if work.low < 1 < work.high:
        return f"For a joule at the wall no difference in work is told: {span.words('%', signed=True)}."
    way = "more" if work.value > 1 else "less"
    return f"For a joule at the wall it does {span.magnitude.words('%')} {way} work than stock."


def gap_words(gap: Gap, names: Names) -> str:
    """One difference in decibels or kelvins, with what it was read at, as a sentence."""
    where = names.test(gap.test) if gap.test else "idle"
    if gap.difference is None:
        why = "" if gap.why is None else f": {gap.why.told(names.setup, names.test)}"
        return f"{_topic(gap)} {where}: not told{why}."
    level = gap.outcome is Outcome.LEVEL
    low, high = (gap.bound_low, gap.bound_high) if level else (gap.low, gap.high)
    note = level_words(LEVEL_INTERVAL) if level else ""
    span = Span(value=gap.difference, low=low, high=high, note=note)
    at = "" if gap.at_db is None else f", both at {with_unit(number(gap.at_db, 1), 'dB')}"
    if level:
        within = with_unit(f"±{gap.margin:.4g}", gap.unit)
        return f"{_topic(gap)} {where}: level within {within}, {span.words(gap.unit, signed=True)}{at}."
    if gap.outcome is Outcome.UNSETTLED:
        return f"{_topic(gap)} {where}: unsettled, {span.words(gap.unit, signed=True)}{at}."
    way = {
        (Topic.SOUND, True): "louder", (Topic.SOUND, False): "quieter",
        (Topic.TEMPERATURE, True): "warmer", (Topic.TEMPERATURE, False): "cooler",
    }[gap.topic, gap.difference > 0]  # fmt: skip
    return f"{_topic(gap)} {where}: {span.magnitude.words(gap.unit)} {way}{at}."


def _topic(gap: Gap) -> str:
    return f"{capital(isolated(gap.part))}," if gap.topic is Topic.TEMPERATURE and gap.part else "Noise,"


def settled_heat_words(part: str, points: tuple[str, str], above_k: tuple[float, float]) -> str:
    """How far above the room a part settles at stock and at the point whose hours are claimed, by its log.

    >>> told = settled_heat_words("processor", ("4,500 MHz", "4,650 MHz"), (45.12, 56.14))
    >>> told.replace("\u00a0", " ")[-77:]
    'settles 45 K above the room at 4,500 MHz, and 56 K at 4,650 MHz: 11 K hotter.'
    """
    stock, there = (round(each) for each in above_k)
    way = (
        "as hot"
        if there == stock
        else f"{kelvins(abs(there - stock))} {'hotter' if there > stock else 'cooler'}"
    )
    return (
        f"By its log of temperatures, and by what it draws, the {isolated(part_words(part))} settles "
        f"{kelvins(stock)} above the room at {points[0]}, and {kelvins(there)} at {points[1]}: {way}."
    )


def trial_heat_words(
    part: str, load: str, points: tuple[str, str], above_k: tuple[float, float], hours: float
) -> str:
    """How warm trials of so many hours each made a part at stock and at the point whose hours are claimed."""
    stock, there = (kelvins(each, 1) for each in above_k)
    return (
        f"In trials of {isolated(load)} of {hours_words(hours)} each the {isolated(part_words(part))} was "
        f"{stock} above the room at {points[0]}, and {there} at {points[1]}, by its hottest readings."
    )


def unlike_heat_words(part: str, load: str, points: tuple[str, str], hours: tuple[float, float]) -> str:
    """That trials of unlike times do not tell how much hotter a part is."""
    return (
        f"How much hotter the {isolated(part_words(part))} gets is not told: trials of {isolated(load)} with "
        f"temperatures ran {hours_words(hours[0])} at {points[0]} and {hours_words(hours[1])} at "
        f"{points[1]}, which is not alike, and no log of temperatures tells where it settles."
    )
