"""Publish a study: freeze what it says as its next edition, and open those that went out."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from evenhand.desk.bench.hiding import refuse_hidden
from evenhand.desk.comparison.comparing import inputs_now
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.opening import CODE_VERSION
from evenhand.desk.publication.article_files import article_files_of
from evenhand.desk.publication.bundling import FOLDER, about_next, bundle_files, held
from evenhand.desk.publication.card_ground import not_drawn
from evenhand.desk.publication.card_pairs import Pairs, pairs_cued, pairs_in, pairs_named, pairs_shown
from evenhand.desk.publication.edition_cards import LIST, card_files_of, card_rows
from evenhand.desk.publication.narrating import checked_now
from evenhand.desk.publication.snapshots import snapshot_now
from evenhand.desk.publication.spoken_scripts import with_script
from evenhand.desk.study.away import refuse_away
from evenhand.editions.moved import REWORDED, Move, moved
from evenhand.editions.snapshot import Snapshot, as_text, from_text
from evenhand.errors import BadRecord
from evenhand.prose.script import Sort, parse
from evenhand.publish.numbers import counted
from evenhand.records.publications import Publication
from evenhand.store import originals, publications
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """An edition, what moved since the one before it, and whether it stood already.

    `untold` are disclosures that its script has no word of, `undrawn` what its cards cannot write out, as
    sentences.
    """

    edition: Publication
    moves: tuple[Move, ...]
    again: bool = False
    untold: tuple[str, ...] = ()
    undrawn: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What is said with an edition: why there is another, by whom, what may not go out, and an override.

    `masking` are words that may not go out with the logs, beside those that are found. `override` says why a
    script goes out though something in it is objected to. `pairs` are those of which its cards are, by their
    setups, those that matter most where none is named; whatever the script shows is there as well.
    """

    reason: str = ""
    by: str = ""
    masking: Sequence[str] = ()
    override: str = ""
    pairs: Sequence[Sequence[str]] = ()


NOTHING_TOLD = Told()


def publish(wb: Workbench, study: str, told: Told = NOTHING_TOLD, *, now: datetime) -> Published:
    """Freezes what the study says as its next edition, with all that lets others work it out again.

    Where nothing moved since the last edition, that one is given back. Raises BadRecord where something moved
    and no reason is given: whoever read the last edition is owed one; and where the script does not stand.
    """
    record = ready_record(wb, study)
    checked = checked_now(wb, study)
    untold = checked.untold if checked else ()
    snapshot = snapshot_now(wb, record)
    editions = [(each.number, opened(each)) for each in publications.publications_of(wb, study)]
    said = with_script(wb, record, snapshot, checked, editions, override=told.override)
    last, pairs = last_edition(wb, study), pairs_of_cards(record, snapshot, told)
    before = None if last is None else editions[-1][1]
    if last is not None and before is not None:
        alike = not told.pairs or set(pairs) == set(pairs_frozen(wb, record, last))
        if alike and as_text(replace(before, excused="", objected=())) == as_text(snapshot):
            return Published(
                edition=last, moves=(), again=True, untold=untold, undrawn=not_drawn(wb, record)
            )  # fmt: skip
    moves = () if before is None else moved(before, snapshot)
    refuse_without_reason(study, told.reason, moves, last)
    made = _made(wb, record, said, pairs, told, now=now)
    with wb.writing():
        refuse_moved(wb, study, before=record, last=last)
        originals.keep_all_unnamed(wb, made.fresh)
        out = publications.publish(wb, made.edition)
    return Published(edition=out, moves=moves, untold=untold, undrawn=not_drawn(wb, record))


def ready_record(wb: Workbench, study: str) -> StudyOnRecord:
    """The study as it is on record. Raises BadRecord where it may not go out, or has nothing to say."""
    record = load_study(wb, study)
    refuse_hidden(record)
    refuse_away(wb, study)
    refuse_unmeasured(record)
    return record


def refuse_without_reason(
    study: str, reason: str, moves: Sequence[Move], last: Publication | None
) -> None:  # fmt: skip
    """Raises BadRecord where another edition would go out and nobody says why."""
    if last is not None and not reason.strip():
        raise BadRecord(
            f"edition {last.number} is out, and {_since(moves)}",
            where=f"study '{study}'", todo="say in a few words why there is another edition",
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Made:
    """An edition that is not on record yet, and the bytes of its files that are not, by their SHA-256."""

    edition: Publication
    fresh: Mapping[str, bytes]


def _made(
    wb: Workbench, record: StudyOnRecord, said: Snapshot, pairs: Pairs, told: Told, *, now: datetime
) -> _Made:  # fmt: skip
    """The next edition with all of its files."""
    study = record.study.key
    about = about_next(wb, study, reason=told.reason.strip(), now=now)
    cards = card_files_of(wb, record, pairs=pairs, excused=said.excused)
    bundle = bundle_files(wb, said, about, cards, masking=told.masking)
    fresh = dict(bundle.fresh)
    pages = article_files_of(wb, record, said, about, bundle)
    files = {FOLDER + path: digest for path, digest in bundle.files.items()}
    files |= {path: held(wb, data, fresh) for path, data in pages.items()}
    edition = Publication(
        study=study, number=about.number, at=now, by=told.by, reason=about.reason, body=as_text(said),
        code_version=CODE_VERSION, input_hash=inputs_now(wb, study), files=files,
    )  # fmt: skip
    return _Made(edition=edition, fresh=fresh)


def _since(moves: Sequence[Move]) -> str:
    """How much moved since an edition; where nothing did, it is asked for cards of other pairs."""
    if not moves:
        return "its cards are of other pairs"
    return (
        str(REWORDED.after) if tuple(moves) == (REWORDED,) else f"{counted(len(moves), 'thing')} moved since"
    )


def pairs_of_cards(record: StudyOnRecord, snapshot: Snapshot, told: Told) -> Pairs:
    """Of which pairs the cards of an edition are: those asked for, and those that its script shows."""
    pieces = parse(snapshot.script).pieces if snapshot.script is not None else ()
    cues = [piece.text for piece in pieces if piece.sort is Sort.CUE]
    return pairs_cued(record, cues, pairs_named(record, told.pairs))


def pairs_frozen(wb: Workbench, record: StudyOnRecord, edition: Publication) -> Pairs:
    """Of which pairs of the study the cards of an edition are."""
    rows = card_rows(wb, edition) if FOLDER + LIST in edition.files else ()
    return pairs_shown(record, pairs_in(rows))


def refuse_unmeasured(record: StudyOnRecord) -> None:
    """Raises BadRecord where no run is compared: an edition would say nothing."""
    if not record.compared_runs:
        raise BadRecord(
            "no run of its tests has landed", where=f"study '{record.study.key}'",
            todo="publish once something has been measured",
        )  # fmt: skip


def refuse_moved(wb: Workbench, study: str, *, before: StudyOnRecord, last: Publication | None) -> None:
    """Raises BadRecord where the record or its editions are others than when the edition was begun."""
    if load_study(wb, study) != before or last_edition(wb, study) != last:
        raise BadRecord("something was changed meanwhile", where=f"study '{study}'", todo="publish again")


def editions_of(wb: Workbench, study: str) -> tuple[Publication, ...]:
    """The editions of a study, the first first. Raises NotFound where there is no such study."""
    load_study(wb, study)
    return publications.publications_of(wb, study)


def last_edition(wb: Workbench, study: str) -> Publication | None:
    """The edition that went out last; None before the first."""
    every = publications.publications_of(wb, study)
    return every[-1] if every else None


def opened(edition: Publication) -> Snapshot:
    """The snapshot of an edition. Raises BadRecord where a newer Evenhand made it."""
    return from_text(edition.body, where=f"edition {edition.number} of '{edition.study}'")


def digest_of(edition: Publication) -> str:
    """SHA-256 of what an edition says, by which readers know that they have the same one."""
    return hashlib.sha256(edition.body.encode()).hexdigest()
