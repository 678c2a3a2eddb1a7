"""The publish page: which edition is out, what moved since, and everything that went out with each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.pages.publish_script import ScriptPart, script_part
from evenhand.desk.publication.bundling import FOLDER
from evenhand.desk.publication.card_ground import not_drawn
from evenhand.desk.publication.card_pairs import pairs_left, pairs_of, pairs_shown
from evenhand.desk.publication.edition_cards import LIST
from evenhand.desk.publication.imprint import imprint_now
from evenhand.desk.publication.publishing import digest_of, editions_of, opened, pairs_frozen
from evenhand.desk.publication.spoken_scripts import spoken_in
from evenhand.desk.publication.touching import ripple
from evenhand.desk.publication.written_for import texts_written
from evenhand.desk.study.disclosing import disclosed
from evenhand.desk.verdict.answering import Answered, answer
from evenhand.desk.verdict.due import due
from evenhand.editions.moved import REWORDED, Move
from evenhand.publish.dates import day_words
from evenhand.publish.numbers import capital, counted
from evenhand.records.publications import Days, How, Imprint, Numbers, Publication
from evenhand.store.workbench import Workbench

MOST_MOVES = 60
MARK_HINT = "A JPEG, PNG or WebP, 64 to 2,000 pixels a side, 200 kB at most. It stands at the foot."
TYPEFACE_HINT = (
    "A TrueType or OpenType file that you may use so. It sets all of a card, in outlines; one that cannot be "
    "read on a phone is refused."
)
WEARABLE = (
    ("mark", "Your mark", MARK_HINT, "image/jpeg,image/png,image/webp"),
    ("typeface", "Your typeface", TYPEFACE_HINT, ".ttf,.otf,font/ttf,font/otf"),
)
"""What cards may wear: name, label, hint, and the files that are taken."""
FORMS = (
    ("numbers", "Numbers are written", tuple((each.value, each.example) for each in Numbers)),
    ("days", "Days are written", tuple((each.value, each.example) for each in Days)),
)
"""How numbers and days may be written: name, label, and the forms with an example each."""
NEVER = "Nothing of this study was published yet."
NOTHING = "There is nothing to publish yet: no run of its tests has landed."
BEFORE = "What an edition says comes from runs. The script and who publishes can be written down before."


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedRow:
    """One thing that moved since the last edition, as it was and as it is."""

    of: str
    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EditionRow:
    """An edition: number, day, why, the beginning of its digest, where it is, and whether it has cards."""

    number: int
    day: str
    reason: str
    digest: str
    address: str
    cards: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DisclosedRow:
    """A part with what stands of it: each kind with its words."""

    key: str
    name: str
    kind: str
    said: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PairTick:
    """A pair that an edition may have cards of: both names with their slots, and whether it is ticked."""

    value: str
    sides: tuple[tuple[str, int], ...]
    ticked: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishPage:
    """Everything that the page shows, in its order; `lead` says what is next where nothing can go out."""

    frame: Frame
    answer: str
    about: str
    lead: str
    number: int
    needs_reason: bool
    moved: tuple[MovedRow, ...]
    more: int
    unseen: int
    editions: tuple[EditionRow, ...]
    texts: tuple[tuple[str, str], ...]
    parts: tuple[DisclosedRow, ...]
    hows: tuple[tuple[str, str], ...]
    forms: tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...]
    imprint: Imprint
    wearable: tuple[tuple[str, str, str, str], ...]
    due: tuple[str, ...]
    script: ScriptPart
    answered: Answered | None
    cards: tuple[str, ...]
    undrawn: tuple[str, ...]
    can_publish: bool
    needs_override: bool
    pairs: tuple[PairTick, ...] = ()


def publish_page(wb: Workbench, study: str, *, today: date, question: str = "") -> PublishPage:
    """The page as it is now, with the answer to a question where one is asked. Raises NotFound."""
    record = load_study(wb, study)
    known = editions_of(wb, study)
    found = ripple(wb, study) if known else None
    moves: Sequence[Move] = found.moves if found else ()
    seen = [each for each in moves if each.in_print]
    frame, runs = frame_of(record, "publish"), len(record.compared_runs)
    imprint = imprint_now(wb)
    script = script_part(wb, record, *((found.figures, found.sentences) if found else ()))
    out = [(known[-1].number, opened(known[-1]))] if known else []
    return PublishPage(
        frame=frame, answer=answer_of(known, moves) if runs or known else NOTHING,
        about=about_of(runs, known), lead="" if runs else frame.strip.next,
        number=len(known) + 1, needs_reason=bool(known),
        moved=tuple(map(_moved, seen[:MOST_MOVES])), more=max(0, len(seen) - MOST_MOVES),
        unseen=len(moves) - len(seen), editions=tuple(_edition(e) for e in reversed(known)),
        texts=tuple(texts_written(wb, study, imprint.form)[1].items()) if known else (),
        parts=tuple(_parts(wb, study)),
        hows=tuple((how.value, capital(how.meaning)) for how in How), imprint=imprint, forms=FORMS,
        wearable=WEARABLE,
        cards=tuple(card.words for card in found.cards) if found else (),
        undrawn=not_drawn(wb, record) if runs else (),
        script=script, needs_override=bool(script.objections) and spoken_in(script.text, out) is None,
        due=tuple(each.words for each in due(wb, study, today=today)),
        answered=answer(wb, study, question) if question.strip() else None,
        can_publish=bool(runs) and record.away is None and (not known or bool(moves)),
        pairs=pair_ticks(wb, record, known[-1] if known else None),
    )  # fmt: skip


def pair_ticks(wb: Workbench, record: StudyOnRecord, last: Publication | None) -> tuple[PairTick, ...]:
    """Every pair, those ticked that the last edition has cards of; nothing to choose where all have some."""
    shown = pairs_shown(record)
    if not pairs_left(record, shown):
        return ()
    names, ticked = names_of(record), shown if last is None else pairs_frozen(wb, record, last)
    return tuple(
        PairTick(
            value="~".join(pair), ticked=pair in ticked,
            sides=tuple((names.setup(key), names.slot(key).number) for key in pair),
        )
        for pair in pairs_of(record)
    )  # fmt: skip


def answer_of(known: Sequence[Publication], moves: Sequence[Move]) -> str:
    """Which edition is out, and whether it still says what the record says."""
    if not known:
        return NEVER
    last = f"Edition {known[-1].number} of {day_words(known[-1].at.date())}"
    if not moves:
        return f"{last} says what the record says today."
    if tuple(moves) == (REWORDED,):
        return f"{last} says what the record says today; since then {REWORDED.after}."
    seen = sum(each.in_print for each in moves)
    things = counted(len(moves), "thing")
    if not seen:
        return f"{last} is out; {things} moved since, by less than what is printed."
    told = "" if seen == len(moves) else f", {seen} of them in print"
    return f"{last} is out, and {things} moved since{told}."


def about_of(runs: int, known: Sequence[Publication]) -> str:
    """What publishing does, with so many runs that count."""
    if not runs and not known:
        return BEFORE
    if known:
        return "A published number never changes: the next edition says what moved, and the old one stays."
    return (
        f"Publishing freezes findings, verdicts, prices, definitions and {counted(runs, 'run')} with their "
        "logs as they are today. A published number never changes afterwards."
    )


def _moved(move: Move) -> MovedRow:
    return MovedRow(
        of=capital(move.of.value), name=move.name, before=move.before or "not there",
        after=move.after or "no more",
    )  # fmt: skip


def _edition(edition: Publication) -> EditionRow:
    return EditionRow(
        number=edition.number, day=day_words(edition.at.date()), reason=edition.reason or "the first",
        digest=digest_of(edition)[:12],
        address=address(edition.study, "publish", str(edition.number)), cards=FOLDER + LIST in edition.files,
    )  # fmt: skip


def _parts(wb: Workbench, study: str) -> Iterator[DisclosedRow]:
    for each in disclosed(wb, study):
        said = tuple(
            (one.how.value, f"{one.how.meaning}{f' ({one.by})' if one.by else ''}") for one in each.said
        )
        yield DisclosedRow(key=each.part.key, name=each.part.name, kind=each.part.kind, said=said)
