"""`try`: one trial of a point that is set in firmware, from the question whether it is set to its record."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime

from evenhand.errors import BadRecord, EvenhandError
from evenhand.rig.asking import Address, ShutOut, Unreachable
from evenhand.rig.loads.crew import cores
from evenhand.rig.loads.known import LOADS, load_named
from evenhand.rig.loads.memory import free_mib, size_for
from evenhand.rig.operator import NobodyThere, Operator, say
from evenhand.rig.readings.machine import Machine
from evenhand.rig.readings.sensor import TEMPERATURE
from evenhand.rig.sending import tell_refusal
from evenhand.rig.state import State
from evenhand.rig.trials import cautions, recovery, running
from evenhand.rig.trials.answers import Answers, worked_out
from evenhand.rig.trials.asked import CRASH, ERROR, PASSED, STOPPED, THROTTLED, WRONG, Asked, End, span
from evenhand.rig.trials.commands import ByHand, Command
from evenhand.rig.trials.counting import Count
from evenhand.rig.trials.doing import Doing
from evenhand.rig.trials.homing import KIND
from evenhand.rig.trials.known_answers import KnownAnswers
from evenhand.rig.trials.stopping import Stop
from evenhand.rig.trials.telling import Teller
from evenhand.rig.trials.wanted import OWN, Wanted, ask_next, follows, point_of, within
from evenhand.rig.trials.warmth import KIND as HEAT
from evenhand.rig.trials.warmth import Warmth
from evenhand.rig.trials.watching import Bounds, Watch
from evenhand.rig.uploading import Arrived, drain

MOST_REST_MIN = 60.0
LETTERS = {"w": WRONG, "e": ERROR, "c": CRASH, "t": THROTTLED, "s": STOPPED}


def try_one(asked: argparse.Namespace, state: State, machine: Machine, operator: Operator) -> int:
    """One trial, or the answers at stock; the exit code: 0 passed, 1 ended otherwise."""
    address = address_of(asked, state)
    finish_earlier(state, machine, operator, address)
    if asked.stock:
        return at_stock(asked, state, operator)
    wanted = wanted_of(asked, address)
    trial = trial_of(asked, wanted)
    limits = wanted.limits if wanted else ()
    within(limits, clock_mhz=trial.clock_mhz, voltage_mv=trial.voltage_mv)
    doing = doing_of(asked, trial, state)
    warmth = warmth_of(asked, machine)
    watch = watch_of(asked, wanted, machine, warmth)
    tell_plan(trial, wanted)
    cautions.see_to(state.folder, trial, operator, attended=asked.attended)
    see_blind(watch, operator, attended=asked.attended)
    begun = trial.begun(boot=machine.boot, now=datetime.now(UTC))
    end = made(asked, begun, doing, watch, warmth, state=state, operator=operator, address=address)
    say(f"{end.outcome.capitalize()} after {span(end.held_s)}: {end.why}.")
    finish_earlier(state, machine, operator, address)
    return 0 if end.outcome == PASSED else 1


def address_of(asked: argparse.Namespace, state: State) -> Address | None:
    """Where the workbench is; None where this rig has joined none: records wait on its disk then."""
    if not asked.url:
        return state.joined()
    address = Address(url=asked.url, token=asked.token, fingerprint=asked.certificate)
    state.join(address)
    return address


def finish_earlier(state: State, machine: Machine, operator: Operator, address: Address | None) -> None:
    """Puts every trial that lies here on its way, those that nobody ended too, and sends what it can."""
    recovery.settle(state.trials, state.spool, boot=machine.boot, ask=recovery.asking(operator))
    waiting = sum(each.facts.get("kind") in (KIND, HEAT) for each in state.spool.parcels())
    if not waiting:
        return
    if address is None:
        say(f"  On this disk until a workbench is joined: records of trials, {waiting}.")
        return
    try:
        drain(address, state.spool, tell_home, tell_refusal)
    except (Unreachable, ShutOut) as error:
        say(f"  {error}. Records that wait on this disk, and go along at the next start: {waiting}.")


def tell_home(arrived: Arrived) -> None:
    """That a record is on the workbench."""
    told = arrived.told
    number = f" as trial {told['id']}" if "id" in told else ""
    again = "; it was there before" if told.get("again") else ""
    if arrived.parcel.facts.get("kind") == KIND:
        say(f"  The workbench has it{number}{again}.")
    if arrived.parcel.facts.get("kind") == HEAT:
        say(f"  The workbench has its temperatures as log {told.get('id', '')}{again}.")


def at_stock(asked: argparse.Namespace, state: State, operator: Operator) -> int:
    """Works out answers of one load or all, and keeps those that nobody knows yet; the exit code."""
    if not asked.attended:
        answer = operator.ask("  Are clocks and voltages of everything at stock now? (yes/no) ")
        if answer.strip().lower() not in ("y", "yes"):
            raise EvenhandError(
                "answers hold only if they come from stock", todo="set everything to stock first"
            )
    size = size_for(len(cores()), asked.memory_share, free=free_mib())
    for load in [load_named(asked.load)] if asked.load else LOADS.values():
        versions, answers = worked_out(load, size=size)
        if not load.answers:
            Answers(folder=state.folder).keep(load, versions, answers)
        about = ", ".join(f"{name} {version}" for name, version in versions.items())
        say(f"  {load.name}: {len(answers)} answers, the same on {len(cores())} cores, twice ({about}).")
    return 0


def wanted_of(asked: argparse.Namespace, address: Address | None) -> Wanted | None:
    """What the workbench wants tried; None where the point is typed and it says nothing of limits.

    Raises BadRecord where neither names a point.
    """
    if not asked.setup:
        raise BadRecord("which setup?", where="--setup", todo="give its key, as on the page Tuning")
    typed = asked.clock is not None and asked.voltage is not None
    if address is None and not typed:
        raise BadRecord(
            "which point?", where="--clock", todo="give --clock and --voltage, or join a workbench"
        )
    if address is None:
        return None
    try:
        wanted = ask_next(address, asked.setup, asked.part, asked.load)
        return wanted if typed else point_of(wanted, f"{asked.part} of {asked.setup}")
    except EvenhandError as error:
        if not typed:
            raise
        say(f"  The workbench names no limits for this point: {error.found}. You hold to the makers'.")
        return None


def trial_of(asked: argparse.Namespace, wanted: Wanted | None) -> Asked:
    """What is tried: what is typed before what the workbench names."""
    typed = asked.clock is not None and asked.voltage is not None
    if not typed and wanted is None:
        raise BadRecord("which point?", where="--clock", todo="give both --clock and --voltage")
    hours = asked.hours if asked.hours is not None else (wanted.hours if wanted and not typed else None)
    if hours is None:
        raise BadRecord("for how long?", where="--hours", todo="give hours above 0, as --hours 1")
    told = None if wanted is None or typed else wanted
    trial = Asked(
        setup=asked.setup, part=asked.part,
        clock_mhz=told.clock_mhz if told else asked.clock,
        voltage_mv=told.voltage_mv if told else asked.voltage,
        load=load_of(asked, wanted), planned_h=hours,
        settings=settings_of(asked.setting) or dict(told.settings if told else {}),
        room_c=asked.room, note=asked.note,
    )  # fmt: skip
    if odd := trial.odd():
        raise BadRecord(
            odd, where="try", todo="clocks in MHz, voltages in mV, rooms in °C; shorten what is long"
        )
    return trial


def load_of(asked: argparse.Namespace, wanted: Wanted | None) -> str:
    """What the load is called."""
    name = asked.load or (wanted.load if wanted else "") or asked.command or "integers"
    if name not in LOADS and not asked.command and not asked.by_hand:
        todo = "take one of these, name a command by --command, or run it yourself with --by-hand"
        raise BadRecord(f"'{name}' is none of {', '.join(LOADS)}", where="--load", todo=todo)
    return str(name)


def settings_of(said: list[str]) -> Mapping[str, str]:
    """What else is set, by name. Raises BadRecord where one is not NAME=VALUE.

    >>> settings_of(["load-line=level 4"])
    {'load-line': 'level 4'}
    """
    pairs = [each.partition("=") for each in said]
    wrong = [name for name, equals, _ in pairs if not equals or not name.strip()]
    if wrong:
        raise BadRecord(
            f"'{wrong[0]}' says not what is set to what", where="--setting", todo="write NAME=VALUE"
        )
    return {name.strip(): value.strip() for name, _, value in pairs}


def doing_of(asked: argparse.Namespace, trial: Asked, state: State) -> Doing:
    """The load."""
    if asked.by_hand:
        return ByHand()
    if asked.command:
        count = Count(errors=asked.count, corrected=asked.count_corrected)
        count.check()
        return Command(asked.command, asked.command_folder, count)
    size = size_for(len(cores()), asked.memory_share, free=free_mib())
    return KnownAnswers(load_named(trial.load), cores(), size=size, answers=Answers(folder=state.folder))


def warmth_of(asked: argparse.Namespace, machine: Machine) -> Warmth | None:
    """What is kept of temperatures, where that is asked for. Raises BadRecord where none can be read."""
    if asked.keep_heat is None:
        return None
    if not 0 <= asked.keep_heat <= MOST_REST_MIN:
        raise BadRecord(
            f"a rest of {asked.keep_heat:g} min is none", where="--keep-heat",
            todo=f"give minutes from 0 to {MOST_REST_MIN:g}; ten is usual",
        )  # fmt: skip
    found = Warmth(machine.found.sensors, part=asked.part, word=asked.sensor, power=asked.power)
    if all(each.role != TEMPERATURE for each in found.kept):
        raise BadRecord(
            "no temperature can be read here", where="--keep-heat",
            todo="leave it out, and bring a log of another program on the page Tuning",
        )  # fmt: skip
    found.look(0.0)
    return found


def watch_of(
    asked: argparse.Namespace, wanted: Wanted | None, machine: Machine, warmth: Warmth | None = None
) -> Watch:
    """What ends it, from the command line, or the limit on the workbench where that is lower."""
    bounds = Bounds(
        most_c=lowest(asked.most, wanted, "temperature"), most_w=lowest(asked.most_watts, wanted, "power"),
        low_pct=asked.low, attended=asked.attended,
    )  # fmt: skip
    sensors = machine.found.sensors if warmth is None else warmth.shared(machine.found.sensors)
    return Watch(sensors, bounds, part=asked.part, word=asked.sensor, power=asked.power)


def lowest(typed: float | None, wanted: Wanted | None, quantity: str) -> float | None:
    """The lower of what is typed and of the limit on the workbench; None without either."""
    limit = wanted.most(quantity) if wanted else None
    return min((each for each in (typed, limit.most if limit else None) if each is not None), default=None)


def tell_plan(trial: Asked, wanted: Wanted | None) -> None:
    """What is tried, why, and within which limits.

    Never two points or two times: what the workbench would have set is told only where it is followed.
    """
    say(f"To be tried: {trial.words}.")
    if wanted and wanted.words:
        say(f"  {wanted.words if follows(trial, wanted) else OWN}")
    if wanted and wanted.caution:
        say(f"  {wanted.caution}")
    for each in wanted.limits if wanted else ():
        say(f"  Limit: {each.words}.")


def see_blind(watch: Watch, operator: Operator, *, attended: bool) -> None:
    """Says what cannot be watched. Raises NotAttended where that needs somebody, and nobody stays."""
    words = watch.blind()
    if not words:
        return
    say(f"  {words}")
    if watch.unguarded and not attended:
        answer = operator.ask("  Do you stay with the machine to its end? (yes/no) ")
        if answer.strip().lower() not in ("y", "yes"):
            raise cautions.NotAttended("no temperature guards this machine, and nobody stays with it")
        watch.attended = True


def made(
    asked: argparse.Namespace, trial: Asked, doing: Doing, watch: Watch, warmth: Warmth | None = None,
    *, state: State, operator: Operator, address: Address | None,
) -> End:  # fmt: skip
    """Makes the trial, and tells the workbench meanwhile how it stands."""
    stop = Stop(state.folder)
    stop.forget()
    watch.clock_mhz = trial.clock_mhz
    after = (lambda end: said_by_hand(end, operator)) if asked.by_hand else None
    button = "" if address is None else ", the button on the workbench's page Tuning"
    say(f"It runs. Ctrl+C ends it{button}, and a file named stop in the rig's folder.")
    with Teller(address, trial, stop.ask) as teller:
        trial_run = running.Trial(
            trial, doing, watch, folder=state.trials, stop=stop, every_s=running.EVERY_S, after=after
        )
        trial_run.teller, trial_run.warmth = teller, warmth
        trial_run.rest_s = 60 * (asked.keep_heat or 0.0)
        return trial_run.run()


def said_by_hand(end: End, operator: Operator) -> End:
    """How a load that the person ran has ended, as they say it; Enter leaves it as it stands.

    Where nobody says so it has not passed.
    """
    if end.outcome not in (PASSED, STOPPED):
        return end
    question = (
        f"  How did it end? Enter: {end.outcome} · w: wrong result · e: error · c: crash · t: throttled "
    )
    try:
        answer = operator.ask(question).strip().lower()[:1]
    except NobodyThere:
        return running.unsaid(end)
    if answer not in LETTERS:
        return end
    return replace(end, outcome=LETTERS[answer], why="as whoever ran it says")
