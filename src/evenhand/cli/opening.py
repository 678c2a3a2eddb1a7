"""open: the workbench in the browser."""

from __future__ import annotations

import gc
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from evenhand.cli.showing import as_json, say, say_json

if TYPE_CHECKING:
    from evenhand.desk.opening import Desk


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How the workbench is opened: to whom, on which port, with the browser or not, told in words or JSON."""

    port: int | None = None
    browser: bool = True
    network: bool = False
    https: bool = False
    as_json: bool = False


@click.command("open")
@click.option("--port", type=click.IntRange(1, 65535), help="The port to listen on (default: a free one).")
@click.option("--no-browser", is_flag=True, help="Print the address only; open no browser.")
@click.option("--network", is_flag=True, help="Let rigs and phones of the local network in, each by a link.")
@click.option(
    "--https", is_flag=True, help="Encrypt with a certificate of its own; its fingerprint is shown."
)
@click.option(
    "--watch",
    type=click.Path(file_okay=False, path_type=Path),
    help="A folder in which logs appear: what is new there comes in by itself, now and whenever it is open.",
)
@as_json
@click.pass_obj
def open_in_browser(workbench: Path | None, /, watch: Path | None, no_browser: bool, **way: Any) -> None:
    """Open the workbench in the browser; it listens on this computer alone unless told otherwise.

    Example: evenhand open
    """
    with made_to_stay():
        from evenhand.desk.opening import open_desk
        from evenhand.web import serving  # noqa: F401  (all that the first page needs)

    with open_desk(workbench) as wb:
        asked = Way(browser=not no_browser, **way)
        said = watch_from_now(wb, watch) if watch is not None else ""
        if said and not asked.as_json:
            say(said)
        serve_until_stopped(wb, asked)


@contextmanager
def made_to_stay() -> Iterator[None]:
    """What is loaded meanwhile stays: nobody looks for garbage among it, which is a tenth of loading it."""
    looking = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        if looking:
            gc.enable()


def watch_from_now(wb: Desk, folder: Path) -> str:
    """Takes in what is new in a folder, of whatever study; what is said of it.

    Raises BadRecord where it cannot be watched.
    """
    from evenhand.desk.bench.watching import watch_folder
    from evenhand.desk.opening import present

    watch = watch_folder(wb, str(folder.absolute()), study=None, by="the terminal", now=present())
    return f"New logs in {watch.folder} come in by themselves."


def serve_until_stopped(wb: Desk, way: Way) -> None:
    """Answers until Ctrl+C; says where, and to whom."""
    from dataclasses import replace

    from evenhand.desk.opening import present
    from evenhand.web import network
    from evenhand.web.certificate import certificate_for, shown
    from evenhand.web.served import OWN_NAMES, Site
    from evenhand.web.serving import ANYBODY, LOOPBACK, listen, serve, show_in_browser

    opened = listen(way.port, address=ANYBODY if way.network else LOOPBACK)
    others = (*network.addresses(), *network.names()) if way.network else ()
    if way.https:
        made = certificate_for(wb.path, ("localhost", LOOPBACK, *others), now=present())
        opened = replace(opened, certificate=made)
    site = Site(
        wb=wb,
        hosts=OWN_NAMES | set(others),
        network=tuple(opened.url_at(name) for name in others),
        certificate=opened.certificate.fingerprint if opened.certificate else "",
    )

    def ready(url: str) -> None:
        if way.as_json:
            say_json({"url": url, "network": list(site.network), "certificate": site.certificate or None})
        else:
            tell_open(url, site.network, fingerprint=shown(site.certificate))
        if way.browser:
            show_in_browser(url)

    serve(site, opened, ready=ready)


def tell_open(url: str, network: Sequence[str], *, fingerprint: str) -> None:
    """Where the workbench answers, for whom, and how to stop it."""
    say(f"Evenhand is open at {url}")
    for other in network:
        say(f"  from the local network: {other}")
    if network:
        say("  Others get in by a link only: make one for each rig and phone at /devices.")
    if fingerprint:
        say(f"  Certificate (SHA-256): {fingerprint}")
    say("Stop it with Ctrl+C; what was acknowledged is kept.")


COMMANDS = (open_in_browser,)
