"""What the machine's readings say during a trial: too hot, too much drawn, too slow, not to be read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.rig.readings.sensor import CLOCK, POWER, TEMPERATURE, Sensor
from evenhand.rig.trials.asked import STOPPED, THROTTLED, End
from evenhand.rig.trials.doubtful import MOST_W, Oddities, raw, reading, sane

GONE_S = 10.0  # without a temperature for so long a limit guards nothing
LOW_S = 10.0  # below the clock for so long, and it is no moment between two loads
LOW_PCT = 5.0  # clocks read are means over the cores, and wander by a step or two
HIGH_S = 60.0  # above the most watts for so long, and it is no boost of its first seconds
PROCESSOR = "processor"
PACKAGE = "package"  # what the system's energy counters call a whole processor


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """What ends a trial: the most in °C and in W, and by how many per cent the clock may fall.

    `attended` says that somebody stays with the machine: where no temperature can be read, the trial goes on.
    """

    most_c: float | None = None
    most_w: float | None = None
    low_pct: float = LOW_PCT
    attended: bool = False


class Watch:
    """Looks at the readings once a second; `clock_mhz` is what is tried, where that is known.

    `attended` says that somebody stays with the machine, as they may also have said when they were asked.
    """

    __slots__ = (
        "_bounds", "_clocks", "_heat", "_high_since", "_low_since", "_now_w", "_odd", "_power", "_seen_s",
        "_told_gone", "_watts", "_weighed", "attended", "clock_mhz", "hottest_c", "news",
    )  # fmt: skip

    def __init__(
        self, sensors: Sequence[Sensor], bounds: Bounds, *, part: str, word: str = "", power: str = ""
    ) -> None:
        self._bounds = bounds
        self._heat = temperatures(sensors, word)
        self._clocks = clocks(sensors, part)
        self._power = meters(sensors, part, power)
        self._weighed, self._watts = -1, 0.0  # how often, and their sum; the first counts for nothing
        self._now_w: float | None = None
        self._low_since: float | None = None
        self._high_since: float | None = None
        self._odd = Oddities()
        self._seen_s = 0.0
        self._told_gone = False
        self.attended = bounds.attended
        self.clock_mhz: float | None = None
        self.hottest_c: float | None = None
        self.news = ""

    @property
    def unguarded(self) -> bool:
        """Whether no temperature ends a trial here: none is set, or none can be read."""
        return self._bounds.most_c is None or all(reading(each) is None for each in self._heat)

    def blind(self) -> str:
        """What cannot be watched here, in words; "" where all can."""
        found = []
        if self._bounds.most_c is None:
            found.append("No temperature ends this trial: --most sets one.")
        elif self.unguarded:
            found.append("No temperature can be read here: the limit guards nothing, you do.")
        if self._bounds.most_w is not None and not self._power:
            found.append("No watts of this part can be read here: the limit of its power guards nothing.")
        if not self._clocks:
            found.append("No clock of this part can be read here: a part that throttles is not noticed.")
        return " ".join(found)

    @property
    def watts(self) -> float | None:
        """The mean of what the part drew while the load ran, by its own sensor; None where that was not read.

        The first reading is left out: a counter tells there what came before.
        """
        return round(self._watts / self._weighed, 2) if self._weighed > 0 else None

    @property
    def odd(self) -> tuple[str, ...]:
        """What was odd about its readings, for the record."""
        return tuple(self._odd.kept)

    def look(self, held_s: float) -> End | None:
        """Reads everything; why the trial has to end, or None."""
        self.news = ""
        self._weigh()
        return self._too_hot(held_s) or self._too_much(held_s) or self._too_slow(held_s)

    def _weigh(self) -> None:
        """Reads what the part draws; where one of several sensors says nothing, this second is left out."""
        read = [value for each in self._power if (value := reading(each)) is not None]
        whole = bool(read) and len(read) == len(self._power) and 0 < sum(read) <= MOST_W
        self._now_w = sum(read) if whole else None
        if whole:
            self._weighed += 1
            self._watts += sum(read) if self._weighed else 0.0

    def _too_hot(self, held_s: float) -> End | None:
        told = [(raw(each), each) for each in self._heat]
        for value, each in told:
            self._tell(self._odd.nonsense(each, value))
        read = [(value, each) for value, each in told if value is not None and sane(each, value) is not None]
        if not read:
            return self._gone(held_s)
        self._seen_s, self._told_gone = held_s, False
        now, sensor = max(read, key=lambda pair: pair[0])
        self.hottest_c = max(now, self.hottest_c if self.hottest_c is not None else now)
        self._tell(self._odd.still(sensor, now, held_s))
        if self._bounds.most_c is None or now < self._bounds.most_c:
            return None
        why = f"{sensor.about} reached {now:g} °C, and the limit is {self._bounds.most_c:g} °C"
        return End(outcome=STOPPED, why=why)

    def _gone(self, held_s: float) -> End | None:
        if self._bounds.most_c is None or held_s - self._seen_s < GONE_S:
            return None
        why = f"no temperature could be read for {GONE_S:g} s, so that the limit guarded nothing"
        if not self.attended:
            return End(outcome=STOPPED, why=why)
        if not self._told_gone and self.hottest_c is not None:  # that none can be read at all was told before
            self._told_gone = True
            self._tell("no temperature can be read any more")
        return None

    def _tell(self, said: str) -> None:
        """Says that a reading is not to be trusted, and what hangs on that."""
        if not said:
            return
        guarded = ", the limit guards nothing then" if self._bounds.most_c is not None else ""
        told = f"{said[:1].upper()}{said[1:]}: stay with the machine{guarded}."
        self.news = f"{self.news} {told}".strip()

    def _too_much(self, held_s: float) -> End | None:
        most, drawn = self._bounds.most_w, self._now_w
        if most is None or drawn is None or drawn <= most:
            self._high_since = None
            return None
        if self._high_since is None:
            self._high_since = held_s
        if held_s - self._high_since < HIGH_S:
            return None
        why = f"it drew {drawn:.4g} W, and more than the limit of {most:g} W for {HIGH_S:g} s"
        return End(outcome=STOPPED, why=why)

    def _too_slow(self, held_s: float) -> End | None:
        wanted = self.clock_mhz
        read = [value for each in self._clocks if (value := reading(each)) is not None]
        if not read or wanted is None or self._bounds.low_pct <= 0:
            self._low_since = None
            return None
        if max(read) >= wanted * (1 - self._bounds.low_pct / 100):
            self._low_since = None
            return None
        if self._low_since is None:
            self._low_since = held_s
        if held_s - self._low_since < LOW_S:
            return None
        why = f"the clock was at {max(read):g} MHz for {LOW_S:g} s, {wanted:g} MHz are tried"
        return End(outcome=THROTTLED, why=why, held_s=self._low_since)


def temperatures(sensors: Sequence[Sensor], word: str) -> tuple[Sensor, ...]:
    """The temperatures that are watched: those whose column holds the word, all of them without one."""
    return tuple(each for each in sensors if each.role == TEMPERATURE and word.lower() in each.header.lower())


def clocks(sensors: Sequence[Sensor], part: str) -> tuple[Sensor, ...]:
    """The mean clock over a processor's cores; of other parts nobody knows which reading is the one."""
    return tuple(
        each for each in sensors if each.role == CLOCK and part == PROCESSOR and each.about == PROCESSOR
    )


def meters(sensors: Sequence[Sensor], part: str, word: str) -> tuple[Sensor, ...]:
    """What tells the watts of a part: the columns that hold the word; without one the part's own.

    A processor's are those of its packages, a card's that of the one card. What monitors on a board call
    power nobody knows without being told.
    """
    power = [each for each in sensors if each.role == POWER]
    if word:
        return tuple(each for each in power if word.lower() in each.header.lower())
    if part == PROCESSOR:
        return tuple(each for each in power if each.about.lower().startswith(PACKAGE))
    return tuple(each for each in power if each.about.lower() == part.lower())
