"""The inbox: what came in and is no run yet, why, what its columns seem to be, and which run it likely is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from evenhand.desk.bench.filed_names import filed_as
from evenhand.desk.bench.inbox import LookInside, Waiting, count_waiting, inbox, without_name
from evenhand.desk.bench.placing import standing
from evenhand.desk.logs.column_questions import ColumnGuess, Question
from evenhand.desk.pages.inbox_facts import facts_of, from_words
from evenhand.desk.study.away import studies_at_hand
from evenhand.desk.study.moments import Clock, as_stamped, clock_words, moment_words
from evenhand.errors import NotFound
from evenhand.publish.numbers import capital, count_word
from evenhand.records.builds import Setup
from evenhand.records.layouts import Layout, LogKind, Role
from evenhand.records.plans import Placing
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import arrivals, originals, shelves
from evenhand.store.workbench import Workbench
from evenhand.traces.limits import in_mib

SHOWN = 20
ROWS = 4  # first rows beside each column
KINDS = (
    (LogKind.FRAMES.value, "A frame log of one run"),
    (LogKind.SCORES.value, "A table of scores"),
    (LogKind.SENSORS.value, "A sensor log, taken beside a run"),
)
ROLES = tuple((role.value, capital(role.value)) for role in Role)


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One thing that may be chosen: what is sent, what is read, and under which heading."""

    value: str
    words: str
    study: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnShown:
    """One column: what it is taken for and why, and its first values."""

    header: str
    role: str
    unit: str
    about: str
    reason: str
    sure: bool
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One file that waits, as it is shown.

    `test` and `setup` are the values chosen beforehand, `why_chosen` the reason for them; `columns` is empty
    where nothing could be read as rows, `confirmed` says that they were confirmed for an earlier file.
    """

    id: int
    name: str
    came: str
    why: str
    trouble: str
    readable: bool
    kind: str
    doubt: str
    columns: tuple[ColumnShown, ...]
    confirmed: bool
    test: str
    setup: str
    why_chosen: str
    told: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What was just done with a file: in words, where the run is, and which arrival can be brought back."""

    words: str
    address: str = ""
    back: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class InboxPage:
    """The page."""

    answer: str
    cards: tuple[Card, ...]
    more: int
    tests: tuple[Option, ...]
    setups: tuple[Option, ...]
    clock: str
    done: Done | None = None


def inbox_page(wb: Workbench, *, done: int | None = None, clock: Clock = as_stamped) -> InboxPage:
    """The page, times by this clock; `done` is the arrival with which something was just done."""
    waiting = inbox(wb, most=SHOWN)
    total = count_waiting(wb)
    studies = tuple(reversed(studies_at_hand(wb)))
    return InboxPage(
        answer=answer_of(total),
        cards=tuple(card(wb, each, clock) for each in waiting),
        more=total - len(waiting),
        tests=options(wb, studies, "tests"),
        setups=options(wb, studies, "setups"),
        clock=clock_words((each.arrival.at for each in waiting), clock),
        done=None if done is None else done_with(wb, done),
    )


def answer_of(waiting: int) -> str:
    """What the page opens with.

    >>> answer_of(0), answer_of(3)
    ('The inbox is empty: every file that came in is a run.', 'Three files wait for a word on what they are.')
    """
    if not waiting:
        return "The inbox is empty: every file that came in is a run."
    if waiting == 1:
        return "One file waits for a word on what it is."
    return f"{capital(count_word(waiting))} files wait for a word on what they are."


def options(wb: Workbench, studies: Iterable[Study], what: str) -> tuple[Option, ...]:
    """The tests or the setups of every study, as `study/key`."""
    tests = {test.key: test.name for test in shelves.every(wb, Test)}
    setups = {setup.key: setup.name for setup in shelves.every(wb, Setup)}
    names = tests if what == "tests" else setups
    return tuple(
        Option(value=f"{study.key}/{key}", words=names[key], study=study.title)
        for study in studies
        for key in getattr(study, what)
    )


def card(wb: Workbench, waiting: Waiting, clock: Clock) -> Card:
    """One file that waits, when it came by this clock."""
    arrival, look, guess = waiting.arrival, waiting.look, waiting.proposal
    asked, size = look.question, in_mib(originals.size_of(wb, arrival.digest))
    return Card(
        id=arrival.id,
        name=arrival.name,
        came=", ".join((from_words(arrival), moment_words(clock(arrival.at)), size)),
        why=why_words(waiting),
        trouble=capital(without_name(waiting.look.trouble, arrival.name)) + ".",
        readable=asked is not None,
        kind=kind_of(look),
        doubt=asked.doubt if asked is not None and look.known is None else "",
        columns=columns_of(asked, look.known) if asked is not None else (),
        confirmed=look.known is not None,
        test=f"{guess.study}/{guess.test}" if guess.test else "",
        setup=f"{guess.study}/{guess.setup}" if guess.setup else "",
        why_chosen="; ".join(guess.reasons),
        told=tuple(facts_of(wb, arrival, clock)),
    )


def why_words(waiting: Waiting) -> str:
    """Why a file waits, without its own name, which stands above."""
    return capital(without_name(waiting.why, waiting.arrival.name).rstrip(".")) + "."


def kind_of(look: LookInside) -> str:
    """What the file is taken for."""
    if look.known is not None:
        return look.known.kind.value
    return look.question.kind.value if look.question is not None else LogKind.FRAMES.value


def columns_of(asked: Question, known: Layout | None) -> tuple[ColumnShown, ...]:
    """Each column with its guess, or with what was confirmed for it."""
    values = list(zip(*asked.preview, strict=False)) if asked.preview else []
    confirmed = {column.header: column for column in known.columns} if known is not None else None
    shown = []
    for at, guess in enumerate(asked.columns):
        first = tuple(values[at][:ROWS]) if at < len(values) else ()
        column = None if confirmed is None else confirmed.get(guess.header)
        shown.append(one_column(guess, first) if confirmed is None else ColumnShown(
            header=guess.header,
            role=Role.IGNORED.value if column is None else column.role.value,
            unit="" if column is None else column.unit,
            about="" if column is None else column.about,
            reason="confirmed for an earlier file",
            sure=True,
            values=first,
        ))  # fmt: skip
    return tuple(shown)


def one_column(guess: ColumnGuess, values: Sequence[str]) -> ColumnShown:
    """A column as it is guessed."""
    return ColumnShown(
        header=guess.header,
        role=guess.role,
        unit=guess.unit,
        about=guess.about,
        reason=guess.reason,
        sure=guess.sure,
        values=tuple(values),
    )


def done_with(wb: Workbench, number: int) -> Done | None:
    """What was done last with an arrival."""
    try:
        came = arrivals.arrival(wb, number)
    except NotFound:
        return None
    last = standing(wb, number)
    if last is None:
        return None
    if last.run is not None:
        address = f"/studies/{last.study}/runs/{last.run}"
        return Done(words=f"{came.name} is filed as {filed_as(wb, last.study, last.run)}.", address=address)
    if last.away:
        return Done(words=f"{came.name} was put away{_with(last)}", back=number)
    return Done(words=f"{came.name} is back in the inbox.") if not last.note else None


def _with(last: Placing) -> str:
    return f": {last.note}" if last.note else "."
