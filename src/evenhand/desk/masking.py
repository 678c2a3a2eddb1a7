"""A study's runs with the names of its builds hidden, so that they are judged by what was found in them."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import count

from evenhand.desk.deciding import Decided, find_run
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.errors import EvenhandError, NotFound
from evenhand.records.faults import Fault
from evenhand.records.runs import Reason, RunState
from evenhand.store.workbench import Workbench

IDS, MASKED_IDS = "0123456789abcdef", "ghjkmnpqrstvwxyz"
MASKING = str.maketrans(IDS, MASKED_IDS)
UNMASKING = str.maketrans(MASKED_IDS, IDS)

A_BUILD = "a build"
SHORT = 3  # a shorter name is hidden only as it is written: as any word it would hide articles


@dataclass(frozen=True, slots=True, kw_only=True)
class MaskedRun:
    """What may be seen of a run while it is judged: no name, no number, no boot, nothing of its conditions.

    `setup` is a letter; `faults` are told with letters and masked ids in the place of names.
    """

    id: str
    test: str
    setup: str
    state: RunState
    faults: tuple[Fault, ...]
    reason: Reason | None
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Mask:
    """What stands for each name of a study: `setups` by key, `names` by every word that tells a build."""

    setups: Mapping[str, str]
    names: Mapping[str, str]
    pattern: re.Pattern[str]

    def text(self, told: str) -> str:
        """A sentence with every name of a build, setup or run hidden."""
        return self.pattern.sub(lambda found: self.names[found[0].casefold()], told)

    def run(self, each: RunOnRecord) -> MaskedRun:
        """One run, masked."""
        return MaskedRun(
            id=masked_id(each.run.id),
            test=each.run.test,
            setup=self.setups[each.run.setup],
            state=each.state,
            faults=tuple(map(self.fault, each.faults)),
            reason=each.decision.reason if each.decision else None,
            note=self.text(each.decision.note) if each.decision else "",
        )

    def fault(self, fault: Fault) -> Fault:
        """One fault, its sentences and siblings masked."""
        return replace(
            fault,
            evidence=self.text(fault.evidence),
            todo=self.text(fault.todo),
            siblings=tuple(map(masked_id, fault.siblings)),
        )

    @contextmanager
    def errors(self) -> Iterator[None]:
        """Hides names in what is refused inside."""
        try:
            yield
        except EvenhandError as error:
            where, todo = self.text(error.where), self.text(error.todo)
            raise type(error)(self.text(error.found), where=where, todo=todo) from None


@dataclass(frozen=True, slots=True, kw_only=True)
class DecidedMasked:
    """What a decision changed, masked; `study` says where."""

    study: str
    run: MaskedRun
    also: tuple[MaskedRun, ...]
    warnings: tuple[str, ...] = ()


def masked_id(run: str) -> str:
    """What a run goes by while names are hidden: nobody knows it by sight from an open list.

    >>> masked_id("f429ff827c"), masked_id("f429ff827c").translate(UNMASKING)
    ('zmjszzrjqw', 'f429ff827c')
    """
    return run.translate(MASKING)


def mask_of(record: StudyOnRecord) -> Mask:
    """The mask of a study: the same each time, as long as it has the same setups."""
    setups = dict(zip(drawn(record), letters(), strict=False))
    words: dict[str, str] = {}
    for build in record.builds.values():
        own = [letter for key, letter in setups.items() if record.setups[key].build == build.key]
        words |= dict.fromkeys((build.key, build.name), own[0] if len(own) == 1 else A_BUILD)
    for key, letter in setups.items():
        words |= dict.fromkeys((key, record.setups[key].name), letter)
    for each in record.runs:
        words |= dict.fromkeys((each.run.id, each.run.label), masked_id(each.run.id))
    return Mask(
        setups=setups,
        names={word.casefold(): mask for word, mask in words.items()},
        pattern=any_of(words),
    )


def drawn(record: StudyOnRecord) -> Sequence[str]:
    """The setups in an order drawn by lot, seeded by the study's key: it tells nothing of theirs."""
    return sorted(
        record.setups, key=lambda key: hashlib.sha256(f"{record.study.key}\x1f{key}".encode()).digest()
    )


def letters() -> Iterator[str]:
    """A to Z, then A2 to Z2, and so on."""
    for turn in count(1):
        yield from (f"{letter}{turn if turn > 1 else ''}" for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ")


def any_of(words: Mapping[str, str]) -> re.Pattern[str]:
    """Finds any of these words, the longest first, where no further letter makes another word of it.

    A word without a letter, such as the label "1", tells no build, and would be found in every number.
    """
    told = [word for word in words if any(map(str.isalpha, word))]
    longest = sorted(told, key=len, reverse=True)
    return re.compile(rf"(?<![^\W\d_])(?:{'|'.join(map(whole, longest))})(?![^\W\d_])" if told else r"(?!)")


def whole(word: str) -> str:
    """The pattern of one word: "run 1" is not to be found in "run 12"."""
    said = re.escape(word) if len(word) < SHORT else f"(?i:{re.escape(word)})"
    return ("(?<!\\d)" if word[0].isdigit() else "") + said + ("(?!\\d)" if word[-1].isdigit() else "")


def masked_runs(record: StudyOnRecord, shown: Sequence[RunOnRecord]) -> tuple[MaskedRun, ...]:
    """These runs of a study, masked: test by test, letter by letter, by masked id."""
    mask = mask_of(record)
    tests = list(record.tests)
    return tuple(sorted(map(mask.run, shown), key=lambda run: (tests.index(run.test), run.setup, run.id)))


def find_masked(wb: Workbench, code: str) -> RunOnRecord:
    """The run with this masked id, or the only one whose masked id begins so.

    Raises NotFound, also for an id or a label: who knows those knows the build.
    """
    if code and set(code) <= set(MASKED_IDS):
        try:
            return find_run(wb, code.translate(UNMASKING))
        except NotFound:
            pass  # its words would name runs
    raise NotFound(
        f"not one run alone goes by '{code}' while names are masked",
        where=str(wb.path),
        todo="take its id from `evenhand runs STUDY --masked`: one of the open list would tell the build",
    )


def show_masked(wb: Workbench, code: str) -> MaskedRun:
    """The run of a masked id, masked. Raises NotFound as find_masked."""
    each = find_masked(wb, code)
    record = load_study(wb, each.run.study)
    return mask_of(record).run(next(own for own in record.runs if own.run.id == each.run.id))


def decide_masked(wb: Workbench, code: str, decide: Callable[[str], Decided]) -> DecidedMasked:
    """Decide about the run of a masked id; what comes of it, and what is refused, is told masked.

    `decide` is given the run's id, and marks its decision as masked.
    """
    each = find_masked(wb, code)
    mask = mask_of(load_study(wb, each.run.study))
    with mask.errors():
        decided = decide(each.run.id)
    return DecidedMasked(
        study=each.run.study,
        run=mask.run(decided.run),
        also=tuple(map(mask.run, decided.also)),
        warnings=tuple(map(mask.text, decided.warnings)),
    )
