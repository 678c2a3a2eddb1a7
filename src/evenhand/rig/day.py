"""A bench day on this rig: run after run as the workbench wants them, by their commands or by hand."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from evenhand.errors import EvenhandError
from evenhand.rig import session
from evenhand.rig.asking import Unreachable
from evenhand.rig.following import Wanted, in_inbox, not_this
from evenhand.rig.operator import Operator, say
from evenhand.rig.scripted import Outcome
from evenhand.rig.sending import Sender
from evenhand.rig.session import Made, Rig
from evenhand.rig.watching import Folder, Known

AGAIN_S = 3.0  # between two questions where nothing is to be done
LONGEST_WAIT_S = 60.0
SOON_S = 10.0  # a log that has not appeared by then is asked after
LATE_S = 600.0  # for so long a log may still appear after the plan has gone on without it
NO_LOG = "The workbench has no log of it yet."
PLACE = ("plan", "slot")  # what names one run of a plan

T = TypeVar("T")


class NotAllowed(EvenhandError):
    """A command that whoever stands at this machine does not want run."""


@dataclass(slots=True)
class Late:
    """The run whose log had not appeared when the plan went on: what is known of it, and until when it may.

    `before` holds the files that were there when it began.
    """

    facts: Mapping[str, Any] = field(default_factory=dict)
    before: Known = field(default_factory=dict)
    until: float = 0.0

    def of(self, wanted: Wanted) -> bool:
        """Whether it is this very run of the plan, and its log may still come."""
        same = all(self.facts.get(part) == wanted.get(part) for part in PLACE)
        return bool(self.facts) and same and time.monotonic() <= self.until

    def known(self, path: str, now: Sequence[int]) -> Mapping[str, Any]:
        """What is known of a file that belongs to no run under way; nothing where it is not of this one."""
        there = self.before.get(path)
        if time.monotonic() > self.until or (there is not None and tuple(there) == tuple(now)):
            return {}
        return self.facts


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """The rig with all that it works with. `folder` is where logs appear, `trusting` allows every command."""

    rig: Rig
    sender: Sender
    operator: Operator
    folder: Folder | None = None
    trusting: bool = False
    late: Late = field(default_factory=Late)


def make_runs(day: Day, most: int | None) -> bool:
    """One run after the other, `most` at most; whether the machine has to be restarted before the next."""
    done, wanted = 0, upcoming(day)
    while most is None or done < most:
        if session.needs_restart(day.rig, wanted):
            say(f"The plan wants a fresh start before this: {wanted['words']}.")
            say("Restart this machine, and start me again; I know the way back.")
            return True
        say(f"Next: {wanted['words']}.")
        day.sender.slot = (wanted["plan"], wanted["slot"])
        made = make_one(day, wanted)
        done += made
        wanted = upcoming(day) if done != most else wanted
    return False


def upcoming(day: Day) -> Wanted:
    """The next run, once there is one; says why not meanwhile, and lets no log lie."""
    shown = ""
    day.sender.slot = None
    while True:
        told = patiently(lambda: session.next_run(day.rig))
        found: Wanted | None = told["run"]
        if found and not on_its_way(day, found):
            return found
        if found:  # what was made of it may be all that is wanted: it goes home first
            day.sender.home()
            continue
        if told["words"] != shown:
            shown = told["words"]
            say(f"{shown} Asking again.")
        gather(day, {})
        time.sleep(AGAIN_S)


def on_its_way(day: Day, wanted: Wanted) -> bool:
    """Whether something that was made of this run is not home yet, as after its study was put away."""
    parcels = day.rig.state.spool.parcels()
    return any(all(each.facts.get(part) == wanted[part] for part in PLACE) for each in parcels)


def make_one(day: Day, wanted: Wanted) -> bool:
    """One run; whether it was made and the workbench wants another one now."""
    if not wanted.get("script"):
        return by_hand(day, wanted)
    check_allowed(day, wanted["script"])
    outcome = session.make_scripted(day.rig, wanted, stop=threading.Event())
    if outcome.trouble:
        tell_trouble(outcome)
        day.operator.ask("  Press Enter to try again, Ctrl+C to stop. ")
        return False
    score = "Done" if wanted.get("hidden") else f"Score {outcome.score:g}"
    say(f"  {score}, {outcome.duration_s:.1f} s; on its way.")
    words = "The workbench has it and wants this run still: its inbox says why."
    return wait_for_another(day, wanted, words, {}, before={})


def tell_trouble(outcome: Outcome) -> None:
    """Why a run does not count, and the last that its command printed."""
    say(f"  It does not count: {outcome.trouble}. The last lines:")
    say("  " + "\n  ".join(outcome.output.strip().splitlines()[-5:]))


def check_allowed(day: Day, script: Wanted) -> None:
    """Asks once whether a command may be run here. Raises NotAllowed where it may not."""
    if day.trusting or day.rig.state.trusted(script):
        return
    say(f"  The workbench wants this command run on this machine:\n    {script['command']}")
    if script.get("folder"):
        say(f"    in {script['folder']}")
    if day.operator.ask("  Allow it from now on? (yes/no) ").strip().lower() not in ("y", "yes"):
        raise NotAllowed("the command was not allowed", where=str(script["command"]))
    day.rig.state.trust(script)


def by_hand(day: Day, wanted: Wanted) -> bool:
    """A run that a person drives: its sensors recorded, the log that appears sent as this run's."""
    if day.late.of(wanted):
        say("  It was made already, and its log is awaited.")
        if wait_for_another(day, wanted, NO_LOG, day.late.facts, before=day.late.before):
            return True
    elif wanted.get("waiting") and wait_for_another(day, wanted, NO_LOG, {}, before={}):
        return True
    day.operator.ask("  Press Enter when you begin. ")
    before = {} if day.folder is None else day.folder.present()
    under_way(day, wanted, session.begun(day.rig, wanted), before)
    made: Made = session.recorded(
        day.rig, lambda: day.operator.ask("  Running. Press Enter when it has ended. ")
    )
    facts = session.facts_of(day.rig, wanted, made)
    under_way(day, wanted, facts, before)
    words = "No folder is watched here: bring its log to the workbench."
    if day.folder is not None:
        words = f"{NO_LOG} I go on looking in {day.folder.place}."
    another = wait_for_another(day, wanted, words, facts, before=before)
    day.rig.state.note_under_way(None)
    return another


def under_way(day: Day, wanted: Wanted, facts: Mapping[str, Any], before: Known) -> None:
    """Remembers on disk which run is being made: this program may be killed before its log is there."""
    day.rig.state.note_under_way({"words": wanted["words"], "facts": facts, "before": before})


def wait_for_another(
    day: Day, wanted: Wanted, words: str, facts: Mapping[str, Any], *, before: Known
) -> bool:
    """Waits until the workbench wants another run than this; False where somebody wants it made again.

    A run whose slot stays open is not made again unasked: its log may be late, lie in the inbox, or come by
    another way. `words` are said once it takes long, at once which file in the inbox may be its log. Its log
    stays its own where the plan goes on meanwhile.
    """
    begin, shown, came = time.monotonic(), "", not facts
    while True:
        came |= gather(day, facts, before=before)
        day.sender.home()
        following: Wanted | None = patiently(lambda: session.next_run(day.rig)["run"])
        if following is None or not_this(following, wanted):
            if not came and day.folder is not None:
                expect_late(day, facts, before)
            return True
        long = bool(shown) or time.monotonic() - begin > (SOON_S if facts else 0)
        line = in_inbox(following) or (words if long else "")
        if line and line != shown:
            shown = line
            say(f"  {line} Press Enter to make it again.")
        if shown and day.operator.pressed():
            return False
        time.sleep(AGAIN_S if shown else 1.0)


def expect_late(day: Day, facts: Mapping[str, Any], before: Known) -> None:
    """Keeps what is known of a run whose log is not there yet, though the plan has gone on."""
    day.late.facts, day.late.before, day.late.until = facts, before, time.monotonic() + LATE_S
    say("  The plan has gone on without this run. Its log is sent as this run's once it is there.")


def gather(day: Day, facts: Mapping[str, Any], *, before: Known | None = None) -> bool:
    """Puts finished files of the watched folder on their way; whether one went as the run of these facts.

    `before` holds those that were there when the run began: they are of an earlier run, if of any.
    """
    folder = day.folder
    if folder is None:
        return False
    found, own, late_came = list(folder.finished()), False, False
    for path in found:
        now, there = folder.known[str(path)], (before or {}).get(str(path))
        earlier = not facts or (there is not None and tuple(there) == tuple(now))
        own |= not earlier
        late = day.late.known(str(path), now) if earlier else {}
        late_came |= bool(late)
        session.send_log(day.rig, path, late if earlier else facts)
        say(f"  {path.name} has appeared; on its way.")
    if late_came:  # whatever appears from now on is of another run
        day.late.until = 0.0
    if found:
        day.rig.state.note_files(folder.place, folder.known)
        day.sender.wake()
    return own


def patiently(doing: Callable[[], T]) -> T:
    """Does something that needs the workbench, and waits for it as long as it takes."""
    wait_s, told = AGAIN_S, False
    while True:
        try:
            found = doing()
        except Unreachable as error:
            if not told:
                say(str(error))
            told = True
            time.sleep(wait_s)
            wait_s = min(2 * wait_s, LONGEST_WAIT_S)
            continue
        if told:
            say("The workbench answers again.")
        return found
