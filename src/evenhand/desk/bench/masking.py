"""A study's runs with the names of its builds hidden, so that they are judged by what was found in them."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import count

from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.runs.deciding import Decided, find_run
from evenhand.desk.runs.triaging import unjudged_of
from evenhand.errors import EvenhandError, NotFound
from evenhand.records.faults import Fault
from evenhand.records.runs import Reason, RunState
from evenhand.store.workbench import Workbench

IDS, MASKED_IDS = "0123456789abcdef", "ghjkmnpqrstvwxyz"
MASKING = str.maketrans(IDS, MASKED_IDS)
UNMASKING = str.maketrans(MASKED_IDS, IDS)

A_BUILD = "a build"
SHORT = 3  # a shorter name is hidden only as it is written: as any word it would hide articles
ORDINARY = frozenset(
    """
a all an and are as at be before but by each first for from had has have if in into is it its last
less log logs more no not of off on one or other out over run runs second set setup so study test
tests than that the their then there they third this to two under up was were when where which while
who with
""".split()  # noqa: SIM905
)  # a name or label of one such word cannot be told from the sentence around it
QUOTED = re.compile(r"(?<=“)[^”]*(?=”)")  # what a person wrote, as triage tells it
FILE_NAME = re.compile(  # any word that ends as one does; where a sentence begins with one, spaces and all
    r"\A[^:“”]*\.[A-Za-z][A-Za-z0-9]{0,5}(?=[:,])|[^\s'\"“”]+\.[A-Za-z][A-Za-z0-9]{0,5}(?![\w.])"
)
OWN_FILE = "study.toml"
TIME_OF_DAY = re.compile(r"\d{4}-\d{2}-\d{2}T[\d:.+\-Z]*")  # when a run was made tells which it is


@dataclass(frozen=True, slots=True, kw_only=True)
class MaskedRun:
    """What may be seen of a run while it is judged: no name, no number, no boot, nothing of its conditions.

    `setup` is a letter; `faults` are told with letters and masked ids in the place of names, and so is what
    could not be judged, None where nobody asked for that.
    """

    id: str
    test: str
    setup: str
    state: RunState
    faults: tuple[Fault, ...]
    reason: Reason | None
    note: str
    unjudged: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hidden:
    """Words and what stands for each of them, by the words in small letters."""

    words: Mapping[str, str]
    pattern: re.Pattern[str]

    def out_of(self, text: str) -> str:
        """The text with each of the words hidden."""
        return self.pattern.sub(lambda found: self.words[found[0].casefold()], text)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mask:
    """What stands for each name of a study: a letter for a setup, a masked id for a run.

    `names` are the whole names of builds and setups, and `keys` their keys with them: a key may be a word of
    any sentence, so keys are hidden in file names alone. `labels` are those of all runs by
    id, `runs` hides them and the ids; `cells` are the ids of the runs of a cell by the id of each.
    """

    setups: Mapping[str, str]
    names: Hidden
    keys: Hidden
    labels: Mapping[str, str]
    runs: Hidden
    cells: Mapping[str, tuple[str, ...]]

    def run(self, each: RunOnRecord) -> MaskedRun:
        """One run, masked."""
        return MaskedRun(
            id=masked_id(each.run.id),
            test=each.run.test,
            setup=self.setups[each.run.setup],
            state=each.state,
            faults=tuple(self.fault(fault, each.run.id) for fault in each.faults),
            reason=each.decision.reason if each.decision else None,
            note=self.written(each.decision.note) if each.decision else "",
        )

    def fault(self, fault: Fault, run: str) -> Fault:
        """One fault of the run of this id: the labels it tells, and what it quotes; its siblings' ids."""
        runs = (*fault.siblings, *self.cells.get(run, (run,)))
        return replace(
            fault,
            evidence=self.told(fault.evidence, runs),
            todo=self.told(fault.todo, runs),
            siblings=tuple(map(masked_id, fault.siblings)),
        )

    def told(self, sentence: str, runs: Iterable[str]) -> str:
        """A sentence of Evenhand's about these runs: their labels and ids, file names, and what is quoted."""
        plain = hidden(self.labels_of(runs)).out_of(sentence)
        plain = QUOTED.sub(lambda found: self.written(found[0]), plain)
        return FILE_NAME.sub(lambda found: self.file_name(found[0]), plain)

    def written(self, text: str) -> str:
        """What a person wrote: every whole name, label and id."""
        return self.names.out_of(self.runs.out_of(text))

    def file_name(self, name: str) -> str:
        """The name of a file with every name, label and key in it hidden."""
        return name if name == OWN_FILE else self.keys.out_of(self.written(name))

    def labels_of(self, runs: Iterable[str]) -> dict[str, str]:
        """Labels and ids of runs with the masked id for each."""
        return masked_labels({run: self.labels.get(run, run) for run in runs})

    @contextmanager
    def errors(self) -> Iterator[None]:
        """Hides names in what is refused inside."""
        try:
            yield
        except EvenhandError as error:
            said = (self.told(text, self.labels) for text in (error.found, error.where, error.todo))
            found, where, todo = said
            raise type(error)(found, where=where, todo=todo) from None


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
    names: dict[str, str] = {}
    keys: dict[str, str] = {}
    for build in record.builds.values():
        own = [letter for key, letter in setups.items() if record.setups[key].build == build.key]
        names[build.name] = keys[build.key] = own[0] if len(own) == 1 else A_BUILD
    for key, letter in setups.items():
        names[record.setups[key].name] = keys[key] = letter
    labels = {each.run.id: each.run.label for each in record.runs}
    cells = {
        each.run.id: tuple(other.run.id for other in record.cell(each.run.test, each.run.setup))
        for each in record.runs
    }
    return Mask(
        setups=setups,
        names=hidden(names | {key: mask for key, mask in keys.items() if not key.isalpha()}),
        keys=hidden(keys, ordinary=True),
        labels=labels,
        runs=hidden(masked_labels(labels)),
        cells=cells,
    )


def masked_labels(labels: Mapping[str, str]) -> dict[str, str]:
    """Labels by id, and the ids, with the masked id for each; of runs labelled alike, the last one's."""
    return {word: masked_id(run) for run, label in labels.items() for word in (run, label)}


def hidden(words: Mapping[str, str], *, ordinary: bool = False) -> Hidden:
    """These words to be hidden; `ordinary` says whether also those that stand in any sentence."""
    kept = {word: mask for word, mask in words.items() if ordinary or word.casefold() not in ORDINARY}
    return Hidden(words={word.casefold(): mask for word, mask in kept.items()}, pattern=any_of(kept))


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
    """The run of a masked id, masked, with what could not be judged. Raises NotFound as find_masked."""
    each = find_masked(wb, code)
    record = load_study(wb, each.run.study)
    mask, own = mask_of(record), next(own for own in record.runs if own.run.id == each.run.id)
    said = (TIME_OF_DAY.sub("its start", line) for line in unjudged_of(wb, own))
    return replace(mask.run(own), unjudged=tuple(mask.told(line, mask.labels) for line in said))


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
        warnings=tuple(mask.told(warning, mask.labels) for warning in decided.warnings),
    )
