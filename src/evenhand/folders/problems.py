"""What is wrong with a study file, gathered so that its author hears everything at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.errors import BadRecord
from evenhand.folders.lines import Path, nearest_line


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing that cannot be used: at which place of the document, what was found, what to do.

    `line` is told in place of the path's where that is known better, as of a file by its name.
    """

    path: Path
    found: str
    todo: str = ""
    line: int | None = None

    def on(self, lines: dict[Path, int]) -> int | None:
        """The line it is told under."""
        return self.line or nearest_line(lines, self.path)


def refusal(problems: Sequence[Problem], *, where: str, lines: dict[Path, int]) -> BadRecord:
    """One error that tells all problems, in the order of their lines."""
    ordered = sorted(problems, key=lambda p: p.on(lines) or 0)
    if len(ordered) == 1:
        only = ordered[0]
        return BadRecord(only.found, where=f"{where}, {_place(only, lines)}", todo=only.todo)
    told = "".join(f"\n  {_told(problem, lines)}" for problem in ordered)
    return BadRecord(f"{len(ordered)} things cannot be used:{told}\n", where=where, todo="correct them all")


def spoken(path: Path) -> str:
    """A place in the document as a person counts it.

    >>> spoken(("batches", 2, "runs", 0, "score"))
    '[[batches]] 3, runs 1, score'
    >>> spoken(("study", "margin"))
    '[study], margin'
    """
    words: list[str] = []
    for at, step in enumerate(path):
        if isinstance(step, int):
            words[-1] += f" {step + 1}"
        elif at:
            words.append(step)
        elif len(path) > 1:
            words.append(f"[[{step}]]" if isinstance(path[1], int) else f"[{step}]")
        else:
            words.append(f"'{step}'")
    return ", ".join(words) if words else "the file as a whole"


def _place(problem: Problem, lines: dict[Path, int]) -> str:
    line = problem.on(lines)
    if line and not problem.path:
        return f"line {line}"
    return f"line {line}, {spoken(problem.path)}" if line else spoken(problem.path)


def _told(problem: Problem, lines: dict[Path, int]) -> str:
    advice = f"; {problem.todo}" if problem.todo else ""
    return f"{_place(problem, lines)}: {problem.found}{advice}"
