"""What was dropped and takes its time, by number: who brought it, how far it is, and what came of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, cast

from fastapi import Depends, Request

from evenhand.desk.logs.bringing import Bringing, Brought, bring_archive, bring_study
from evenhand.desk.logs.staging import ARCHIVE, clear, place_of
from evenhand.errors import EvenhandError
from evenhand.web.served import Site
from evenhand.web.work import Watch, Work, works_of

MOST_KEPT = 50  # what was dropped earlier has long been looked at


@dataclass(slots=True)
class Drops:
    """Remembered while the site is open; what came in is on record whatever becomes of this."""

    brought: dict[str, Brought]
    about: dict[str, Bringing]

    def keep(self, number: str, brought: Brought) -> None:
        """What came of it."""
        self.brought[number] = brought
        for old in list(self.brought)[:-MOST_KEPT]:
            del self.brought[old]
            self.about.pop(old, None)


def drops_of(request: Request) -> Drops:
    """The site's drops."""
    state = request.app.state
    if not hasattr(state, "drops"):
        state.drops = Drops(brought={}, about={})
    return cast("Drops", state.drops)


Dropping = Annotated[Drops, Depends(drops_of)]


def begin(request: Request, site: Site, number: str, about: Bringing) -> Work:
    """Begins to bring in what was dropped under a number, or says how far that is."""
    drops, folder = drops_of(request), place_of(site.wb, number)
    drops.about[number] = about

    def job(watch: Watch) -> str:
        brought = _bring(site, folder, about, drops.brought.get(number), watch)
        drops.keep(number, brought)
        if not brought.questions:
            _clear(site, number)
        return brought.report.study if brought.report else ""

    return works_of(request).begin(name_of(number), job)


def _bring(site: Site, folder: Path, about: Bringing, before: Brought | None, watch: Watch) -> Brought:
    if before is not None and before.folder is not None:  # once more, now that its columns are known
        return bring_study(site.wb, before.folder, now=about.now, watch=watch)
    archive = folder / ARCHIVE
    if archive.exists():
        return bring_archive(site.wb, archive, about, watch=watch)
    return bring_study(site.wb, folder, now=about.now, watch=watch)


def _clear(site: Site, number: str) -> None:
    try:
        clear(site.wb, number)
    except EvenhandError:
        return  # it is gone already


def work_of(request: Request, number: str) -> Work | None:
    """How far it is."""
    return works_of(request).of(name_of(number))


def name_of(number: str) -> str:
    """The name of a piece of work."""
    return f"drop-{number}"
