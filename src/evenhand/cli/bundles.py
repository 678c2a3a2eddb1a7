"""bundle, verify: everything that lets others work a study out again, and whether it comes out alike."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.showing import as_json, progress, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.publication.verifying import Verified

MOST = 20  # told one by one; --json tells all


NUMBERS = click.Choice(["point", "comma", "spaced"])
DAYS = click.Choice(["words", "month-first", "iso"])


@click.command("bundle")
@click.argument("study")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--edition", type=int, default=None, help="Which edition (default: the last).")
@as_json
@click.pass_obj
def bundle(workbench: Path | None, study: str, file: Path, edition: int | None, as_json: bool) -> None:
    """Write the data of an edition of a STUDY as one zip FILE: logs, tables, snapshot, checksums.

    Example: evenhand bundle saltmarsh saltmarsh-1.zip
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication.bundling import write_bundle

    with open_desk(workbench, create=False) as wb, progress("Packing", quiet=as_json):
        made = write_bundle(wb, study, file, number=edition)
    if as_json:
        say_json(
            {"study": study, "edition": made.edition.number, "file": str(file), "files": made.files,
             "bytes": made.bytes_written, "digest": made.digest}
        )  # fmt: skip
        return
    size = f"{made.bytes_written / 2**20:.1f} MiB"
    say(f"Edition {made.edition.number} of {study}: {made.files} files, {size}, in {file}.")
    say(f"Digest of the whole: {made.digest}")
    say(f"Anybody can hold it against that: evenhand verify {file} --published {made.digest}")


@click.command("verify")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--published", default="", metavar="DIGEST",
              help="The digest of the whole as the publisher tells it elsewhere.")  # fmt: skip
@as_json
def verify(file: Path, published: str, as_json: bool) -> int:
    """Hold a bundle FILE, or the folder it was unpacked to, against itself and its logs.

    Every published number is worked out again from the logs. That shows that the bundle agrees with itself,
    not that it is the one that was published: for that, give the digest that the publisher tells elsewhere.
    Your own workbench is not touched.

    Example: evenhand verify saltmarsh-1.zip
    """
    from evenhand.desk.opening import present
    from evenhand.desk.publication.verifying import verify

    with progress("Working it out again", quiet=as_json) as watch:
        found = verify(file, now=present(), watch=watch, published=published)
    if as_json:
        say_json(answer(found, file))
    else:
        tell(found, file)
    return 0 if found.sound else 1


def answer(found: Verified, file: Path) -> dict[str, object]:
    """What came of it, for scripts."""
    again = found.again
    differing = () if again is None else again.differing
    return {
        "file": str(file),
        "study": found.study,
        "sound": found.sound,
        "files": found.files,
        "damage": list(found.damage),
        "digest": found.digest,
        "published": found.published,
        "tables": list(found.tables),
        "logs": list(found.logs),
        "matching": {} if again is None else dict(again.matching),
        "differing": [
            {"of": d.of, "name": d.name, "published": d.published, "again": d.again} for d in differing
        ],
    }


def tell(found: Verified, file: Path) -> None:
    """The same in words: damage first, and what it proves last."""
    if found.damage:
        say(f"{file} does not agree with itself:")
        for each in found.damage[:MOST]:
            say(f"  {each}")
        say("Nothing was worked out again. Take the bundle anew from where it was published.")
        return
    say(f"{found.title}: all {found.files} files agree with the list of checksums among them.")
    for each in (*found.tables, *found.logs)[: 2 * MOST]:
        say(f"  {each}")
    again = found.again
    if again is None:
        return
    for of, n in again.matching.items():
        differ = sum(d.of == of for d in again.differing)
        say(f"  {n:,} {of} come out as published" + (f", {differ:,} do not" if differ else ""))
    for one in again.differing[:MOST]:
        say(f"  {one.of}, {one.name}: published {one.published}; now {one.again}")
    say(f"Digest of the whole: {found.digest}")
    tell_reach(found)


def tell_reach(found: Verified) -> None:
    """What this shows of the bundle, and what it cannot."""
    if not found.sound and not found.another:
        say("The bundle does NOT agree with itself: what is named above was altered, or comes out otherwise.")
        if found.published:
            say("It is all the same the one whose digest was published.")
        return
    if found.another:
        say(f"That is NOT the digest that was published, {found.published}: this is another bundle.")
        return
    if found.published:
        say("That is the digest that was published: not a file of it was exchanged since.")
        return
    say("Shown: the bundle agrees with itself. Not shown: that it is the one that went out, as whoever")
    say("exchanges files can mend list and digest with them. Compare the digest with the one that the")
    say("publisher tells elsewhere, under the video or on the page, or give it: --published DIGEST")


@click.command("article")
@click.argument("study")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@as_json
@click.pass_obj
def article(workbench: Path | None, study: str, folder: Path, as_json: bool) -> None:
    """Write the article of a STUDY into an empty FOLDER that any host can serve: page, looks, every log.

    It is the last edition's; every earlier one stands beside it. Nothing on it asks another host.

    Example: evenhand article saltmarsh out/article
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication.article_files import write_article

    with open_desk(workbench, create=False) as wb, progress("Writing", quiet=as_json):
        made = write_article(wb, study, folder)
    if as_json:
        say_json(
            {"study": study, "edition": made.edition.number, "folder": str(folder), "files": made.files,
             "bytes": made.bytes_written, "page_bytes": made.page_bytes}
        )  # fmt: skip
        return
    say(f"Edition {made.edition.number} of {study}: {folder / 'index.html'}")
    say(f"{made.files} files; the page with its looks takes {made.page_bytes / 1000:.0f} kB without logs.")


@click.command("texts")
@click.argument("study")
@click.option("--edition", type=int, default=None, help="Which edition (default: the last).")
@click.option(
    "--numbers", type=NUMBERS, default=None, help="1,012.5, 1.012,5 or 1 012,5, not as the imprint."
)
@click.option("--days", type=DAYS, default=None, help="4 May 2031, May 4, 2031 or 2031-05-04.")
@as_json
@click.pass_obj
def texts(
    workbench: Path | None, /, study: str, *, edition: int | None, as_json: bool, **how: str | None
) -> None:
    """Print the texts that go out beside a video of a STUDY: its description, and the comment to be pinned.

    Example: evenhand texts saltmarsh --numbers comma
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication.written_for import form_of, texts_written

    with open_desk(workbench, create=False) as wb:
        number, told = texts_written(wb, study, form_of(wb, how["numbers"], how["days"]), number=edition)
    if as_json:
        say_json({"study": study, "edition": number, "texts": told})
        return
    for name, text in told.items():
        say(f"=== {name}")
        say(text)


@click.command("report")
@click.argument("study")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--edition", type=int, default=None, help="Which edition (default: the last).")
@as_json
@click.pass_obj
def report(workbench: Path | None, study: str, file: Path, edition: int | None, as_json: bool) -> None:
    """Write the report of an edition of a STUDY as a PDF FILE, for those who print or archive.

    Example: evenhand report saltmarsh saltmarsh-1.pdf
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.publication.article_files import write_report

    with open_desk(workbench, create=False) as wb:
        made = write_report(wb, study, file, number=edition)
    if as_json:
        say_json({"study": study, "edition": made.number, "file": str(file), "bytes": file.stat().st_size})
    else:
        say(f"Edition {made.number} of {study}: {file}")


COMMANDS = (bundle, verify, article, texts, report)
