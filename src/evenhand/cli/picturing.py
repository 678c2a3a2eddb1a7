"""photos, photo-add, photo-remove: the pictures on a build's page."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.showing import as_json, say, say_json, table

if TYPE_CHECKING:
    from evenhand.records.photos import BuildPhoto

TERMINAL = "terminal"


@click.command("photos")
@click.argument("build")
@as_json
@click.pass_obj
def photos(workbench: Path | None, build: str, as_json: bool) -> None:
    """List the photos of a BUILD, named by its key.

    Example: evenhand photos wren
    """
    from evenhand.desk.opening import open_desk
    from evenhand.desk.study.photos import photo_answer, photos_of

    with open_desk(workbench, create=False) as wb:
        found = photos_of(wb, build)
    if as_json:
        say_json({"build": build, "photos": [photo_answer(photo) for photo in found]})
        return
    if not found:
        say(f"{build} has no photo yet.")
        return
    table(["photo", "what it shows", "caption", "taken on"], [row(photo) for photo in found], right=(0,))


def row(photo: BuildPhoto) -> list[str]:
    """A photo as a row."""
    day = photo.words.taken_on
    return [str(photo.id), photo.words.alt or "not described yet", photo.words.caption, str(day or "")]


@click.command("photo-add")
@click.argument("build")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--alt", default="", help="What it shows, for who cannot see it.")
@click.option("--caption", default="", help="What stands below it.")
@click.option("--taken-on", default="", metavar="DAY", help="The day on which it was taken (2031-05-04).")
@as_json
@click.pass_obj
def photo_add(workbench: Path | None, /, build: str, file: Path, *, as_json: bool, **typed: str) -> None:
    """Keep FILE, a JPEG, PNG or WebP, as a photo of a BUILD. The very same picture again is kept once.

    Example: evenhand photo-add wren side.jpg --alt "The open side: one fan in front"
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.study.photos import STRIPPED, GivenPhoto, Told, add_photo, photo_answer, photo_words
    from evenhand.desk.study.photos_moved import photo_bytes

    given = GivenPhoto(data=photo_bytes(file), name=file.name, words=photo_words(**typed))
    with open_desk(workbench, create=False) as wb:
        kept = add_photo(wb, build, given, Told(by=TERMINAL, now=present()))
    if as_json:
        say_json({"photo": photo_answer(kept.photo), "again": kept.again})
        return
    say(f"photo {kept.photo.id} of {build}" + (", on record already." if kept.again else " is on record."))
    if not kept.photo.words.alt:
        say("It is not described yet: give the command again with --alt.")
    say(STRIPPED)


@click.command("photo-remove")
@click.argument("build")
@click.argument("number", type=click.IntRange(1, 2**62))
@click.option("--undo", is_flag=True, help="Put it back on the page.")
@as_json
@click.pass_obj
def photo_remove(workbench: Path | None, /, build: str, number: int, *, undo: bool, as_json: bool) -> None:
    """Take photo NUMBER of a BUILD off its page. It stays on record.

    Example: evenhand photo-remove wren 3
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.study.photos import Told, photo_answer, photo_of, put_back, take_away

    with open_desk(workbench, create=False) as wb:
        found = photo_of(wb, build, number)
        photo = (put_back if undo else take_away)(wb, found, Told(by=TERMINAL, now=present()))
    if as_json:
        say_json({"photo": photo_answer(photo)})
        return
    say(f"photo {number} of {build} is {'back on' if undo else 'off'} the page.")
    if not undo:
        say(f"Undo with: evenhand photo-remove {build} {number} --undo")


COMMANDS = (photos, photo_add, photo_remove)
