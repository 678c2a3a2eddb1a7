"""A trial under a load whose answers are known: a wrong one, a worker's error or death ends it."""

from __future__ import annotations

import time
from collections.abc import Mapping

from evenhand.rig.loads.crew import Crew, Seen, died, how_gone
from evenhand.rig.loads.known import Load
from evenhand.rig.loads.worker import Fault
from evenhand.rig.trials.answers import Answers
from evenhand.rig.trials.asked import CRASH, ERROR, WRONG, End
from evenhand.rig.trials.doing import NotBegun, Signs

SILENT_S = 60.0  # a worker that lives tells a round several times a second, seconds apart at the very worst


class KnownAnswers:
    """Round after round on these cores, each answer held against what is known."""

    def __init__(
        self,
        load: Load,
        on: tuple[int | None, ...],
        *,
        size: int,
        answers: Answers,
        fault: Fault | None = None,
        silent_s: float = SILENT_S,
    ) -> None:
        self._load = load
        self._known = answers
        self._answers: tuple[str, ...] = ()
        self._silent_s = silent_s
        self.crew = Crew(load, on, size=size, heard=self._right, fault=fault)

    def prepare(self) -> Mapping[str, str]:
        """Starts the workers, which wait. Raises NotBegun where one cannot work, NoAnswers without any."""
        try:
            versions = self.crew.prepare()
            if any(map(died, self.crew.workers)):  # that is an outcome, and seen as one
                return versions
            self._answers = self._known.of(self._load, versions)
        except OSError as error:
            self.crew.end()
            raise NotBegun(
                f"the load {self._load.name} cannot be begun",
                where=str(error),
                todo="where numpy is missing, take integers or patterns, which need none; "
                "where memory is, take a smaller --memory-share",
            ) from error
        except BaseException:
            self.crew.end()
            raise
        return versions

    def begin(self) -> None:
        """Lets the workers go."""
        self.crew.go()

    def signs(self) -> Signs:
        """Rounds, wrong answers, and whether it is over."""
        workers = self.crew.workers
        rounds = tuple(each.rounds for each in workers)
        errors = sum(len(each.wrong) for each in workers)
        ended = next(filter(None, map(self._over, sorted(workers, key=lambda each: not each.wrong))), None)
        if ended is not None or not workers:
            return Signs(rounds=rounds, errors=errors, ended=ended)
        quietest = min(workers, key=lambda each: each.heard_at)
        quiet_s = time.monotonic() - quietest.heard_at
        if quiet_s < self._silent_s:
            return Signs(rounds=rounds, errors=errors)
        why = f"{quietest.name} has told nothing for {quiet_s:.0f} s"
        return Signs(rounds=rounds, errors=errors, ended=End(outcome=CRASH, why=why), quiet_s=quiet_s)

    def end(self) -> None:
        """Ends the workers."""
        self.crew.end()

    def _right(self, case: int, digest: str) -> bool:
        return digest == self._answers[case]

    def _over(self, worker: Seen) -> End | None:
        if worker.wrong:
            return End(outcome=WRONG, why=f"{worker.name} gave a wrong answer in round {worker.wrong[0] + 1}")
        if worker.error:
            return End(outcome=ERROR, why=f"{worker.name} told an error: {worker.error}")
        if self.crew.gone(worker):
            return End(outcome=CRASH, why=f"{worker.name}: {how_gone(worker)}")
        return None
