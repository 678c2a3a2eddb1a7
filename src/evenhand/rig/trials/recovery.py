"""Trials that nobody ended: how they ended, by their last beat, the machine's start, and who stood there."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from evenhand.errors import StoreProblem
from evenhand.rig.operator import NobodyThere, Operator, say
from evenhand.rig.spool import Spool
from evenhand.rig.trials import warmth
from evenhand.rig.trials.asked import CRASH, REBOOT, STOPPED, Asked, End, record_of, trial_from
from evenhand.rig.trials.homing import KIND
from evenhand.rig.trials.journal import Journal, Told, journals, read
from evenhand.rig.trials.running import Time

# A program that lives writes a beat a second. The longest that a living one has taken stands in the beats.
SILENT_S = 60.0
ANSWER_S = 120.0  # a machine that starts by itself after a crash is not to wait for ever for somebody to come
Ask = Callable[[str], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """The present start of the machine, and the clock that never jumps, in seconds."""

    boot: str | None
    mono: float


def settle(folder: Path, spool: Spool, *, boot: str | None, ask: Ask, clocks: Time | None = None) -> int:
    """Puts every trial that lies in the folder on its way, however it ended; how many nobody had ended.

    Raises StoreProblem where the disk takes no record; its journal lies there still then.
    """
    now = Now(boot=boot, mono=(clocks or Time()).mono())
    try:
        return _settle(folder, spool, now, ask)
    except OSError as error:
        raise StoreProblem(
            f"how a trial ended cannot be kept ({error.strerror})", where=str(folder),
            todo="make room there, and start this again",
        ) from error  # fmt: skip


def _settle(folder: Path, spool: Spool, now: Now, ask: Ask) -> int:
    found = 0
    for path in journals(folder):
        told = read(path)
        trial = of(told)
        if trial is None:
            put_aside(path, told)
            continue
        if not told.end:
            found += 1
            write_end(path, judged(trial, told.beat, now, ask))
        put_on_its_way(path, spool)
    return found


def put_aside(path: Path, told: Told) -> None:
    """Takes away a journal cut off in its first line, when nothing had begun; keeps a damaged one."""
    if not told.beat and not told.end:
        path.unlink()
        return
    kept = path.rename(path.with_suffix(".unreadable"))
    say(f"A trial's journal does not say what was tried; it lies in {kept}: write that trial down by hand.")


def of(told: Told) -> Asked | None:
    """What was tried; None where that does not stand there."""
    try:
        return trial_from(told.begin)
    except TypeError:
        return None


def write_end(path: Path, end: End) -> None:
    """Adds how a trial ended to its journal, so that nobody is asked twice."""
    journal = Journal(path.parent, path.stem)
    try:
        journal.write_last({"end": {key: getattr(end, key) for key in End.__slots__}})
    finally:
        journal.close()


def put_on_its_way(path: Path, spool: Spool) -> dict[str, Any]:
    """The record of a trial that has ended goes home; its journal is not needed any more."""
    told = read(path)
    record = record_of(trial_from(told.begin), End(**told.end))
    facts = {"kind": KIND, "key": record["key"]}
    if not any(each.facts.get("key") == record["key"] for each in spool.parcels()):
        spool.add(
            json.dumps(record, ensure_ascii=False).encode(), name=f"trial-{record['key']}.json", facts=facts
        )
    send_warmth(path, spool, record["key"])
    path.unlink()
    return record


def send_warmth(path: Path, spool: Spool, key: str) -> None:
    """The temperatures that were kept with a trial go home behind its record."""
    log = warmth.log_of(path)
    if log is None or any(each.facts.get("trial") == key for each in spool.parcels()):
        return
    facts = {"kind": warmth.KIND, "trial": key, "told": log[1]}
    spool.add(log[0], name=f"heat-{key}.csv", facts=facts)


def judged(trial: Asked, beat: Mapping[str, Any], now: Now, ask: Ask) -> End:
    """How a trial ended that nobody ended: it held until its last beat, and had failed soon after."""
    held_s = float(beat.get("held_s", 0.0))
    outcome, why = ended_so(trial, beat, now, ask)
    found_s = None if outcome == STOPPED else found_by(beat, held_s, trial, now)
    errors = int(beat.get("errors", 0))
    return End(
        outcome=outcome, why=f"{why}. Found at the next start", held_s=held_s, found_s=found_s,
        errors=errors, corrected=int(beat.get("corrected", 0)), hottest_c=beat.get("hottest_c"),
        watts=beat.get("watts"),
    )  # fmt: skip


def ended_so(trial: Asked, beat: Mapping[str, Any], now: Now, ask: Ask) -> tuple[str, str]:
    """The outcome, and why; whoever stands here may know that it was no failure."""
    say(f"A trial was cut off: {trial.words}.")
    if restarted(trial, beat, now):
        answer = ask("  How? Enter: it restarted by itself · h: it hung · p: I, or a power cut, ended it. ")
        said = answer.strip().lower()[:1]
        if said == "p":
            return STOPPED, "whoever stands here says that they, or a power cut, ended it"
        if said == "h":
            return CRASH, "whoever stands here says that it hung; the machine was started anew"
        return REBOOT, "the machine has been started anew since its last beat"
    answer = ask("  The machine was not restarted. Did you end the program yourself? (yes/no) ")
    if answer.strip().lower() in ("y", "yes"):
        return STOPPED, "whoever stands here says that they ended the program"
    return CRASH, "the program was killed, by whom is not known; the machine was not restarted"


def restarted(trial: Asked, beat: Mapping[str, Any], now: Now) -> bool:
    """Whether this is another start of the machine than the one in which the trial began.

    Where the system gives its starts no name, the clock that never jumps begins anew with each.
    """
    if trial.boot is None or now.boot is None:
        return now.mono < float(beat.get("mono", 0.0))
    return trial.boot != now.boot


def found_by(beat: Mapping[str, Any], held_s: float, trial: Asked, now: Now) -> float:
    """By when it had failed, in seconds from its begin: a living machine would have written another beat.

    Where the machine was not restarted, it is not later than now.
    """
    silent_s = max(SILENT_S, 3 * float(beat.get("gap_s", 0.0)))
    if beat and not restarted(trial, beat, now) and now.mono >= float(beat["mono"]):
        silent_s = min(silent_s, max(now.mono - float(beat["mono"]), 0.01))
    return held_s + silent_s


def asking(operator: Operator) -> Ask:
    """Asks whoever stands here; an empty answer where nobody does, or is long about it."""

    def ask(words: str) -> str:
        try:
            return operator.ask(words, longest_s=ANSWER_S)
        except NobodyThere:
            return ""

    return ask
