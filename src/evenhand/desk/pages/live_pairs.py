"""Where every pair stands on a bench day: its tests under its name, what they all wait for said once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from evenhand.desk.bench.live_finding import LiveLine


@dataclass(frozen=True, slots=True, kw_only=True)
class LivePair:
    """A pair by name, its lines, and what comes next in all that wait (`small`), "" where that differs."""

    a: str
    b: str
    lines: tuple[LiveLine, ...]
    small: str = ""

    @property
    def waits(self) -> bool:
        """Whether any line says for itself what comes next."""
        return any(line.small for line in self.lines)


def live_pairs(lines: Sequence[LiveLine]) -> tuple[LivePair, ...]:
    """Lines, which come pair by pair, under their pairs."""
    return tuple(_pair(a, b, tuple(own)) for (a, b), own in groupby(lines, key=lambda line: (line.a, line.b)))


def _pair(a: str, b: str, lines: tuple[LiveLine, ...]) -> LivePair:
    said = [line.small for line in lines if line.small]
    if len(said) < 2 or len(set(said)) > 1:
        return LivePair(a=a, b=b, lines=lines)
    return LivePair(a=a, b=b, lines=tuple(replace(line, small="") for line in lines), small=said[0])
