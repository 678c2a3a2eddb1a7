"""The files of an edition's article: made when it goes out, kept with it, written for any host to serve."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from evenhand.desk.articles import ARCHIVE, DATA, EARLIER, article_of
from evenhand.desk.bundling import FOLDER, Kept, bundled_files
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.writing_out import filled_at_once
from evenhand.editions.article_page import PAGE, article_files
from evenhand.editions.bundle import About, zip_into
from evenhand.editions.snapshot import Snapshot
from evenhand.records.publications import Publication
from evenhand.store import originals, publications
from evenhand.store.workbench import Workbench

ARTICLE = "article/"  # of an edition's files


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """An article that was written: where, which edition, files, bytes, and the page's own share of them."""

    edition: Publication
    folder: Path
    files: int
    bytes_written: int
    page_bytes: int


def article_files_of(
    wb: Workbench, record: StudyOnRecord, snapshot: Snapshot, about: About, bundle: Kept
) -> dict[str, str]:
    """Makes the files of the article of an edition and keeps them: digests by path."""
    logs = {digest: DATA + quote(path) for digest, path in bundle.logs.items()}
    article = article_of(wb, record, snapshot, about, logs=logs)
    return {ARTICLE + path: originals.keep_unnamed(wb, data) for path, data in article_files(article).items()}


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


def _write_edition(wb: Workbench, edition: Publication, folder: Path) -> None:
    """The page, and its data beside it, as files and as one archive."""
    for path in edition.files:
        under = path.removeprefix(ARTICLE) if path.startswith(ARTICLE) else DATA + path.removeprefix(FOLDER)
        place = folder / under
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(publications.published_file(wb, edition, path))
    with (folder / ARCHIVE).open("w+b") as archive:
        zip_into(archive, bundled_files(wb, edition), at=edition.at)
