"""Which part of a study's runs somebody wants to see, and a decision about one that was not stored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from urllib.parse import urlencode

ALL, FAULTS, WAIT, DECIDED, CLEAN = "all", "faults", "wait", "decided", "clean"
SHOWS = (ALL, FAULTS, WAIT, DECIDED, CLEAN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which part of the runs somebody wants to see, and how; anything unknown is the usual.

    `drawn` wants every small picture with the page, as paper needs it, not only once it is seen. `done` is
    the run that was just decided about, with the number of `also` changed ones.
    """

    show: str = ALL
    sort: str = ""
    down: bool = False
    page: int = 1
    masked: bool = False
    drawn: bool = False
    done: str = ""
    also: int = 0

    def query(self, *, done: bool = False) -> str:
        """As the end of an address, what is usual left out; what was just done only where that is wanted."""
        asked: dict[str, object] = {}
        for name in ("show", "sort", "page"):
            if getattr(self, name) != getattr(Wanted(), name):
                asked[name] = getattr(self, name)
        asked |= {name: 1 for name in ("down", "masked", "drawn") if getattr(self, name)}
        if done and self.done:
            asked |= {"done": self.done} | ({"also": self.also} if self.also else {})
        return f"?{urlencode(asked)}" if asked else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A decision that was not stored: by whom it was wanted, what was typed, and what is wrong with it.

    `errors` are by field; `overtaken` says that the run stands otherwise than it was seen.
    """

    key: str
    verb: str
    values: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)
    told: str = ""
    todo: str = ""
    overtaken: bool = False


def usual(wanted: Wanted) -> Wanted:
    """The same with what is unknown left out."""
    show = wanted.show if wanted.show in SHOWS else ALL
    return replace(wanted, show=show, page=max(1, wanted.page))
