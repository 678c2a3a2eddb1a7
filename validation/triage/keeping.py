"""Pieces that were judged before, kept in a file, so that a long table can be drawn in several sittings."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

from validation.triage.table import Line, Piece, Tally


class Kept:
    """A file of one JSON object a line, one for each piece that is done; it holds pieces of any seed."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._known: dict[Piece, Tally] = {}
        for row in path.read_text(encoding="utf-8").splitlines() if path.exists() else ():
            said = json.loads(row)
            self._known[Piece(**{**said["piece"], "line": Line(**said["piece"]["line"])})] = _unpacked(
                said["tally"]
            )

    def of(self, piece: Piece) -> Tally | None:
        """What the piece has shown, if it was judged before."""
        return self._known.get(piece)

    def add(self, piece: Piece, tally: Tally) -> None:
        """Keep what a piece has shown."""
        line = {name: getattr(piece.line, name) for name in Line.__slots__}
        said = {"seed": piece.seed, "part": piece.part, "cells": piece.cells, "line": line}
        with self._path.open("a", encoding="utf-8") as file:
            file.write(json.dumps({"piece": said, "tally": _packed(tally)}) + "\n")


def _packed(tally: Tally) -> dict[str, Any]:
    """Counters as lists of pairs, since their keys may be pairs themselves."""
    values = {name: getattr(tally, name) for name in Tally.__slots__}
    return {name: list(v.items()) if isinstance(v, Counter) else v for name, v in values.items()}


def _unpacked(said: dict[str, Any]) -> Tally:
    values: dict[str, Any] = {n: _counter(v) if isinstance(v, list) else v for n, v in said.items()}
    return Tally(**values)


def _counter(pairs: list[list[Any]]) -> Counter[Any]:
    return Counter({tuple(key) if isinstance(key, list) else key: count for key, count in pairs})
