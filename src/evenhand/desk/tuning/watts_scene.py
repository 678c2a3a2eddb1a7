"""What the picture of a part's watts shows: trials as they were read, the law, the most work for a joule."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.tuning.standing import TuningNow
from evenhand.desk.tuning.watts import BestClock, OfMeter, WattsNow, law_of
from evenhand.publish.figures.tuning.marks import ended
from evenhand.publish.figures.tuning.watts_curve import Lawful, ReadWatts, WattsCurve
from evenhand.publish.tuning.titles import watts_titles
from evenhand.publish.tuning.watts import watts_foot
from evenhand.records.trials import Trial
from evenhand.tuning.bands import Band, reach


def watts_scenes(now: TuningNow, found: WattsNow) -> Iterator[WattsCurve]:
    """A scene for each meter whose watts tell the most work for a joule."""
    for each in found.meters:
        if (scene := watts_scene(now, each)) is not None:
            yield scene


def watts_scene(now: TuningNow, found: OfMeter) -> WattsCurve | None:
    """What is drawn of one meter; None where no clock is named as the best, which the sentences tell why."""
    best, tuned = found.best, now.series.tuned
    if best is None:
        return None
    along = best.line.along
    law = tuple(
        Lawful(point=point, watts=watts, gain=gain)
        for point, watts, gain in zip(best.line.points, along.watts, along.gain, strict=True)
    )
    here = (best.here.clock_mhz, best.here.voltage_mv)
    own = next(each for each in law if each.point == here)
    stock = (best.stock.clock_mhz, best.stock.voltage_mv)
    return WattsCurve(
        setup=tuned.setup, part=tuned.part, load=now.series.load, meter=found.metered.meter, law=law,
        read=tuple(_read(trial, best, law_of(found.metered).scatter) for trial in _shown(found, best)),
        best=own, stock=stock, stock_w=along.stock_w, by_voltage=best.clocks == 1,
        offset=tuned.offset, said=watts_titles(own.gain, here, offset=tuned.offset, alone=best.clocks == 1),
        foot=watts_foot(stock, best.elasticity.known, offset=tuned.offset, same_clock=best.same_clock),
    )  # fmt: skip


def _shown(found: OfMeter, best: BestClock) -> Iterator[Trial]:
    """The trials behind the law; beside a single clock those of it alone, as only voltages run across."""
    for trial in found.metered.trials:
        if best.clocks > 1 or trial.clock_mhz == best.here.clock_mhz:
            yield trial


def _read(trial: Trial, best: BestClock, scatter: float) -> ReadWatts:
    """What a trial read, with what readings scatter, and its work for a joule over stock's by the law."""
    watts, away = trial.watts or 0.0, reach() * scatter
    work = (trial.clock_mhz / best.stock.clock_mhz) ** best.elasticity.known.value
    gain = work * best.line.along.stock_w.value / watts
    return ReadWatts(
        point=(trial.clock_mhz, trial.voltage_mv), ended=ended(trial), trial=trial.id,
        watts=Band(value=watts, low=watts * (1 - away), high=watts * (1 + away)),
        gain=Band(value=gain, low=gain / (1 + away), high=gain / max(1 - away, 0.1)),
    )  # fmt: skip
