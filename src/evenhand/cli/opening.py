"""open: the workbench in the browser."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from evenhand.cli.showing import say

if TYPE_CHECKING:
    from evenhand.desk.opening import Desk


@click.command("open")
@click.option("--port", type=click.IntRange(1, 65535), help="The port to listen on (default: a free one).")
@click.option("--no-browser", is_flag=True, help="Print the address only; open no browser.")
@click.pass_obj
def open_in_browser(workbench: Path | None, port: int | None, no_browser: bool) -> None:
    """Open the workbench in the browser; it listens on this computer alone.

    Example: evenhand open
    """
    from evenhand.desk.opening import open_desk

    with open_desk(workbench) as wb:
        serve_until_stopped(wb, port=port, browser=not no_browser)


def serve_until_stopped(wb: Desk, *, port: int | None, browser: bool) -> None:
    """Answers until Ctrl+C; says where."""
    from evenhand.web.serving import listen, serve, show_in_browser
    from evenhand.web.site import Site

    def ready(url: str) -> None:
        say(f"Evenhand is open at {url}")
        say("Stop it with Ctrl+C; what was acknowledged is kept.")
        if browser:
            show_in_browser(url)

    serve(Site(wb=wb), listen(port), ready=ready)


COMMANDS = (open_in_browser,)
