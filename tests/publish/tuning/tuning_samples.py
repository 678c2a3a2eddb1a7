"""Maps, claims and temperatures of tuned parts, in their usual and in their awkward cases."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from functools import cache

import numpy as np
from tests.publish import saltmarsh as s

from evenhand.publish.figures.tuning.claim_bar import ClaimBar, claim_bar
from evenhand.publish.figures.tuning.heat_curve import HeatCurve, heat_curve
from evenhand.publish.figures.tuning.map import tuning_map
from evenhand.publish.figures.tuning.marks import Ended
from evenhand.publish.figures.tuning.scene import TuningMap
from evenhand.publish.figures.tuning.watts_curve import Lawful, ReadWatts, WattsCurve, watts_curve
from evenhand.publish.names import Names
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.tuning.titles import watts_titles
from evenhand.publish.tuning.watts import watts_foot
from evenhand.records.trials import Limit, Meter, Outcome, Quantity, Trial
from evenhand.tuning.advice import Advice, Goal, advise
from evenhand.tuning.bands import Band, Known
from evenhand.tuning.edge import EDGE_RATE, learn
from evenhand.tuning.evidence import evidence_of
from evenhand.tuning.planning import NextTrial, standing, tried_points, walk_trial
from evenhand.tuning.walk import Map, Purpose, against_order

LIMIT = Limit(
    quantity=Quantity.VOLTAGE, most=1150.0, source="the part's data sheet, table 7", read_on=date(2026, 11, 1)
)
CLOCK_LIMIT = replace(LIMIT, quantity=Quantity.CLOCK, most=5175.0)
HEAT_LIMIT = replace(LIMIT, quantity=Quantity.TEMPERATURE, most=85.0, source="the part's data sheet")
GOAL = Goal(room_c=30.0, step_mv=5.0)
LONG_PART = "processor " + "of the second batch, with the lid that was ground flat " * 4
SLOPE, SPREAD = 0.4, 4.0  # of the simulated part: mV per MHz, mV in which failures become fewer by e


def edge_mv(clock_mhz: float) -> float:
    return 960.0 + SLOPE * (clock_mhz - 5000)


def tried(clock_mhz: float, voltage_mv: float, hours: float, rng: np.random.Generator) -> Trial:
    """A trial of the simulated part."""
    above = voltage_mv - edge_mv(clock_mhz)
    fails = float(rng.exponential(1 / (EDGE_RATE * math.exp(min(-above / SPREAD, 60.0)))))
    return trial(
        clock_mhz, voltage_mv, min(hours, fails), Outcome.CRASH if fails < hours else Outcome.PASSED, hours
    )


def trial(
    clock_mhz: float, voltage_mv: float, hours: float, outcome: Outcome, planned_h: float | None = None
) -> Trial:
    return Trial(
        setup="plover", part="processor", clock_mhz=clock_mhz, voltage_mv=voltage_mv, load="known answers",
        hours=hours, planned_h=planned_h, outcome=outcome, room_c=24.0,
    )  # fmt: skip


def grid(clocks: int) -> Map:
    volts = tuple(float(v) for v in range(850, 1151, 5))
    return Map(
        clocks_mhz=tuple(5000.0 + 50 * n for n in range(clocks)), voltages_mv=volts,
        start=(0, volts.index(1010.0)),
    )  # fmt: skip


@cache
def walked(clocks: int, more: int = 30) -> TuningMap:
    """A part tuned by the plan over so many clocks, and so many trials after the walk."""
    rng, own, trials = np.random.default_rng(7), grid(clocks), list[Trial]()
    while (asked := walk_trial(own, tried_points(own, trials))) is not None:
        trials.append(tried(asked.clock_mhz, asked.voltage_mv, asked.hours, rng))
    now = standing(own, trials, GOAL, LIMIT, 24.0)
    while now.next is not None and more:
        trials.append(tried(now.next.clock_mhz, now.next.voltage_mv, now.next.hours, rng))
        now, more = standing(own, trials, GOAL, LIMIT, 24.0), more - 1
    return shown(trials, own, now.next)


def shown(trials: list[Trial], own: Map, following: NextTrial | None = None) -> TuningMap:
    """The map of trials."""
    found = tried_points(own, trials)
    hardest = dict(sorted(against_order(found)))
    odd = {*hardest, *hardest.values()}
    return TuningMap(
        setup="plover", part="processor", load="known answers", trials=trials, advice=advice(trials),
        limit=LIMIT, next=following,
        against=frozenset((own.clocks_mhz[c], own.voltages_mv[v]) for c, v in odd),
    )  # fmt: skip


def advice(trials: list[Trial], limit: Limit | None = LIMIT) -> tuple[Advice, ...]:
    evidence = evidence_of(trials, room_c=24.0)
    edge, clocks = learn(evidence), sorted({trial.clock_mhz for trial in trials})
    return tuple(advise(edge, evidence, clock, GOAL, limit) for clock in clocks)


def lowered(found: TuningMap, by: float) -> TuningMap:
    """The same with voltages as offsets, lower by so much."""
    trials = [replace(each, voltage_mv=each.voltage_mv - by) for each in found.trials]
    limit = replace(LIMIT, most=LIMIT.most - by)
    following = found.next and replace(found.next, voltage_mv=found.next.voltage_mv - by)
    return replace(
        found, trials=trials, advice=advice(trials, limit), limit=limit, offset=True, next=following,
        against=frozenset((clock, voltage - by) for clock, voltage in found.against),
    )  # fmt: skip


@cache
def maps() -> dict[str, TuningMap]:
    """Maps, usual and awkward."""
    held = [trial(5000.0, 1010.0 - 5 * n, 1 / 6, Outcome.PASSED) for n in range(3)]
    after = NextTrial(clock_mhz=5000.0, voltage_mv=995.0, hours=1 / 6, purpose=Purpose.LOWER)
    usual = walked(4, 2)
    ends = [Outcome.THROTTLED, Outcome.STOPPED]
    short = [trial(5100.0, 1010.0 + 5 * n, 0.1, ends[n]) for n in range(2)]
    odd = [trial(5000.0, 1000.0, 0.05, Outcome.REBOOT)]
    own, many = grid(12), np.random.default_rng(11)
    crowd = [
        tried(5000.0 + 50 * int(many.integers(12)), 5.0 * int(many.integers(188, 240)), 1 / 6, many)
        for _ in range(200)
    ]
    return {
        "usual": usual,
        "done": walked(3, 60),
        "cut short and against the order": shown([*usual.trials, *short, *odd], grid(4), usual.next),
        "nothing tried": replace(shown(held[:1], own, after), trials=[], advice=()),
        "one trial": shown(held[:1], own, replace(after, voltage_mv=1005.0)),
        "no failure yet": shown(held, own, after),
        "all failed": shown([trial(5000.0, 1010.0 + 5 * n, 0.02, Outcome.CRASH) for n in range(3)], own),
        "no limit": replace(usual, limit=None, next=None, advice=advice(list(usual.trials), None)),
        "clock limit": replace(usual, clock_limit=CLOCK_LIMIT, step=5.0, step_from=1010.0),
        "clock limit far": replace(usual, clock_limit=replace(CLOCK_LIMIT, most=5600.0)),
        "own clock limit": replace(
            usual, clock_limit=replace(CLOCK_LIMIT, most=5150.0, source="ourselves: quiet enough"),
        ),
        "one clock at its limit": replace(
            walked(1, 20), clock_limit=replace(CLOCK_LIMIT, most=5000.0, source="ourselves: stays"),
        ),
        "own limit": replace(usual, limit=replace(LIMIT, source="ourselves: it keeps quiet")),
        "limit far above": replace(usual, limit=replace(LIMIT, most=1900.0)),
        "one clock": walked(1, 20),
        "undervolted": replace(
            walked(1, 20), stock=(5000.0, 1060.0),
            trials=[trial(5000.0, 1060.0, 1 / 6, Outcome.PASSED), *walked(1, 20).trials],
        ),
        "twelve clocks": walked(12, 5),
        "two hundred trials": shown(crowd, own),
        "offsets below zero": lowered(usual, 1200.0),
        "long names": replace(
            usual, part=LONG_PART, load="a load of many words " * 6,
            limit=replace(LIMIT, source="a page of the maker's, with a title that does not end " * 4),
        ),
        "markup": replace(usual, part='<b>"x" & y</b>', limit=replace(LIMIT, source="<script>&")),
    }  # fmt: skip


def bar(trials: list[Trial], **more: str) -> ClaimBar:
    """Hours at one point."""
    made = ClaimBar(
        setup="plover", part="processor", load="known answers", clock_mhz=5150.0, voltage_mv=1085.0,
        trials=trials,
    )  # fmt: skip
    return replace(made, **more)


def hours(hours: float, room_c: float | None = 24.0, outcome: Outcome = Outcome.PASSED) -> Trial:
    return replace(trial(5150.0, 1085.0, hours, outcome), room_c=room_c)


def bars() -> dict[str, ClaimBar]:
    """Hours at a point, usual and awkward."""
    day = [hours(8.0), hours(8.0, 22.0), hours(8.0, 27.0)]
    crash = hours(3.3, 27.0, Outcome.CRASH)
    return {
        "a day without a failure": bar(day),
        "three hundred hours": bar([*day, hours(276.0, 30.0)]),
        "a failure": bar([*day, crash]),
        "five failures": bar([*day, *[crash] * 5]),
        "many failures": bar([replace(crash, hours=0.01, errors=40), hours(0.5)]),
        "ten minutes": bar([hours(1 / 6)]),
        "rooms not read": bar([hours(8.0, None), hours(8.0)]),
        "ten rooms": bar([hours(2.0, 18.0 + n) for n in range(10)]),
        "long names": bar(day, part=LONG_PART, load="a load of many words " * 6),
        "markup": bar(day, part='<b>"x" & y</b>'),
    }


def heats() -> dict[str, HeatCurve]:
    """Temperatures, usual and awkward."""
    rng, times = np.random.default_rng(5), np.arange(0.0, 2700.0, 1.0)
    model = 24 + 32 * (1 - np.exp(-times / 110)) + 14 * (1 - np.exp(-times / 700))
    model = np.where(times > 1800, 24 + (model - 24) * np.exp(-(times - 1800) / 260), model)
    read = np.round(model + rng.normal(0, 0.7, times.size))
    half = 0.6 + 0.4 * times / 2700
    usual = HeatCurve(
        setup="plover", part="processor", times_s=times, readings_c=read, model_c=model,
        low_c=model - half, high_c=model + half, room_c=24.0,
        limit=HEAT_LIMIT,
    )  # fmt: skip
    gap = np.where((times > 700) & (times < 1000), np.nan, read)
    none = np.full(times.size, np.nan)
    return {
        "usual": usual,
        "limit far above": replace(usual, limit=replace(HEAT_LIMIT, most=110.0)),
        "gap, no limit, no room": replace(usual, readings_c=gap, limit=None, room_c=None),
        "no model": replace(usual, model_c=none, low_c=none, high_c=none),
        "flat": replace(usual, readings_c=np.full(times.size, 41.0), model_c=np.full(times.size, 41.0),
                        low_c=np.full(times.size, 41.0), high_c=np.full(times.size, 41.0)),
        "wide band": replace(usual, low_c=model - 20, high_c=model + 20),
        "own limit": replace(usual, limit=replace(HEAT_LIMIT, source="ourselves: it keeps quiet")),
        "long names": replace(
            usual, part=LONG_PART,
            limit=replace(HEAT_LIMIT, source="a page with a title that does not end " * 6),
        ),
        "markup": replace(
            usual, part='<b>"x" & y</b>', limit=replace(HEAT_LIMIT, source="<script>&"),
        ),
    }  # fmt: skip


STOCK = (5000.0, 1050.0)


def drawn_w(point: tuple[float, float]) -> float:
    """What the stated part draws."""
    clock, voltage = point
    return 9e-9 * voltage**2 * clock + 12.0


def band(value: float, share: float) -> Band:
    return Band(value=value, low=value * (1 - share), high=value * (1 + share))


def over_stock(point: tuple[float, float]) -> float:
    """Its work for a joule over that of stock, a ratio, where work goes in step with the clock."""
    return point[0] / STOCK[0] * drawn_w(STOCK) / drawn_w(point)


def read_at(*points: tuple[float, float], failed: bool = False) -> list[ReadWatts]:
    return [
        ReadWatts(
            point=point, ended=Ended.FAILED if failed else Ended.HELD, trial=n,
            watts=band(drawn_w(point), 0.02), gain=band(over_stock(point), 0.02),
        ) for n, point in enumerate(points, start=1)
    ]  # fmt: skip


def lawful(*points: tuple[float, float], share: float = 0.01) -> list[Lawful]:
    return [
        Lawful(point=point, watts=band(drawn_w(point), share), gain=band(over_stock(point), share))
        for point in points
    ]


def curve(
    law: list[Lawful], read: list[ReadWatts], best: Lawful | None = None, **more: object
) -> WattsCurve:  # fmt: skip
    """The picture of these, the best of the law marked where none is named."""
    best = best or max(law, key=lambda each: each.gain.value)
    alone = bool(more.get("by_voltage"))
    made = WattsCurve(
        setup="plover", part="processor", load="known answers", meter=Meter.PART, law=law, read=read,
        best=best, stock=STOCK, stock_w=band(drawn_w(STOCK), 0.01),
        said=watts_titles(best.gain, best.point, offset=False, alone=alone),
        foot=watts_foot(STOCK, Known(value=1.0), offset=False, same_clock=alone),
    )  # fmt: skip
    return replace(made, **more)  # type: ignore[arg-type]


def curves() -> dict[str, WattsCurve]:
    """Watts, usual and awkward."""
    advised = [(5000.0 + 50 * n, 1000.0 + 22 * n) for n in range(4)]
    below = [(clock, volts - 5 * n) for clock, volts in advised for n in range(1, 5)]
    usual = curve(lawful(*advised), [*read_at(*below), *read_at(*below[::4], failed=True)])
    volts = [(5000.0, 930.0 + 10 * n) for n in range(13)]
    many = [(5000.0 + 50 * (n % 12), 900.0 + n) for n in range(100)]
    return {
        "usual": usual,
        "worse than stock": curve(lawful(*((c, v + 120) for c, v in advised)), read_at(*below)),
        "open": curve(lawful(*advised, share=0.2), read_at(*below)),
        "one clock": curve(lawful(*volts), read_at(*volts), lawful((5000.0, 980.0))[0], by_voltage=True),
        "one point": curve(lawful(STOCK), read_at(STOCK), by_voltage=True),
        "hundred trials": curve(lawful(*((5000.0 + 50 * n, 1000.0 + 22 * n) for n in range(12))),
                                read_at(*many)),
        "no end to the band": curve(
            [replace(each, watts=replace(each.watts, high=math.inf)) for each in lawful(*advised)],
            read_at(*below),
        ),
        "offsets below zero": replace(
            curve([replace(each, point=(each.point[0], each.point[1] - 1050)) for each in lawful(*advised)],
                  []), offset=True, stock=(5000.0, 0.0),
        ),
        "long names": replace(usual, part=LONG_PART, load="a load of many words " * 6),
        "markup": replace(usual, part='<b>"x" & y</b>'),
    }  # fmt: skip


def watts_pictures(style: Style, names: Names = s.NAMES) -> dict[str, Picture]:
    return {case: watts_curve(found, names, style=style) for case, found in curves().items()}


def claim_pictures(style: Style, names: Names = s.NAMES) -> dict[str, Picture]:
    return {case: claim_bar(found, names, style=style) for case, found in bars().items()}


def heat_pictures(style: Style, names: Names = s.NAMES) -> dict[str, Picture]:
    return {case: heat_curve(found, names, style=style) for case, found in heats().items()}


def map_pictures(style: Style, names: Names = s.NAMES) -> dict[str, Picture]:
    return {case: tuning_map(found, names, style=style) for case, found in maps().items()}
