"""A trial from its first line to its last: a beat a second, on the disk before the next."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from evenhand.errors import StoreProblem
from evenhand.rig.operator import say
from evenhand.rig.trials.answers import NoAnswers
from evenhand.rig.trials.asked import ERROR, HOUR_S, PASSED, STOPPED, WRONG, Asked, End, header_of, span
from evenhand.rig.trials.doing import Doing, NotBegun, Signs
from evenhand.rig.trials.journal import Journal, reserve
from evenhand.rig.trials.stopping import Stop, heard
from evenhand.rig.trials.telling import Teller
from evenhand.rig.trials.warmth import Warmth
from evenhand.rig.trials.watching import Watch

EVERY_S = 1.0
TELL_S = 60.0  # how often the terminal says how it stands


@dataclass(frozen=True, slots=True, kw_only=True)
class Time:
    """The clock that never jumps, in seconds, and the one on the wall, which may."""

    mono: Callable[[], float] = time.monotonic
    wall: Callable[[], datetime] = lambda: datetime.now(UTC)


class Trial:
    """One trial under way; `teller` is told how it stands, if there is one.

    With `warmth` what it reads is kept as well, and the machine rests for `rest_s` before and after the load.
    """

    def __init__(
        self,
        asked: Asked,
        doing: Doing,
        watch: Watch,
        *,
        folder: Path,
        stop: Stop,
        every_s: float = EVERY_S,
        clocks: Time | None = None,
        after: Callable[[End], End] | None = None,
    ) -> None:
        self.asked = asked
        self._doing, self._watch, self._stop = doing, watch, stop
        self._folder, self._every_s, self._time = folder, every_s, clocks or Time()
        self._after = after
        self.teller: Teller | None = None
        self.warmth: Warmth | None = None
        self.rest_s = 0.0
        self._begin, self._last, self._gap_s = 0.0, 0.0, 0.0
        self._told_at = 0.0

    def run(self) -> End:
        """Makes it; its journal holds how it ended when this returns.

        Raises NotBegun or NoAnswers where the load cannot be begun, and StoreProblem where the disk takes
        neither beat nor end; nothing runs on then.
        """
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            reserve(self._folder)
            journal = Journal(self._folder, self.asked.key)
            with heard(self._stop), closing(journal):
                return self._kept(journal)
        except OSError as error:
            raise StoreProblem(
                f"the trial cannot be kept ({error.strerror}): {self.asked.words}, "
                f"held {self._last - self._begin:.0f} s",
                where=str(self._folder), todo="make room there, and write this trial down by hand",
            ) from error  # fmt: skip

    def _kept(self, journal: Journal) -> End:
        journal.write(header_of(self.asked))
        self._begin = self._last = self._time.mono()
        try:
            self._doing.prepare()
            if self.warmth is not None:
                journal.write(self.warmth.begun(self._time.mono()))
                self._rest(journal)
            self._begin = self._last = self._time.mono()
            self._doing.begin()
            end = self._until_over(journal)
        except (NotBegun, NoAnswers):
            journal.path.unlink()
            raise
        finally:
            self._doing.end()
        if self._after is not None:
            end = self._after(end)
            journal.write_last({"end": asdict(end)})
        if end.outcome == PASSED:
            with suppress(OSError):  # how it ended is kept; a log that is cut off is one all the same
                self._rest(journal)
        return end

    def _rest(self, journal: Journal) -> None:
        """Keeps what is read while the machine rests, until that is over or somebody ends it."""
        if self.warmth is None or self.rest_s <= 0:
            return
        say(f"  It rests for {span(self.rest_s)}, so that its temperatures tell more.")
        begin, rows = self._time.mono(), 0
        while self._time.mono() - begin < self.rest_s and not self._stop.asked():
            journal.write(self.warmth.look(self._time.mono()))
            rows += 1
            self._stop.wait(begin + rows * self._every_s - self._time.mono())

    def _until_over(self, journal: Journal) -> End:
        beats = 0
        while True:
            now = self._time.mono()
            signs = self._doing.signs()
            warm = None if self.warmth is None else self.warmth.look(now)
            end = self._over(signs, now - self._begin) or self._kept_beat(journal, signs, now, warm)
            if end is not None:  # at once, before anything else can go wrong
                why = "; ".join([end.why, *self._watch.odd])
                end = replace(end, why=why, hottest_c=self._watch.hottest_c, watts=self._watch.watts)
                said = asdict(end if self._after is None else unsaid(end))
                journal.write_last({"end": said} | (warm or {}))
                if self.teller is not None:
                    self.teller.over()
                return end
            self._last = now
            beats += 1
            self._tell(signs, now)
            self._stop.wait(self._begin + beats * self._every_s - self._time.mono())

    def _kept_beat(
        self, journal: Journal, signs: Signs, now: float, warm: dict[str, object] | None
    ) -> End | None:
        beat = self._beat(signs, now)
        if self.teller is not None:
            self.teller.note(beat)
        try:
            journal.write({"beat": beat} | (warm or {}))
        except OSError as error:
            why = f"a beat could not be kept ({error.strerror}), and without beats a crash leaves no record"
            return End(outcome=STOPPED, why=why, held_s=now - self._begin)
        return None

    def _over(self, signs: Signs, held_s: float) -> End | None:
        """Why the trial is over, if it is; what failed comes before what was asked for."""
        end = signs.ended or self._watch.look(held_s)
        if end is None and self._stop.asked():
            end = End(outcome=STOPPED, why=f"ended before its time by {self._stop.who}")
        if end is None and held_s >= self.asked.planned_h * HOUR_S and all(signs.rounds):
            end = End(outcome=ERROR if signs.errors else PASSED, why=told(signs))
        if end is None:
            return None
        counted = signs.errors or (1 if end.outcome == WRONG else 0)
        if signs.ended is not None and signs.quiet_s:
            end = replace(end, found_s=held_s, held_s=max(held_s - signs.quiet_s, 0.0))
        else:
            end = replace(end, held_s=min(end.held_s, held_s))
        return replace(end, errors=counted, corrected=signs.corrected)

    def _beat(self, signs: Signs, now: float) -> dict[str, object]:
        self._gap_s = max(self._gap_s, now - self._last)
        return {
            "trial": self.asked.key,
            "boot": self.asked.boot,
            "mono": round(now, 3),
            "wall": self._time.wall().isoformat(),
            "held_s": round(now - self._begin, 3),
            "gap_s": round(self._gap_s, 3),
            "rounds": list(signs.rounds),
            "errors": signs.errors,
            "corrected": signs.corrected,
            "hottest_c": self._watch.hottest_c,
            "watts": self._watch.watts,
        }

    def _tell(self, signs: Signs, now: float) -> None:
        if self._watch.news:
            say(f"  {self._watch.news}")
        if now - max(self._told_at, self._begin) >= TELL_S:
            self._told_at = now
            heat = "" if self._watch.hottest_c is None else f", {self._watch.hottest_c:g} °C at the most"
            say(f"  {span(now - self._begin)}, {sum(signs.rounds)} rounds{heat}; Ctrl+C ends it.")


def unsaid(end: End) -> End:
    """How a trial ended of which only a person can say that it passed, before they have."""
    if end.outcome != PASSED:
        return end
    return replace(end, outcome=STOPPED, why="its time was over, and nobody said how it went")


def told(signs: Signs) -> str:
    """What ran to its end.

    >>> told(Signs(rounds=(12,), errors=5, corrected=4))
    'it ran to its end, and counted 5 errors, of which 4 were corrected'
    >>> told(Signs(rounds=(40, 38))), told(Signs())
    ('78 rounds of 2 workers, every one as it should be', 'it ran to its end')
    """
    if signs.errors:
        so = f", of which {signs.corrected} were corrected" if signs.corrected else ""
        return f"it ran to its end, and counted {signs.errors} errors{so}"
    if not signs.rounds:
        return "it ran to its end"
    return f"{sum(signs.rounds)} rounds of {len(signs.rounds)} workers, every one as it should be"
