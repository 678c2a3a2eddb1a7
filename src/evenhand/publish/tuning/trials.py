"""How trials ended, and why they count or not, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import as_written, count_word, counted, with_unit
from evenhand.publish.tuning.words import hours_words, note_words, point_words
from evenhand.records.trials import Outcome, Trial
from evenhand.records.turns import Turn

ENDED: Mapping[Outcome, str] = {
    Outcome.PASSED: "held",
    Outcome.WRONG_RESULT: "gave a wrong result",
    Outcome.ERROR: "ended with an error",
    Outcome.CRASH: "crashed or hung",
    Outcome.REBOOT: "rebooted",
    Outcome.THROTTLED: "fell below its clock",
    Outcome.STOPPED: "was stopped",
}


def trial_words(trial: Trial, *, offset: bool) -> str:
    """One trial in a line: what was set, what ran, how it ended."""
    at = point_words(trial.clock_mhz, trial.voltage_mv, offset=offset)
    return f"{at}, {isolated(trial.load)}: {ended_words(trial)}"


def ended_words(trial: Trial) -> str:
    """How a trial ended, and when."""
    late = trial.outcome.failed and trial.found_after_h is not None
    if late:
        span = f"between {hours_words(trial.hours)} and {hours_words(trial.found_after_h or 0.0)}"
        said = f"{ENDED[trial.outcome]} some time {span}"
    elif trial.errors and trial.outcome in (Outcome.PASSED, Outcome.ERROR):
        said = f"ran {hours_words(trial.hours)}"
    elif trial.outcome is Outcome.PASSED:
        said = f"held {hours_words(trial.hours)}"
    else:
        said = f"{ENDED[trial.outcome]} after {hours_words(trial.hours)}"
    errors = f", {errors_words(trial)}" if trial.errors else ""
    room = "" if trial.room_c is None else f", room {with_unit(as_written(trial.room_c), '°C')}"
    hot = "" if trial.hottest_c is None else f", up to {with_unit(as_written(trial.hottest_c), '°C')}"
    return f"{said}{errors}{room}{hot}{watts_said(trial)}"


def errors_words(trial: Trial) -> str:
    """The errors that a load counted, and how many of them were put right.

    >>> errors_words(Trial(setup="a", part="memory", clock_mhz=3200, voltage_mv=0, load="x", hours=1,
    ...                    outcome=Outcome.ERROR, errors=12, corrected=9))
    'twelve counted errors, nine of them corrected'
    """
    said = counted(trial.errors, "counted error")
    if not trial.corrected:
        return said
    whole = trial.corrected == trial.errors
    return f"{said}, {'corrected' if whole else f'{count_word(trial.corrected)} of them corrected'}"


def watts_said(trial: Trial) -> str:
    """What a trial drew, and where that was read, as it follows in a sentence; "" where nobody read it."""
    if trial.watts is None or trial.watts_at is None:
        return ""
    return f", {with_unit(as_written(trial.watts), 'W')} at the {trial.watts_at.value}"


def turn_words(turns: Sequence[Turn]) -> tuple[str, ...]:
    """When and why something was taken back or put back; nothing where it never was."""
    return tuple(
        f"{'put' if each.counts else 'taken'} back on {day_words(each.at.date())}: {note_words(each.reason)}"
        for each in turns
    )
