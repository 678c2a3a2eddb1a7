"""The answers that a load has to give: the program's own, or those worked out at stock on this machine."""

from __future__ import annotations

import os
import platform
import time
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from evenhand.errors import EvenhandError
from evenhand.rig.keeping import read_json, write_json
from evenhand.rig.loads.crew import Crew, Seen, cores, how_gone
from evenhand.rig.loads.known import Load
from evenhand.rig.loads.worker import Fault

FILE = "answers.json"
TIMES = 2  # each core works every case out so often
LONGEST_S = 600.0


class NoAnswers(EvenhandError):
    """Nothing to hold the answers of a load to."""


def machine_name(root: Path = Path("/")) -> str:
    """What names this machine's processor and system, as far as answers may hang on them."""
    found = {os.name, platform.system(), platform.machine(), platform.processor()}
    try:
        lines = (root / "proc/cpuinfo").read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        lines = []
    models = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return " · ".join(sorted(filter(None, {*found, *models[:1]})))


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """The answers worked out at stock, kept in a folder."""

    folder: Path

    def of(self, load: Load, versions: Mapping[str, str]) -> tuple[str, ...]:
        """What each case has to give. Raises NoAnswers where they were not worked out at stock here."""
        if load.answers:
            return load.answers
        kept = read_json(self.folder / FILE, {}).get(load.name)
        if not isinstance(kept, dict):
            raise self._missing(load, "were not worked out at stock on this machine yet")
        for key, now in circumstances(load, versions).items():
            if kept.get(key) != now:
                raise self._missing(load, f"were worked out with another {key}: {kept.get(key)}, not {now}")
        return tuple(kept["answers"])

    def keep(self, load: Load, versions: Mapping[str, str], answers: tuple[str, ...]) -> None:
        """Keeps what was worked out at stock."""
        self.folder.mkdir(parents=True, exist_ok=True)
        place = self.folder / FILE
        about = {**circumstances(load, versions), "at": datetime.now(UTC).isoformat()}
        write_json(place, {**read_json(place, {}), load.name: {**about, "answers": list(answers)}})

    def _missing(self, load: Load, why: str) -> NoAnswers:
        todo = f"set everything to stock in the firmware, and run: try --stock --load {load.name}"
        return NoAnswers(f"the answers of {load.name} {why}", where=str(self.folder / FILE), todo=todo)


def circumstances(load: Load, versions: Mapping[str, str]) -> dict[str, Any]:
    """All that answers hang on."""
    return {"machine": machine_name(), "version": load.version, **versions}


def worked_out(
    load: Load, *, size: int, fault: Fault | None = None
) -> tuple[Mapping[str, str], tuple[str, ...]]:
    """What the load works with, and its answers, the same on every core, twice.

    Raises NoAnswers where two differ, or differ from what the program knows: this machine reckons wrongly
    already, or is not at stock.
    """
    heard: dict[int, set[str]] = defaultdict(set)

    def hear(case: int, digest: str) -> bool:
        heard[case].add(digest)
        return True

    crew = Crew(load, cores(), size=size, heard=hear, fault=fault)
    try:
        versions = crew.prepare()
        crew.go()
        _wait(crew, crew.workers, TIMES * load.cases)
    except OSError as error:
        raise NoAnswers(f"the answers of {load.name} cannot be worked out", where=str(error)) from error
    finally:
        crew.end()
    answers = tuple(next(iter(heard[case])) for case in range(load.cases))
    split = [case for case in range(load.cases) if len(heard[case]) > 1]
    if split or (load.answers and answers != load.answers):
        raise NoAnswers(
            f"{load.name} gave two answers to one case, or another than everywhere",
            where=f"case {split[0] if split else 'any'}",
            todo="see that everything is at stock; if it is, this machine reckons wrongly as it stands",
        )
    return versions, answers


def _wait(crew: Crew, workers: list[Seen], rounds: int) -> None:
    until = time.monotonic() + LONGEST_S
    while any(each.rounds < rounds for each in workers):
        for each in workers:
            if crew.gone(each):
                raise OSError(f"{each.name}: {each.error or how_gone(each)}")
        if time.monotonic() > until:
            raise OSError(f"they took longer than {LONGEST_S:g} s")
        time.sleep(0.02)
