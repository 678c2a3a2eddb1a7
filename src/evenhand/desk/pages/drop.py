"""What became of things that were dropped, as the page about them tells it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.desk.logs.bringing import Brought
from evenhand.desk.logs.column_questions import Question
from evenhand.desk.logs.dropping import DROP_LIMITS, Dropped, sentence
from evenhand.desk.logs.importing import ImportReport
from evenhand.desk.logs.missing_past import missing_words
from evenhand.desk.pages.inbox import ColumnShown, columns_of
from evenhand.desk.tuning.brought import OTHERWISE, TunedBrought, brought_words
from evenhand.publish.numbers import capital, count_word, counted
from evenhand.traces.limits import in_mib

MOST_BYTES = DROP_LIMITS.max_bytes
MOST_WORDS = in_mib(MOST_BYTES)
MOST_TOLD = 12  # refused files that one page tells of

SORTS = ("filed", "known", "waits", "refused", "begun")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeaderAsked:
    """A header that nobody has confirmed: the log it was seen in, and a guess for each column."""

    id: int
    name: str
    kind: str
    doubt: str
    columns: tuple[ColumnShown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtPage:
    """The page about one thing that was brought in: what came of it, what is odd, and where to look.

    A study that names no `runs` is looked at where its bench day is planned.
    """

    answer: str
    study: str = ""
    questions: tuple[HeaderAsked, ...] = ()
    refused: tuple[tuple[str, str], ...] = ()
    more_refused: int = 0
    notes: tuple[str, ...] = ()
    files: tuple[Dropped, ...] = ()
    runs: bool = True


def brought_page(brought: Brought) -> BroughtPage:
    """What came of it."""
    if brought.report is None:
        return BroughtPage(answer=answer_of(brought.files), files=in_order(brought.files))
    report = brought.report
    refused = [(each.file, sentence(each.why)) for each in report.refused if not each.header]
    return BroughtPage(
        answer=study_words(brought.title, report),
        study=report.study,
        questions=tuple(header_asked(at, each) for at, each in enumerate(brought.questions)),
        refused=tuple(refused[:MOST_TOLD]),
        more_refused=max(0, len(refused) - MOST_TOLD),
        notes=tuple(notes_of(report)),
        runs=names_runs(report),
    )


def header_asked(at: int, asked: Question) -> HeaderAsked:
    """A header, and what its columns seem to be."""
    return HeaderAsked(
        id=at,
        name=asked.file,
        kind=asked.kind.value,
        doubt=asked.doubt,
        columns=columns_of(asked, None),
    )


def in_order(files: Sequence[Dropped]) -> tuple[Dropped, ...]:
    """What needs somebody first, what is done last."""
    order = ("begun", "refused", "waits", "known", "filed")
    return tuple(sorted(files, key=lambda each: order.index(each.sort)))


def answer_of(files: Sequence[Dropped]) -> str:
    """What became of files in a sentence.

    >>> one = Dropped(name="a.csv", sort="filed", words="")
    >>> answer_of([one, one, Dropped(name="b.csv", sort="waits", words="")])
    'Three files: two filed as runs, one in the inbox.'
    >>> answer_of([one]), answer_of([])
    ('One file: one filed as a run.', 'No file was chosen.')
    """
    if not files:
        return "No file was chosen."
    counts = [(sum(each.sort == sort for each in files), sort) for sort in SORTS]
    told = ", ".join(_count(n, sort) for n, sort in counts if n)
    return f"{capital(counted(len(files), 'file'))}: {told}."


def _count(n: int, sort: str) -> str:
    words = {
        "filed": "filed as a run" if n == 1 else "filed as runs",
        "known": "here already",
        "waits": "in the inbox",
        "refused": "refused",
        "begun": "being unpacked",
    }
    return f"{count_word(n)} {words[sort]}"


def names_runs(report: ImportReport) -> bool:
    """Whether a study that was brought in names any run at all."""
    return bool(report.new or report.changed or report.same or report.refused)


def study_words(title: str, report: ImportReport) -> str:
    """What came of a study in a sentence, and of its tuned parts in another."""
    of_runs = _of_runs(title, report)
    return f"{of_runs} {tuned_sentence(report.tuned)}" if report.tuned else of_runs


def tuned_sentence(brought: TunedBrought) -> str:
    """What came of tuned parts.

    >>> tuned_sentence(TunedBrought(trials=12, known=3)), tuned_sentence(TunedBrought(known=3))
    ('Of tuned parts: 12 new trials, 3 known already.', 'Of tuned parts: nothing new, 3 known already.')
    """
    return f"Of tuned parts: {brought_words(brought)}."


def _of_runs(title: str, report: ImportReport) -> str:
    if not names_runs(report):
        return f"{title} came in: it names no run yet."
    told = [f"{counted(report.new, 'run')} came in" if report.new else "no run is new"]
    if report.changed:
        told.append(f"{count_word(report.changed)} brought up to date")
    if report.same:
        told.append(f"{count_word(report.same)} here already")
    unnamed = sum(bool(each.header) for each in report.refused)
    unread = len(report.refused) - unnamed
    if unnamed:
        told.append(f"{counted(unnamed, 'log waits', 'logs wait')} for a word on {_their(unnamed)} columns")
    if unread:
        told.append(f"{counted(unread, 'file')} could not be read")
    return f"{title}: {', '.join(told)}."


def _their(n: int) -> str:
    return "its" if n == 1 else "their"


def notes_of(report: ImportReport) -> Iterator[str]:
    """What a person should know of a study that came in."""
    yield from missing_words(report.missing_past)
    if report.changes:
        n = len(report.changes)
        yield (
            f"{capital(count_word(n))} {'field is' if n == 1 else 'fields are'} otherwise than on record "
            "before; the study's history tells what each was."
        )
    for each in report.shared_orders[:1]:
        runs = f"{count_word(len(each.runs))} runs: {', '.join(each.runs)}"
        yield f"Place {each.order} in the order is given to {runs}."
    if report.not_named:
        some = ", ".join(run.label for run in report.not_named[:3])
        more = " and more" if len(report.not_named) > 3 else ""
        yield (
            f"On record, but no longer named by the folder: {some}{more}. They still count; set aside what "
            "was mistyped."
        )
    yield from (f"Since: {words}" for words in report.tuned.turned)
    yield from (f"Not taken over: {words}: {OTHERWISE}." for words in report.tuned.otherwise)
    for label, words in report.elsewhere[:3]:
        yield f"{label}: {words}"
    if len(report.elsewhere) > 3:
        yield f"So it is with {counted(len(report.elsewhere) - 3, 'more run', 'more runs')}; its page tells."
    if report.disagreeing:
        yield "Frozen results came with it that its runs do not give; the comparison tells of them."
