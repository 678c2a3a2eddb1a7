"""A trial that runs, in words: what is tried where, how much is left, and when it was last heard of."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from evenhand.publish.dates import MONTHS
from evenhand.publish.direction import isolated
from evenhand.publish.durations import clock_words
from evenhand.publish.numbers import NO_BREAK, as_written, counted, with_unit
from evenhand.publish.tuning.words import hours_words, point_words, setting_words
from evenhand.records.trials import Tuned
from evenhand.records.under_way import UnderWay

Clock = Callable[[datetime], datetime]

QUIET = (
    "It may hang, or only its network is gone. Go and look; what it held stands in its journal, and goes on "
    "record when the rig program starts there again."
)
"""What it means that nothing is heard of a trial, and what to do."""

OVER = "It has ended. Its record is on its way."


def moment_words(at: datetime, now: datetime, clock: Clock) -> str:
    r"""A moment to the second, with its day where that is not today's.

    >>> from datetime import timezone
    >>> then = datetime(2031, 5, 4, 14, 2, 10, tzinfo=timezone.utc)
    >>> moment_words(then, then, lambda at: at), moment_words(then, then.replace(day=5), lambda at: at)
    ('14:02:10', '4\xa0May 14:02:10')
    """
    shown, today = clock(at), clock(now)
    if shown.date() == today.date():
        return f"{shown:%H:%M:%S}"
    return f"{shown.day}{NO_BREAK}{MONTHS[shown.month - 1][:3]} {shown:%H:%M:%S}"


def set_words(found: UnderWay, tuned: Tuned) -> str:
    """What is set and what runs."""
    trial = found.trial
    point = point_words(trial.clock_mhz, trial.voltage_mv, offset=tuned.offset)
    return ", ".join((point, isolated(trial.load), *setting_words(trial.settings)))


def where_words(found: UnderWay, now: datetime, clock: Clock) -> str:
    """Which rig runs it, and since when."""
    return f"Begun on {isolated(found.trial.by)} at {moment_words(found.begun_at, now, clock)}"


def stands_words(found: UnderWay, *, quiet: bool) -> str:
    """How long it had held when it was last heard of, how much is left, how hot it was."""
    trial = found.trial
    said = [f"It {'had' if quiet else 'has'} held for {hours_words(trial.hours)}"]
    if trial.planned_h is not None:
        said.append(left_words(trial.planned_h - trial.hours))
    if trial.hottest_c is not None:
        said.append(f"{with_unit(as_written(trial.hottest_c), '°C')} was the hottest so far")
    if trial.errors:
        said.append(f"{counted(trial.errors, 'error')} so far")
    return f"{', '.join(said)}."


def left_words(hours: float) -> str:
    r"""How much of its time is left.

    >>> left_words(1.5), left_words(0.003), left_words(0)
    ('1\xa0h 30\xa0min left', '11\xa0s left', 'its time is over')
    """
    return f"{clock_words(60 * hours)} left" if hours > 0 else "its time is over"


def heard_words(found: UnderWay, now: datetime, clock: Clock) -> str:
    """When it was last heard of; begins a sentence."""
    at = moment_words(found.heard_at, now, clock)
    return f"Not heard since {at}" if found.quiet(now) else f"Last heard at {at}"


def noted_words(found: UnderWay, at: str) -> str:
    """How it stood when that was last written down, at the moment `at`: whoever hears it live knows more."""
    return (
        f"{stands_words(found, quiet=True)} Written down at {at}; the open workbench shows it as it stands."
    )


def stop_words(found: UnderWay, now: datetime, clock: Clock, *, live: bool = True) -> str:
    """That it was asked to stop, and what becomes of that; "" where it was not.

    Where it is not told `live`, nobody knows here whether the rig is still heard.
    """
    if found.stop_at is None:
        return ""
    said = f"A stop was asked for at {moment_words(found.stop_at, now, clock)} on {isolated(found.stop_by)}."
    if found.over:
        return said
    if not live:
        return f"{said} The rig hears it with its next word to the open workbench."
    if found.quiet(now):
        return f"{said} The rig was not heard since, and may not know: end it at the machine."
    return f"{said} The rig hears it with its next word, which comes every five seconds."


def busy_words(found: UnderWay, tuned: Tuned, now: datetime, clock: Clock) -> str:
    """That a machine is busy with a trial, for whoever is about to start a run on it."""
    trial = found.trial
    begun = moment_words(found.begun_at, now, clock)
    said = f"A trial of its {trial.part} has been running there since {begun}: {set_words(found, tuned)}"
    if found.quiet(now):
        return f"{said}. Not heard since {moment_words(found.heard_at, now, clock)}"
    return said if trial.planned_h is None else f"{said}; {left_words(trial.planned_h - trial.hours)}"
