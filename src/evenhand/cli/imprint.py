"""imprint, link: who publishes and how, and the links that go out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.bundles import DAYS, NUMBERS
from evenhand.cli.showing import as_json, say, say_json

if TYPE_CHECKING:
    from evenhand.records.publications import Imprint


FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.command("imprint")
@click.option("--name", default=None, help="Who publishes, as it is to be read.")
@click.option("--licence", default=None, help="Licence of the data, an SPDX identifier as CC-BY-4.0.")
@click.option("--place", default=None, help="Where editions are published: an address.")
@click.option("--accent", default=None, help="Your colour on cards, as #1c7b98.")
@click.option("--mark", type=FILE, default=None, help="Your mark on cards: a small JPEG, PNG or WebP.")
@click.option("--typeface", type=FILE, default=None, help="Your typeface on cards: a .ttf or .otf file.")
@click.option("--without", multiple=True, type=click.Choice(["accent", "mark", "typeface"]),
              help="What cards shall wear no more; repeatable.")  # fmt: skip
@click.option("--words-a-minute", type=int, default=None, help="How fast you speak (default: 150).")
@click.option("--numbers", type=NUMBERS, default=None, help="1,012.5, 1.012,5 or 1 012,5 in what goes out.")
@click.option("--days", type=DAYS, default=None, help="4 May 2031, May 4, 2031 or 2031-05-04 there.")
@as_json
@click.pass_obj
def imprint(
    workbench: Path | None, /, *, mark: Path | None, typeface: Path | None, without: tuple[str, ...],
    as_json: bool, **given: Any,
) -> None:  # fmt: skip
    """Say who publishes, and how: the same for everything that goes out. With nothing given it is shown.

    What is not given stays.

    Example: evenhand imprint --name "The Harbour Bench" --licence CC-BY-4.0
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.publication.imprint import Worn, change_imprint, form_fields, imprint_now, wear

    form = form_fields(given.pop("numbers") or "", given.pop("days") or "")
    said = {name: value for name, value in given.items() if value is not None} | form
    said |= {"accent": ""} if "accent" in without else {}
    files = {"mark": mark, "typeface": typeface}
    worn = {name: path.read_bytes() for name, path in files.items() if path is not None}
    worn |= {name: b"" for name in files if name in without}
    with open_desk(workbench, create=False) as wb:
        stands = change_imprint(wb, said, now=present()) if said else imprint_now(wb)
        stands = wear(wb, Worn(**worn), now=present()) if worn else stands
    if as_json:
        say_json(answer(stands))
    else:
        tell(stands)


@click.command("link")
@click.argument("name")
@click.argument("to", required=False)
@click.option("--part", default="", help="Key of the part it is of.")
@click.option("--paid", is_flag=True, help="It pays you when somebody buys; that is said beside it.")
@click.option("--remove", is_flag=True, help="Take the link out.")
@as_json
@click.pass_obj
def link(
    workbench: Path | None, name: str, to: str | None, part: str, paid: bool, remove: bool, as_json: bool
) -> None:
    """Put a link under a NAME, leading TO an address, or take it out.

    Example: evenhand link "The card" https://shop.example/lantern --part harrowfen-lantern-40 --paid
    """
    from evenhand.desk.opening import open_desk, present
    from evenhand.desk.publication.imprint import drop_link, put_link
    from evenhand.records.publications import Link

    if remove == bool(to):
        raise click.UsageError("give where the link leads, or --remove alone.")
    with open_desk(workbench, create=False) as wb:
        if to is None:
            stands = drop_link(wb, name, now=present())
        else:
            stands = put_link(wb, Link(name=name, to=to, part=part, paid=paid), now=present())
    if as_json:
        say_json(answer(stands))
    else:
        tell(stands)


def answer(stands: Imprint) -> dict[str, object]:
    """The imprint for scripts."""
    return {
        "name": stands.name,
        "licence": stands.licence,
        "place": stands.place,
        "numbers": stands.numbers.value,
        "days": stands.days.value,
        "accent": stands.accent,
        "mark": stands.mark,
        "typeface": stands.typeface,
        "words_a_minute": stands.words_a_minute,
        "links": [{"name": e.name, "to": e.to, "part": e.part, "paid": e.paid} for e in stands.links],
    }


def tell(stands: Imprint) -> None:
    """The imprint in words."""
    say(f"Published by {stands.name or 'nobody named yet'}, licence {stands.licence or 'not stated'}.")
    say(f"Place: {stands.place or 'none'}. Accent: {stands.accent or 'ink'}.")
    say(f"On cards: {'a mark' if stands.mark else 'no mark'}, "
        f"{'a typeface' if stands.typeface else 'no typeface'} of your own.")  # fmt: skip
    say(f"Numbers are written {stands.numbers.example}, days {stands.days.example}.")
    say(f"Spoken at {stands.words_a_minute} words a minute.")
    for each in stands.links:
        of = f", of {each.part}" if each.part else ""
        say(f"  {each.name}: {each.to}{of}{', pays the reviewer' if each.paid else ''}")


COMMANDS = (imprint, link)
