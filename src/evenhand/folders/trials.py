"""Tuned parts, limits and trials as tables into records, and what is wrong with each."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterator
from dataclasses import asdict

from evenhand.errors import nearest
from evenhand.folders.lines import Path
from evenhand.folders.problems import Problem
from evenhand.folders.trial_tables import MOST_MV, LimitTable, TrialTable, TunedTable
from evenhand.records.trials import Limit, Outcome, Quantity, Trial, Tuned

FAR_OFF = 5.0
"""Of stock: no maker allows, and nobody tries, so much more of a clock or a voltage: it has a nought too
many or another unit. A limit for short bursts may lie at three times what a part gets under load."""

HOTTEST_C, MOST_DRAWN_W = 150.0, 10_000.0
"""No part bears more degrees, and no socket gives so many watts: it was written in another unit."""

FINEST_MV = 0.1  # no firmware has finer steps of a voltage; it was written in volts
IN_VOLTS = 10.0  # mV: nothing is fed so little; it was written in volts
ODD_SHARE = 0.4  # of stock: an absolute voltage below it is an offset, an offset beyond it absolute
SLOWEST_MHZ, FINEST_MHZ = 100.0, 0.5  # no part runs so slowly, nor in such steps; it was written in GHz
IN_GHZ = 0.1  # of the stock clock: a clock below it was written in GHz
ENDED_EARLY = 0.9  # of the planned hours: what passed has run them


def limit_of(table: LimitTable) -> Limit:
    """A limit."""
    return Limit(quantity=table.quantity, most=table.most, source=table.source.strip(), read_on=table.read_on)


def tuned_of(table: TunedTable) -> Tuned:
    """A tuned part, without limits."""
    plain = {name: getattr(table, name) for name in TunedTable.model_fields}
    plain["offset"] = table.offset or not table.voltage_step_mv  # nothing is added where it is left alone
    return Tuned(**{**plain, "part": table.part.strip()})


def trial_of(table: TrialTable) -> Trial:
    """A trial."""
    plain = {name: getattr(table, name) for name in TrialTable.model_fields}
    named = {name: plain[name].strip() for name in ("part", "load", "note", "by", "key")}
    return Trial(**{**plain, **named, "settings": dict(table.settings)})


def tuned_problems(tuned: Tuned, at: int, *, setups: Collection[str]) -> Iterator[Problem]:
    """Whether a tuned part is of a setup that exists, and its stock and steps are in their units."""
    place: Path = ("tuned", at)
    if tuned.setup not in setups:
        yield _unknown((*place, "setup"), "setup", tuned.setup, setups)
    if tuned.stock_voltage_mv is not None and tuned.stock_voltage_mv < IN_VOLTS:
        yield _volts((*place, "stock_voltage_mv"), tuned.stock_voltage_mv)
    if tuned.stock_clock_mhz < SLOWEST_MHZ:
        yield _ghz((*place, "stock_clock_mhz"), tuned.stock_clock_mhz)
    if tuned.clock_step_mhz < FINEST_MHZ:
        yield _ghz((*place, "clock_step_mhz"), tuned.clock_step_mhz)
    if 0 < tuned.voltage_step_mv < FINEST_MV:
        yield _volts_step((*place, "voltage_step_mv"), tuned.voltage_step_mv)


def limit_problems(limit: Limit, tuned: Tuned, place: Path) -> Iterator[Problem]:
    """Whether a limit is in its unit, not below stock, and can be held against what is set."""
    stock = tuned.stock_voltage_mv if limit.quantity is Quantity.VOLTAGE else tuned.stock_clock_mhz
    path = (*place, "most")
    if limit.quantity not in (Quantity.VOLTAGE, Quantity.CLOCK):
        yield from _other_unit(limit, path)
        return
    if stock is None and tuned.offset:
        said = "voltages of this part are offsets, and a limit cannot be held against them"
        yield Problem(path=path, found=said, todo="write its voltage at stock too (stock_voltage_mv)")
    elif limit.quantity is Quantity.VOLTAGE and limit.most < IN_VOLTS:
        yield _volts(path, limit.most)
    elif limit.quantity is Quantity.CLOCK and limit.most < SLOWEST_MHZ:
        yield _ghz(path, limit.most)
    elif stock is not None and limit.most < stock:
        unit = limit.quantity.unit
        said = f"a limit of {_told(limit.most, unit)} lies below stock, which is {_told(stock, unit)}"
        yield Problem(path=path, found=said, todo="see which of the two is wrong")
    elif stock is not None and limit.most > FAR_OFF * stock:
        yield _far_off(path, f"a limit of {_told(limit.most, limit.quantity.unit)}", stock, limit.quantity)
    elif limit.quantity is Quantity.VOLTAGE and limit.most > MOST_MV:
        said = f"{_told(limit.most, 'mV')} is more than any part is fed"
        yield Problem(path=path, found=said, todo="write it in mV, as in 1325")


def _far_off(path: Path, said: str, stock: float, quantity: Quantity) -> Problem:
    """That something lies so far above stock that it was written otherwise than it was meant."""
    found = f"{said} is more than {FAR_OFF:g} times stock, which is {_told(stock, quantity.unit)}"
    as_in = "1325" if quantity is Quantity.VOLTAGE else "4600"
    todo = f"see whether a nought is too many, and write it in {quantity.unit}, as in {as_in}"
    return Problem(path=path, found=found, todo=todo)


def _other_unit(limit: Limit, path: Path) -> Iterator[Problem]:
    """That no part can have such a limit of temperature or power."""
    if limit.quantity is Quantity.TEMPERATURE and limit.most > HOTTEST_C:
        said = f"{_told(limit.most, '°C')} is hotter than any part bears"
        yield Problem(path=path, found=said, todo="write it in °C, as in 95")
    elif limit.quantity is Quantity.POWER and limit.most > MOST_DRAWN_W:
        said = f"{_told(limit.most, 'W')} is more than any part draws"
        yield Problem(path=path, found=said, todo="write it in W, as in 142")


def trial_problems(trial: Trial, tuned: Tuned, place: Path) -> Iterator[Problem]:
    """What of a trial contradicts itself, or the way in which its part's clock and voltage are written."""
    yield from _set_problems(trial, tuned, place)
    yield from _time_problems(trial, place)
    yield from _watts_problems(trial, place)
    if trial.corrected > trial.errors:
        said = f"{trial.corrected} errors were corrected, and {trial.errors} were counted in all"
        yield Problem(path=(*place, "corrected"), found=said, todo="write in errors all that were counted")
    elif trial.outcome is Outcome.PASSED and trial.errors:
        said = f"it passed, yet {_errors(trial.errors)} counted: what passed has answered rightly throughout"
        todo = 'write "error" as its outcome, or no errors where none was counted'
        yield Problem(path=(*place, "outcome"), found=said, todo=todo)


def _set_problems(trial: Trial, tuned: Tuned, place: Path) -> Iterator[Problem]:
    stock, volts = tuned.stock_voltage_mv, trial.voltage_mv
    path = (*place, "voltage_mv")
    if tuned.clock_alone and volts:
        said = f"{_told(volts, 'mV')} were set, and the voltage of this part is left alone"
        todo = "write 0, and what is set besides as a setting; or give the part a step of the voltage"
        yield Problem(path=path, found=said, todo=todo)
    elif not tuned.offset and 0 < volts < IN_VOLTS:
        yield _volts(path, volts)
    elif not tuned.offset and (volts <= 0 or (stock is not None and volts < ODD_SHARE * stock)):
        said = f"{_told(volts, 'mV')} looks like an offset, and voltages of this part are written as a whole"
        yield Problem(path=path, found=said, todo="write what was set as a whole, in mV")
    elif tuned.offset and abs(volts) > ODD_SHARE * (stock if stock is not None else 1250.0):
        said = f"{_told(volts, 'mV')} looks like a whole voltage, and voltages of this part are offsets"
        yield Problem(path=path, found=said, todo="write what was added or taken off, in mV")
    elif not tuned.offset and stock is not None and volts > FAR_OFF * stock:
        yield _far_off(path, _told(volts, "mV"), stock, Quantity.VOLTAGE)
    if trial.clock_mhz < IN_GHZ * tuned.stock_clock_mhz:
        said = f"{_told(trial.clock_mhz, 'MHz')} is below a tenth of stock"
        yield Problem(path=(*place, "clock_mhz"), found=said, todo="write it in MHz, as in 4600")
    elif trial.clock_mhz > FAR_OFF * tuned.stock_clock_mhz:
        said = _told(trial.clock_mhz, "MHz")
        yield _far_off((*place, "clock_mhz"), said, tuned.stock_clock_mhz, Quantity.CLOCK)


def _watts_problems(trial: Trial, place: Path) -> Iterator[Problem]:
    """That watts and the place where they were read stand there together or not at all."""
    if trial.watts is not None and trial.watts_at is None:
        said = f"it is not said where {trial.watts:g} W were read"
        todo = 'write "wall" for a meter at the socket, "part" for the part\'s own sensor'
        yield Problem(path=(*place, "watts_at"), found=said, todo=todo)
    if trial.watts is None and trial.watts_at is not None:
        said = f"watts were read at the {trial.watts_at}, and it is not said how many"
        todo = "write their mean under load, or leave both out"
        yield Problem(path=(*place, "watts"), found=said, todo=todo)


def _time_problems(trial: Trial, place: Path) -> Iterator[Problem]:
    if trial.outcome is Outcome.PASSED and trial.hours == 0:
        said = "a trial that passed has run for some time"
        yield Problem(path=(*place, "hours"), found=said, todo="write for how many hours it ran")
    elif trial.outcome is Outcome.PASSED and trial.planned_h and trial.hours < ENDED_EARLY * trial.planned_h:
        said = f"it passed, yet ran {_lasting(trial.hours)} of {_lasting(trial.planned_h)} that were planned"
        todo = 'see whether that was planned for this trial; if it was ended early it was "stopped"'
        yield Problem(path=(*place, "planned_h"), found=said, todo=todo)
    if trial.found_after_h is None:
        return
    if not trial.outcome.failed:
        said = "only a failure can be found late"
        yield Problem(path=(*place, "found_after_h"), found=said, todo="leave it out")
    elif trial.found_after_h < trial.hours:
        found, held = _lasting(trial.found_after_h), _lasting(trial.hours)
        said = f"it was found after {found}, and is known to have held {held}"
        yield Problem(path=(*place, "found_after_h"), found=said, todo="see which of the two is wrong")


def _volts(path: Path, value: float) -> Problem:
    return Problem(
        path=path, found=f"{_told(value, 'mV')} looks like volts", todo="write it in mV, as in 1250"
    )


def _volts_step(path: Path, value: float) -> Problem:
    as_in = f"{1000 * value:g}" if 1000 * value >= FINEST_MV else "5"
    found = f"{_told(value, 'mV')} is finer than any firmware steps, and looks like volts"
    return Problem(path=path, found=found, todo=f"write it in mV, as in {as_in}; 0 where it is left alone")


def _errors(count: int) -> str:
    return "an error was" if count == 1 else f"{count:,} errors were"


def _ghz(path: Path, value: float) -> Problem:
    todo = f"write it in MHz, as in {1000 * value:g}" if 1000 * value >= FINEST_MHZ else "write it in MHz"
    return Problem(path=path, found=f"{_told(value, 'MHz')} looks like GHz", todo=todo)


def _told(value: float, unit: str) -> str:
    r"""A value with its digits in groups.

    >>> _told(2900.0, "MHz"), _told(4533.5, "MHz")
    ('2,900\xa0MHz', '4,533.5\xa0MHz')
    """
    return f"{value:,g}\u00a0{unit}"


def _lasting(hours: float) -> str:
    r"""How long, in hours or minutes.

    >>> _lasting(1.5), _lasting(1 / 6)
    ('1.5\xa0h', '10\xa0min')
    """
    return f"{hours:,.3g}\u00a0h" if hours >= 1 else f"{60 * hours:.3g}\u00a0min"


def _unknown(path: Path, called: str, name: str, known: Collection[str]) -> Problem:
    advice = nearest(name, known) if known else f"no {called} is declared"
    return Problem(path=path, found=f"'{name}' is not a {called} of this file", todo=advice)


def own_key(trial: Trial, nth: int) -> str:
    """A key for a trial that has none: what it tells, and which of those that tell the same it is.

    Watts that were read beside it make no other trial of it.
    """
    beside = ("id", "key", "by", "watts", "watts_at", *(() if trial.corrected else ("corrected",)))
    told = {name: value for name, value in asdict(trial).items() if name not in beside}
    told["at"] = None if trial.at is None else trial.at.isoformat()
    text = json.dumps(told, sort_keys=True, default=str)
    return f"{hashlib.sha256(text.encode()).hexdigest()[:20]}-{nth}"
