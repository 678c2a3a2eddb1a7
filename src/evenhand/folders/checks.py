"""Whether the tables of a study file agree with each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenhand.errors import nearest
from evenhand.folders.lines import Path
from evenhand.folders.problems import Problem
from evenhand.folders.study_folder import LayoutEntry, RunEntry
from evenhand.records.builds import Build, Setup
from evenhand.records.layouts import Column, LogKind, Role
from evenhand.records.runs import RunState
from evenhand.records.studies import Study
from evenhand.records.tests import Measures, Test
from evenhand.units import find_unit, unit

QUANTITIES: Mapping[Role, tuple[str, ...]] = {
    Role.FRAME_TIME: ("time",),
    Role.ELAPSED: ("time",),
    Role.PROCESSOR_SHARE: ("time",),
    Role.GRAPHICS_SHARE: ("time",),
    Role.CLOCK: ("clock",),
    Role.TEMPERATURE: ("temperature",),
    Role.POWER: ("power",),
    Role.LOAD: ("load",),
    Role.FAN: ("turning", "load"),
    Role.MEMORY: ("memory", "load"),
    Role.VOLTAGE: ("voltage",),
}
"""What a column in a role can be measured in; a role that is not listed takes any unit or none."""

TOO_MANY = "keep five of them here, and put the others into another study"
MOST_BUILDS = 5  # a chart has so many colours that tell machines apart

SENSED = (Role.CLOCK, Role.TEMPERATURE, Role.POWER, Role.LOAD, Role.FAN, Role.MEMORY, Role.VOLTAGE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """Every name the file declares, also in tables that have problems of their own."""

    parts: frozenset[str]
    builds: frozenset[str]
    setups: frozenset[str]
    tests: Mapping[str, Measures | None]
    layouts: Mapping[str, LogKind | None]


def repeated(table: str, names: Sequence[tuple[int, str]], called: str = "key") -> Iterator[Problem]:
    """Entries of one kind that share a name: (number of the entry, its name)."""
    first: dict[str, int] = {}
    for at, name in names:
        if name in first:
            said = f"the {called} '{name}' is taken by [[{table}]] {first[name] + 1}"
            yield Problem(path=(table, at, called), found=said, todo="give each its own")
        first.setdefault(name, at)


def check_study(study: Study, known: Known) -> Iterator[Problem]:
    """The study names setups and tests that exist, each once, and a sound room temperature."""
    for key, given, names in (("setups", study.setups, known.setups), ("tests", study.tests, known.tests)):
        for at, name in enumerate(given):
            yield from _unknown(("study", key, at), key.removesuffix("s"), name, names)
            if name in given[:at]:
                yield Problem(path=("study", key, at), found=f"'{name}' is listed twice", todo="list it once")
    for name in study.weights:
        yield from _unknown(("study", "weights", name), "test", name, study.tests)
    if study.ambient_c and study.ambient_c[0] > study.ambient_c[1]:
        low, high = study.ambient_c
        yield Problem(
            path=("study", "ambient_c"),
            found=f"the room temperature range runs from {low} down to {high}",
            todo=f"write ambient_c = [{high}, {low}]",
        )


def check_build(build: Build, at: int, known: Known) -> Iterator[Problem]:
    """A build is made of parts that exist."""
    for place, part in enumerate(build.parts):
        yield from _unknown(("builds", at, "parts", place), "part", part, known.parts)


def check_slots(builds: Sequence[tuple[int, Build]]) -> Iterator[Problem]:
    """No two builds wear one colour slot, and there are no more builds than colours."""
    if len(builds) > MOST_BUILDS:
        said = f"a study holds five builds, each in a colour of its own, and this one has {len(builds)}"
        todo = TOO_MANY
        yield Problem(path=("builds", builds[MOST_BUILDS][0], "slot"), found=said, todo=todo)
        return
    worn: dict[int, str] = {}
    for at, build in builds:
        if build.slot in worn:
            free = sorted(set(range(1, MOST_BUILDS + 1)) - {b.slot for _, b in builds})
            said = f"slot {build.slot} is worn by '{worn[build.slot]}' already"
            yield Problem(path=("builds", at, "slot"), found=said, todo=f"free: {', '.join(map(str, free))}")
        worn.setdefault(build.slot, build.key)


def check_setup(setup: Setup, at: int, known: Known) -> Iterator[Problem]:
    """A setup is a state of a build that exists."""
    yield from _unknown(("setups", at, "build"), "build", setup.build, known.builds)


def check_layout(layout: LayoutEntry, at: int) -> Iterator[Problem]:
    """A layout gives its kind what it needs, uses each column once, and in units that fit."""
    lack = lacking(layout.kind, layout.columns)
    if lack:
        yield Problem(path=("layouts", at, "columns"), found=f"a {layout.kind} layout needs {lack}")
    for place, column in enumerate(layout.columns):
        path = ("layouts", at, "columns", column.role.replace(" ", "_"))
        if column.header in [c.header for c in layout.columns[:place]]:
            yield Problem(path=path, found=f"the column '{column.header}' is used twice", todo="use it once")
        yield from _check_unit(column, path)


def lacking(kind: LogKind, columns: Iterable[Column]) -> str:
    """What logs of a kind cannot be read without, where no column has it; "" where all is there."""
    roles = {column.role for column in columns}
    if kind is LogKind.FRAMES:
        times = {Role.FRAME_TIME, Role.ELAPSED, Role.TIMESTAMP}
        return "" if roles & times else "frame_time, elapsed_time or time_of_day"
    if kind is LogKind.SCORES:
        return "" if Role.SCORE in roles else "score"
    if not roles & {Role.ELAPSED, Role.TIMESTAMP}:
        return "elapsed_time or time_of_day"
    return "" if roles & set(SENSED) else "at least one sensor, such as clock or temperature"


def _check_unit(column: Column, path: Path) -> Iterator[Problem]:
    wanted = QUANTITIES.get(column.role)
    if not column.unit or wanted is None:
        return
    found = find_unit(column.unit)
    if found is None:
        said = f"'{column.unit}' is not a unit of the table"
        yield Problem(path=(*path, "unit"), found=said, todo=_fitting(wanted))
    elif found.quantity not in wanted:
        said = f"'{column.unit}' is a unit of {found.quantity}, and {column.role} is not measured in it"
        yield Problem(path=(*path, "unit"), found=said, todo=_fitting(wanted))


def _fitting(quantities: Iterable[str]) -> str:
    symbols = ("ms", "us", "ns", "s", "MHz", "GHz", "°C", "K", "W", "mW", "%", "rpm", "MiB", "GiB", "V", "mV")
    return "use one of: " + ", ".join(s for s in symbols if unit(s).quantity in quantities)


def check_run(run: RunEntry, path: Path, known: Known) -> Iterator[Problem]:
    """A run belongs to a test and a setup that exist, and says where its number comes from, once."""
    yield from _unknown((*path, "test"), "test", run.test, known.tests)
    yield from _unknown((*path, "setup"), "setup", run.setup, known.setups)
    yield from _check_source(run, path, known.tests.get(run.test))
    wanted = LogKind.SCORES if run.scores is not None else LogKind.FRAMES
    yield from _check_run_layout((*path, "layout"), run.layout, known, wanted)
    yield from _check_run_layout((*path, "sensor_layout"), run.sensor_layout, known, LogKind.SENSORS)
    if run.window is not None:
        yield from _check_window(run, path, known.tests.get(run.test))
    for at, decision in enumerate(run.decisions):
        if decision.state is RunState.SET_ASIDE and decision.reason is None:
            said = "a run is set aside without a reason"
            yield Problem(path=(*path, "decisions", at), found=said, todo="add reason = ...")


def _check_window(run: RunEntry, path: Path, measures: Measures | None) -> Iterator[Problem]:
    """A run's own window is one of frames, and says why it is not its test's."""
    if measures is Measures.SCORE:
        yield _no_frames((*path, "window"))
    if run.window is not None and not run.window.reason.strip():
        said = "a run has a window of its own without a reason"
        yield Problem(path=(*path, "window"), found=said, todo="add reason = ..., or give it to its test")


def check_test(test: Test, at: int) -> Iterator[Problem]:
    """A test has a measured window only where its runs leave frames behind."""
    if test.window is not None and test.measures is Measures.SCORE:
        yield _no_frames(("tests", at, "window"))


def _no_frames(path: Path) -> Problem:
    return Problem(path=path, found="a score has no frames to be cut", todo="leave the window out")


def _check_source(run: RunEntry, path: Path, measures: Measures | None) -> Iterator[Problem]:
    sources = [
        k for k, v in (("log", run.log), ("score", run.score), ("scores", run.scores)) if v is not None
    ]
    if not sources:
        todo = "add log = 'FILE', score = NUMBER, or scores = 'FILE' with row = {...}"
        yield Problem(path=path, found="the run has neither a log nor a score", todo=todo)
    elif len(sources) > 1:
        said = f"the run has both {' and '.join(sources)}"
        yield Problem(path=(*path, sources[-1]), found=said, todo="keep one of them")
    elif measures is not None and (measures is Measures.FRAMES) != (sources == ["log"]):
        wanted = "a log" if measures is Measures.FRAMES else "a score"
        said = f"the test '{run.test}' measures {measures} and needs {wanted}, not {sources[0]}"
        yield Problem(path=(*path, sources[0]), found=said, todo="correct the run, or what its test measures")
    if (run.row is None) != (run.scores is None):
        has, lacks = ("row", "scores") if run.scores is None else ("scores", "row")
        yield Problem(path=(*path, has), found=f"'{has}' without '{lacks}'", todo=f"add {lacks} = ...")


def _check_run_layout(path: Path, name: str | None, known: Known, kind: LogKind) -> Iterator[Problem]:
    if name is None:
        return
    fitting = [n for n, k in known.layouts.items() if k in (kind, None)]
    yield from _unknown(path, f"{kind} layout", name, fitting)


def check_sources(runs: Sequence[tuple[Path, RunEntry]]) -> Iterator[Problem]:
    """No two runs take their number from the same file or row, and no two share a label.

    A run that is no longer named may have been the same one under another boot, order, test or setup.
    """
    seen: dict[object, Path] = {}
    for path, run in ((path, run) for path, run in runs if run.named):
        taken = {"log": run.log, "row": run.row and (run.scores, run.row), "label": (run.label,)}
        for key, value in taken.items():
            if value is not None and value in seen:
                said = f"another run has this {key} already"
                yield Problem(path=(*path, key), found=said, todo="each run needs its own")
            seen.setdefault(value, path)


def _unknown(path: Path, called: str, name: str, known: Iterable[str]) -> Iterator[Problem]:
    names = list(known)
    if name not in names:
        advice = nearest(name, names) if names else f"no {called} is declared"
        yield Problem(path=path, found=f"'{name}' is not a {called} of this file", todo=advice)
