"""Find the number that a user's own pattern takes from an output, in a process that can be ended.

A pattern may take for ever on some outputs, and nothing ends a search from within the same process.
Run as a program it reads a pattern and an output as JSON and writes what it found.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from dataclasses import dataclass

SEARCH_S = 10.0  # a rig waits so long for a pattern; one that fits lines takes milliseconds


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """The last of `times` matches: `text` is what is taken of it, by the group `score` ("" the whole of it).

    `text` is None where the group took no part in the match.
    """

    times: int
    text: str | None
    group: str


def last_match(
    pattern: str, output: str, *, most_s: float = SEARCH_S, called: str = "the pattern for the score"
) -> Match | None:  # fmt: skip
    """The last match, or None. Raises OSError in words where it was not found, or not in time."""
    asked = json.dumps([pattern, output])
    paths = os.pathsep.join(path or os.curdir for path in sys.path)
    try:
        answer = subprocess.run(
            [sys.executable, "-P", "-m", "evenhand.rig.patterns"],
            input=asked, capture_output=True, text=True, encoding="utf-8", check=False, timeout=most_s,
            env={**os.environ, "PYTHONPATH": paths},
        )  # fmt: skip
    except subprocess.TimeoutExpired as slow:
        raise TimeoutError(f"{called} was not done with the output after {most_s:g} s") from slow
    if answer.returncode:
        raise OSError(f"{called} could not be looked for in the output")
    found = json.loads(answer.stdout)
    return None if found is None else Match(times=found[0], text=found[1], group=found[2])


def searched(pattern: str, output: str) -> Match | None:
    r"""The last match, looked for here and now.

    >>> searched(r"pass: (\d+)", "pass: 10, pass: 11")
    Match(times=2, text='11', group='the first group')
    """
    last, times = None, 0
    for last in re.finditer(pattern, output, flags=re.MULTILINE):  # noqa: B007  (the last is used below)
        times += 1
    if last is None:
        return None
    if "score" in last.groupdict():
        return Match(times=times, text=last.group("score"), group="the group ‘score’")
    if last.groups():
        return Match(times=times, text=last.group(1), group="the first group")
    return Match(times=times, text=last[0], group="")


def reply() -> None:
    """Answers one question from the input."""
    found = searched(*json.load(sys.stdin))
    json.dump(None if found is None else [found.times, found.text, found.group], sys.stdout)


if __name__ == "__main__":
    reply()
