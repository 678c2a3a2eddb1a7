"""The files of an edition's article: made when it goes out, kept with it, written for any host to serve."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any, BinaryIO
from urllib.parse import quote

from evenhand.desk.comparison.charting import interval_sets, rate_sets
from evenhand.desk.comparison.findings_now import findings_now
from evenhand.desk.logs.writing_out import filled_at_once, unwritable, write_whole
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.article_corrections import EARLIER
from evenhand.desk.publication.articles import ARCHIVE, DATA, Lying, article_of
from evenhand.desk.publication.bundling import FOLDER, Made, bundled_files
from evenhand.desk.publication.card_changes import CardNow, TouchedCard, cards_changed
from evenhand.desk.publication.card_ground import keys_for_names
from evenhand.desk.publication.edition_cards import cards_listed
from evenhand.desk.publication.narrating import chapters_of, spoken_of, touched_since
from evenhand.desk.publication.spoken_scripts import sentences_touched
from evenhand.editions.article import Article, CardSet
from evenhand.editions.article_page import PAGE, article_files
from evenhand.editions.bundle import SUMS, About, zip_into
from evenhand.editions.report import report_pdf
from evenhand.editions.reworded import reworded
from evenhand.editions.snapshot import Snapshot, from_text
from evenhand.editions.texts import Beside, SaidBefore, in_video_words, texts
from evenhand.prose.timing import Spoken
from evenhand.publish.numbers import capital
from evenhand.publish.palette import Theme
from evenhand.publish.picture import Picture
from evenhand.publish.style import CALLED, Medium, page
from evenhand.records.publications import Publication
from evenhand.store import publications
from evenhand.store.workbench import Workbench

ARTICLE, TEXTS, REPORT = "article/", "texts/", "report.pdf"  # of an edition's files
REPORT_WIDTH = 900  # px of a report's pictures: names fit, and two stand on a page


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """An article that was written: where, which edition, files, bytes, and the page's own share of them."""

    edition: Publication
    folder: Path
    files: int
    bytes_written: int
    page_bytes: int


def article_files_of(
    wb: Workbench, record: StudyOnRecord, snapshot: Snapshot, about: About, bundle: Made
) -> dict[str, bytes]:
    """Makes the article, the texts and the report of an edition: bytes by path."""
    logs = {digest: DATA + quote(path) for digest, path in bundle.logs.items()}
    digest = bundle.files[SUMS]
    lying = Lying(logs=logs, digest=digest, cards=tuple(_card_sets(bundle.cards)))
    said = tuple(_said_before(wb, record, snapshot, about, bundle))
    article = _with_video(article_of(wb, record, snapshot, about, lying), said)
    beside = Beside(
        imprint=about.imprint, number=about.number, day=article.day, corrections=article.corrections,
        data_digest=digest,
        chapters=chapters_of(record, snapshot, about.imprint.words_a_minute),
        said_before=said,
    )  # fmt: skip
    made = {ARTICLE + path: data for path, data in article_files(article).items()}
    made |= {TEXTS + path: told.encode() for path, told in texts(snapshot, beside).items()}
    made[REPORT] = report_pdf(article, report_pictures(record), keys_for_names(wb, record))
    return made


def _with_video(article: Article, said: Sequence[SaidBefore]) -> Article:
    """The article with what its newest correction changes of the last edition's video."""
    if not article.corrections:
        return article
    newest, *older = article.corrections
    newest = replace(newest, in_video=tuple(map(in_video_words, said)))
    return replace(article, corrections=(newest, *older))


def _said_before(
    wb: Workbench, record: StudyOnRecord, snapshot: Snapshot, about: About, bundle: Made
) -> Iterator[SaidBefore]:
    """What the video of the last edition says and shows that this one corrects, in the order of the video."""
    for last in publications.publications_of(wb, record.study.key)[-1:]:
        before = from_text(last.body, where=f"edition {last.number}")
        if reworded(before, snapshot):
            return
        spoken = spoken_of(record, before, about.imprint.words_a_minute)
        found = [
            SaidBefore(
                at_s=each.start_s,
                chapter=each.chapter,
                before=each.before,
                after=each.after,
                within=each.within,
            )
            for each in touched_since(record, spoken, snapshot)
        ]
        found += [
            SaidBefore(
                at_s=e.start_s, chapter=e.chapter, before=e.words, after=e.would_stand or None, why=e.told
            )
            for e in sentences_touched(wb, record, spoken, (before, snapshot))
        ]
        found += [
            SaidBefore(
                at_s=at_s,
                chapter="on the card",
                before=card.was or "not there",
                after=card.now or None,
                card=True,
            )
            for card in _cards_since(wb, last, bundle, spoken)
            for at_s in card.shown_s
            if card.was != card.now
        ]
        yield from sorted(found, key=lambda each: each.at_s)


def _cards_since(
    wb: Workbench, last: Publication, bundle: Made, spoken: Spoken | None
) -> Iterator[TouchedCard]:
    """The cards of the last edition that are others in this one."""
    rows = cards_listed(wb, last)
    digests = {row["file"]: last.files[FOLDER + row["file"]] for row in rows}
    now = {
        row["name"]: CardNow(digest=bundle.files[row["file"]], title=row["title"], alt=row["alt"])
        for row in bundle.cards
        if row["medium"] == Medium.WIDE
    }
    return cards_changed(rows, digests, now, spoken)


def _card_sets(rows: Sequence[Mapping[str, Any]]) -> Iterator[CardSet]:
    for medium in Medium:
        own = [row for row in rows if row["medium"] == medium]
        if own:
            said = f"{capital(CALLED[medium])}, {own[0]['width']} × {own[0]['height']}"
            yield CardSet(medium=said, cards=tuple((row["title"], DATA + quote(row["file"])) for row in own))


def write_article(wb: Workbench, study: str, folder: Path) -> Written:
    """The article of the last edition into an empty or new folder, every earlier one beside it.

    All or nothing. Raises NotFound where nothing was published, BadRecord where the folder holds anything.
    """
    editions = publications.publications_of(wb, study)
    last = publications.publication(wb, study, len(editions))
    with filled_at_once(folder, last=PAGE) as half:
        for edition in editions[:-1]:
            _write_edition(wb, edition, half / EARLIER.format(edition.number))
        _write_edition(wb, last, half)
        sizes = {each: each.stat().st_size for each in half.rglob("*") if each.is_file()}
        own = sum(size for each, size in sizes.items() if _is_page(each.relative_to(half)))
    return Written(
        edition=last, folder=folder, files=len(sizes), bytes_written=sum(sizes.values()), page_bytes=own
    )


def _is_page(path: Path) -> bool:
    """Whether a file belongs to the newest page itself, and not to data or an earlier edition."""
    return path.parts[0] in (PAGE, "fonts") or (len(path.parts) == 1 and path.suffix in (".css", ".js"))


def report_pictures(record: StudyOnRecord) -> tuple[Picture, ...]:
    """Every pair's intervals and every machine's rates, drawn for paper."""
    comparison, names = findings_now(record), names_of(record)
    style = replace(page(Theme.LIGHT), width=REPORT_WIDTH)
    sets = (
        *interval_sets(comparison, record, names, style),
        *rate_sets(comparison, record, names, style),
    )
    return tuple(picture for each in sets for picture in each.pictures)


def _place(path: str) -> str | None:
    """Where a file of an edition lies beside the page; None for what does not belong there."""
    if path.startswith(ARTICLE):
        return path.removeprefix(ARTICLE)
    return DATA + path.removeprefix(FOLDER) if path.startswith(FOLDER) else None


def _write_edition(wb: Workbench, edition: Publication, folder: Path) -> None:
    """The page, and its data beside it, as files and as one archive."""
    for path in edition.files:
        under = _place(path)
        if under is not None:
            place = folder / under
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(publications.published_file(wb, edition, path))
    with (folder / ARCHIVE).open("w+b") as archive:
        zip_into(archive, bundled_files(wb, edition), at=edition.at)


def texts_of(wb: Workbench, study: str, *, number: int | None = None) -> tuple[int, dict[str, str]]:
    """The texts of an edition by file name, and its number; the last one where none is named."""
    known = publications.publications_of(wb, study)
    edition = publications.publication(wb, study, len(known) if number is None else number)
    return edition.number, {
        path.removeprefix(TEXTS): publications.published_file(wb, edition, path).decode()
        for path in edition.files
        if path.startswith(TEXTS)
    }


def write_report(wb: Workbench, study: str, path: Path, *, number: int | None = None) -> Publication:
    """The report of an edition as PDF. Raises NotFound, and BadRecord where the place refuses it."""
    known = publications.publications_of(wb, study)
    edition = publications.publication(wb, study, len(known) if number is None else number)
    data = publications.published_file(wb, edition, REPORT)
    try:
        write_whole(path, data)
    except OSError as error:
        raise unwritable(path, error) from error
    return edition


def report_of(wb: Workbench, study: str, number: int) -> bytes:
    """The report of an edition. Raises NotFound."""
    return publications.published_file(wb, publications.publication(wb, study, number), REPORT)


def zipped(wb: Workbench, study: str, number: int) -> BinaryIO:
    """The bundle of an edition as a file of nobody's, to be read from its start. Raises NotFound."""
    edition = publications.publication(wb, study, number)
    whole = TemporaryFile()  # noqa: SIM115  (closed by whoever sends it)
    try:
        zip_into(whole, bundled_files(wb, edition), at=edition.at)
    except BaseException:
        whole.close()
        raise
    whole.seek(0)
    return whole


def beside_the_page(wb: Workbench, study: str, number: int, path: str) -> bytes:
    """A file of an edition's article by its place beside the page. Raises NotFound."""
    edition = publications.publication(wb, study, number)
    under = FOLDER + path.removeprefix(DATA) if path.startswith(DATA) else ARTICLE + path
    return publications.published_file(wb, edition, under)
