"""What a tuned part draws, and where it does the most work for a joule, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from evenhand.publish.numbers import MOST_DECIMALS, capital, count_word, counted, number, with_unit
from evenhand.publish.spans import Span, percent_span
from evenhand.publish.tuning.bands import WATTS_DECIMALS
from evenhand.publish.tuning.words import clock_words, point_words
from evenhand.records.trials import Meter
from evenhand.tuning.bands import Band, Known, reach
from evenhand.tuning.efficiency import Efficient
from evenhand.tuning.metered import Lack, Metered
from evenhand.tuning.watts import FEWEST, SWITCHING_SPAN, Drawn, Leaks

NOTHING_READ = (
    "No trial has watts on record, so that nothing is known of what the part draws. Note their mean beside a "
    "trial, and where they were read: at the part where its own sensor tells, else at the wall."
)
APART = "Watts at the wall and at the part are of two meters: each has a law of its own, and none is mixed."
NO_STOCK = "Which clock does the most work for a joule is not told: the voltage at stock is not noted."
NO_ADVICE = "Which clock does the most work for a joule is not told: no clock has an advised voltage yet."
BESIDES: Mapping[Meter, str] = {
    Meter.PART: "what leaks, and whatever else its sensor sees",
    Meter.WALL: "what leaks, what the rest of the machine takes, and what its supply loses",
}
ENDS: Mapping[str, str] = {"lowest": "lower", "highest": "higher"}
UNTOLD = 0.5  # of a share: with a wider half of its band it says nothing
PARTED = 0.25  # of C: with a wider half of its band the parts of the sum are hardly told


def lack_words(read: Metered) -> str:
    """Why watts of one meter tell no law, and what to do."""
    where = f"at the {read.meter.value}"
    if read.lack is Lack.LEFT_ALONE:
        return (
            "The voltage of this part is left alone, and follows its clock unseen: at which V²·f its watts "
            f"{where} were read is not known. They stand beside each trial."
        )
    if read.lack is Lack.OFFSETS:
        return (
            "Voltages of this part are offsets, and its voltage at stock is not noted: nobody knows at which "
            f"V²·f its watts {where} were read. Note it."
        )
    if read.lack is Lack.FEW:
        said = f"{capital(counted(read.points, 'point'))} with watts {where} can be used, and "
        said += f"{count_word(FEWEST)} that differ in clock or voltage are needed: note the watts of more "
        return f"{said}trials.{left_words(read)}"
    said = f"The points with watts {where} are too alike: their V²·f differs by {_more(read.span)}, and "
    said += (
        f"{_more(SWITCHING_SPAN)} are needed to tell what switches from what leaks. Read watts at a lower "
    )
    return f"{said}clock or voltage, too.{left_words(read)}"


def _more(times: float) -> str:
    return with_unit(number(100 * (times - 1)), "%")


def left_words(read: Metered) -> str:
    """Which trials with watts were left out, as a sentence that follows; "" where none was."""
    short = f"{counted(read.left, 'trial')} that {_were(read.left)} throttled or ran less than three minutes"
    cold = f"{counted(read.unread, 'trial')} without a temperature, which others have"
    told = [said for many, said in ((read.left, short), (read.unread, cold)) if many]
    return f" Left out: {'; '.join(told)}." if told else ""


def _were(many: int) -> str:
    return "was" if many == 1 else "were"


def law_words(read: Metered, power: Drawn) -> Iterator[str]:
    """What switches and what does not, whether that is told apart, and how leakage grows, as sentences."""
    rests, warm = power.resting_w, f" and {with_unit(number(power.middle_c), '°C')}" if read.warm else ""
    at = f"{with_unit(number(1000 * power.middle_v), 'mV')}{warm}"
    yield (
        f"By {counted(len(read.trials), 'trial')} read at the {read.meter.value}, "
        f"{band_words(power.switched_nf, 'nF')} are switched in every cycle; "
        f"{band_words(rests, 'W')} are drawn at {at} whatever the clock: {BESIDES[read.meter]}."
        f"{left_words(read)}"
    )
    if power.switched_nf.half > PARTED * power.switched_nf.value:
        yield (
            f"V²·f of these trials differs by {_more(read.span)} only: their sum is known well and its parts "
            "hardly. Watts at a clock far below stock would tell them apart."
        )
    yield _growth_words(power)


def _growth_words(power: Drawn) -> str:
    """The form of leakage, whether another fits as well, and whether its growth is told or only believed."""
    form = "exponentially" if power.leaks is Leaks.EXPONENTIAL else "in a straight line"
    told = [
        name for name, there in (("voltage", power.volts_told), ("temperature", power.heat_told)) if there
    ]
    believed = [name for name in ("voltage", "temperature") if name not in told]
    said = f"What leaks is taken to grow {form}"
    said += "; another form fits worse" if power.sure else "; these trials tell no form from another"
    if not told:
        return f"{said}, and how fast it grows is what is believed of any part, not what they tell."
    if believed:
        return f"{said}. How fast it grows with {told[0]} they tell; with {believed[0]} it is only believed."
    return f"{said}. How fast it grows with voltage and with temperature they tell."


def share_words(point: str, watts: Band, switching: Band, *, warm_c: float | None = None) -> str:
    """What the law says one point draws, how warm it is, and what switching takes, where that is told."""
    warm = "" if warm_c is None else f" at {with_unit(number(warm_c), '°C')}"
    takes = f"By the law of these trials, {point} takes {band_words(watts, 'W')}{warm}"
    if switching.half > UNTOLD * switching.value:
        return f"{takes}; how much of it switches is not told."
    return f"{takes}, of which switching takes {band_words(switching, 'W')}."


def band_words(band: Band, unit: str) -> str:
    r"""A value above 0 with its band, whose lower end is never told below 0.

    >>> band_words(Band(value=3, low=-1, high=7), "W")
    '3.0\xa0W (0.0 to 7.0)'
    >>> band_words(Band(value=152.588, low=152.28, high=152.98), "W")
    '152.6\xa0W (152.3 to 153.0)'
    """
    finest = WATTS_DECIMALS if unit == "W" else MOST_DECIMALS
    return Span(value=band.value, low=max(band.low, 0.0), high=band.high, finest=finest).words(unit)


def lawful_words(watts: Band, gain: Band) -> tuple[str, str]:
    r"""Watts, and work for a joule over stock, each with its band.

    >>> lawful_words(Band(value=95.7, low=95.0, high=96.5), Band(value=0.96, low=0.95, high=0.97))
    ('95.7\xa0W (95.0 to 96.5)', '−4.0\xa0% (−5.0 to −3.0)')
    """
    over = percent_span(gain.value, gain.low, gain.high)
    return band_words(watts, "W"), over.words("%", signed=True)


def best_words(found: Efficient, point: str, meter: Meter, *, end: str = "") -> Iterator[str]:
    """The clock with the most work per joule, what it gains over stock, and which end of all it is."""
    gain = percent_span(found.gain.value, found.gain.low, found.gain.high)
    rate = percent_span(found.rate.value, found.rate.low, found.rate.high)
    by = f"by watts at the {meter.value}"
    if found.gain.high <= 1:
        yield (
            f"No clock with an advised voltage does more work for a joule than stock does, {by}: the best of "
            f"them, {point}, does {gain.magnitude.words('%')} less."
        )
    else:
        more = f"{gain.words('%', signed=True)} over stock"
        if found.gain.low < 1:
            more += ", which these trials do not tell from none"
        yield f"Of the clocks with an advised voltage {point} does the most work for a joule, {by}: {more}."
    if abs(found.rate.value - 1) > 1e-9:
        yield f"It works {rate.magnitude.words('%')} {'faster' if found.rate.value > 1 else 'slower'} there."
    if found.clock_mhz.low < found.clock_mhz.high:
        ends = (clock_words(found.clock_mhz.low), clock_words(found.clock_mhz.high))
        yield f"The trials leave open which it is, from {ends[0]} to {ends[1]}."
    if end:
        yield f"It is the {end} of these clocks: a {ENDS[end]} one may do better still."


def only_words(found: Efficient, point: str, meter: Meter) -> str:
    """What the only clock with an advised voltage does for a joule, over stock."""
    gain = percent_span(found.gain.value, found.gain.low, found.gain.high)
    by = f"by watts at the {meter.value}"
    if found.gain.low < 1 < found.gain.high:
        told = f"as far as these trials tell: {gain.words('%', signed=True)}"
        return f"{point} does as much work for a joule as stock, {by}, {told}."
    way = "more" if found.gain.value > 1 else "less"
    return f"{point} does {gain.magnitude.words('%')} {way} work for a joule than stock, {by}."


def elasticity_words(known: Known, tests: int, *, cooled: bool) -> str:
    """What is taken of work and of warmth there."""
    if tests:
        half = reach() * known.sd
        span = Span(value=known.value, low=known.value - half, high=known.value + half).words("")
        said = (
            f"Work is taken to follow the clock by {span} of it, as {counted(tests, 'test')} did on average; "
        )
    else:
        said = "Work is taken to go in step with the clock, the most that it can: no test here was run at "
        said += "two clocks of this part; "
    if cooled:
        return f"{said}more watts make it warmer, as its log of temperatures tells."
    return f"{said}that more watts make it warmer is not counted."


def watts_foot(
    stock: tuple[float, float], known: Known, *, offset: bool, same_clock: bool
) -> tuple[str, ...]:  # fmt: skip
    """What stands under the picture of watts: what stock is, what marks are, what is taken of work."""
    work = f"Work is taken to follow the clock by {number(known.value, 2)} of it."
    if known.value == 1 and not known.sd:
        work = "Work is taken to go in step with the clock."
    return (
        f"Stock: {point_words(*stock, offset=offset)}.",
        "Trials stand as read, each at its own voltage, with what readings scatter: less voltage draws less.",
        *(() if same_clock else (work,)),
        "It holds for this part alone: copy no voltage.",
    )
