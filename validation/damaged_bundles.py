"""Bundles whose study was damaged on purpose, and whose checksums were mended: how `verify` tells it.

    python -m validation.damaged_bundles --damages 300

Every damage is made to one file below study/ of the bundle of a small study: truncated, altered, taken away,
twice there, entries of another sort, numbers beyond all measure. The list of checksums is mended with it, so
that the import has to bear it. Each has to end in words that name the file or the run that it is of: an error
of ours, a refused file, or a thing that comes out otherwise. What changes nothing that is published may pass.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import random
import shutil
import tempfile
import tomllib
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import tomli_w
from tests.desk.small_folder import small_folder, weighed

from evenhand.cli.bundles import answer
from evenhand.desk.logs.archives import unpack
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import open_desk
from evenhand.desk.publication.bundling import write_bundle
from evenhand.desk.publication.publishing import publish
from evenhand.desk.publication.verifying import Verified, files_below, verify
from evenhand.editions.bundle import SUMS, sums
from evenhand.errors import EvenhandError

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
Damage = Callable[[Path, random.Random], str]
ODD: tuple[Any, ...] = (
    None, True, -1, 0, 3.5, 10**30, -(10**18), 1e308, float("nan"), float("inf"), "", "x", "../../x", "\x00",
    "٣", "a" * 5000, [], [1], {}, {"a": 1}, [[]], [{}], NOW, NOW.date(), NOW.time(),
)  # fmt: skip


def _text(path: Path) -> list[str]:
    return path.read_text("utf-8", "replace").splitlines(keepends=True)


def truncated(path: Path, rng: random.Random) -> str:
    """Only its beginning is there."""
    data = path.read_bytes()
    at = rng.randrange(len(data) + 1)
    path.write_bytes(data[:at])
    return f"ends after {at} of {len(data)} bytes"


def altered(path: Path, rng: random.Random) -> str:
    """Some bytes are others."""
    data = bytearray(path.read_bytes())
    places = [rng.randrange(len(data)) for _ in range(rng.choice((1, 1, 3, 20)))] if data else []
    for at in places:
        data[at] = rng.randrange(256)
    path.write_bytes(data)
    return f"other bytes at {places}"


def missing(path: Path, rng: random.Random) -> str:
    """It is not there, or there is a folder in its place."""
    path.unlink()
    if rng.random() < 0.3:
        path.mkdir()
        (path / "inside.csv").write_text("a,b\n1,2\n")
        return "is a folder"
    return "is not there"


def doubled(path: Path, rng: random.Random) -> str:
    """A stretch of its lines, or all of it, is there twice, or it lies there under a second name."""
    lines = _text(path)
    how = rng.choice(("lines", "whole", "beside"))
    if how == "beside":
        shutil.copy(path, path.with_name(f"again-{path.name}"))
    elif how == "whole" or not lines:
        path.write_text("".join(lines * 2), "utf-8")
    else:
        begin = rng.randrange(len(lines))
        end = begin + rng.choice((1, 1, 5, 200))
        path.write_text("".join([*lines[:end], *lines[begin:end], *lines[end:]]), "utf-8")
    return f"twice there: {how}"


def shuffled(path: Path, rng: random.Random) -> str:
    """Two lines change places, or one is gone."""
    lines = _text(path)
    if len(lines) < 2:
        return "has too few lines"
    i, j = rng.sample(range(len(lines)), 2)
    lines[i], lines[j] = lines[j], lines[i] if rng.random() < 0.5 else ""
    path.write_text("".join(lines), "utf-8")
    return f"lines {i + 1} and {j + 1}"


def cells(path: Path, rng: random.Random) -> str:
    """A cell of a line, or a value, is something else: beyond all measure, or of another sort."""
    lines = _text(path)
    if not lines:
        return "has no lines"
    at = rng.randrange(len(lines))
    odd = rng.choice(("1e400", "-1e400", "nan", "9" * 40, "-3", "", "x", '"', "'", "0", "١٢", "\x00"))
    parts = lines[at].rstrip("\n").split(rng.choice((",", "=", " ")))
    parts[rng.randrange(len(parts))] = odd
    lines[at] = ",".join(parts) + "\n"
    path.write_text("".join(lines), "utf-8")
    return f"line {at + 1} holds {odd!r:.20}"


def entries(path: Path, rng: random.Random) -> str:
    """An entry of a TOML file is gone, of another sort, or there under a second name."""
    try:
        told = tomllib.loads(path.read_text("utf-8"))
    except (ValueError, UnicodeDecodeError):
        return altered(path, rng)
    within: Any = told
    trail: list[Any] = []
    while True:
        key = rng.choice(list(within) if isinstance(within, dict) else range(len(within)))
        trail.append(key)
        inner = within[key]
        if not isinstance(inner, dict | list) or not inner or rng.random() < 0.2:
            break
        within = inner
    said = _spoilt(within, key, rng)
    try:
        path.write_text(tomli_w.dumps(told), "utf-8")
    except (TypeError, ValueError):
        return "as it was"
    return f"{'.'.join(map(str, trail))}: {said}"


def _spoilt(within: Any, key: Any, rng: random.Random) -> str:
    how = rng.random()
    if how < 0.25:
        del within[key]
        return "gone"
    if how < 0.35 and isinstance(within, list):
        within.append(within[key])
        return "twice"
    odd = rng.choice(ODD[1:])
    within[key] = odd
    return f"{odd!r:.30}"


DAMAGES: tuple[Damage, ...] = (truncated, altered, missing, doubled, shuffled, cells, entries)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How one damage ended: `how` is passed, told, refused or broken; `words` what was said of it."""

    file: str
    damage: str
    how: str
    words: str

    @property
    def named(self) -> bool:
        """Whether what was said names the file that was damaged."""
        stem = Path(self.file).stem
        return self.how == "passed" or any(
            each in self.words for each in (self.file, Path(self.file).name, stem)
        )


def bundle_folder(place: Path) -> Path:
    """A small study's bundle, unpacked."""
    with open_desk(place / "w.evenhand") as wb:
        import_folder(wb, weighed(small_folder()).write(place / "study"), now=NOW)
        publish(wb, "quay", now=NOW)
        made = write_bundle(wb, "quay", place / "quay.zip").path
    unpack(made, place / "bundle", name="quay.zip", watch=lambda *_: None)
    return place / "bundle"


def mend_list(folder: Path) -> None:
    """Writes the list of checksums anew, as whoever hides a change would."""
    names = [name for name in files_below(folder) if name != SUMS]
    listed = {name: hashlib.sha256((folder / name).read_bytes()).hexdigest() for name in names}
    (folder / SUMS).write_bytes(sums(listed))


def damaged(whole: Path, place: Path, rng: random.Random, *, damage: Damage | None = None) -> Ended:
    """One damage of a copy of a bundle's folder, drawn where none is given, and how `verify` ends."""
    folder = place / "damaged"
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(whole, folder)
    files = sorted(each for each in (folder / "study").rglob("*") if each.is_file())
    tables = [each for each in files if each.suffix == ".toml"]
    damage = rng.choice(DAMAGES) if damage is None else damage
    path = rng.choice(tables if damage is entries or rng.random() < 0.4 else files)
    said = damage(path, rng)
    mend_list(folder)
    file = path.relative_to(folder).as_posix()
    how, words = ended(folder)
    return Ended(file=file, damage=f"{getattr(damage, '__name__', '')}: {said}", how=how, words=words)


def ended(folder: Path) -> tuple[str, str]:
    """How `verify` ends of a folder, and what it says."""
    try:
        found = verify(folder, now=NOW, watch=lambda *_: None)
    except EvenhandError as error:
        return "refused", str(error)
    except Exception:  # noqa: BLE001 - what it must never be is what is looked for
        return "broken", traceback.format_exc()
    json.dumps(answer(found, folder), allow_nan=False)
    return ("passed", "") if found.sound else ("told", "\n".join(told(found)))


def told(found: Verified) -> Iterator[str]:
    """All that is said of a bundle that does not come out."""
    yield from (*found.damage, *found.tables, *found.logs)
    yield from (f"{each.of}, {each.name}" for each in (found.again.differing if found.again else ()))


def main() -> None:
    """Damages bundles one by one, and tells how each ended; what broke or named nothing is told whole."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--damages", type=int, default=300)
    parser.add_argument("--seed", type=int, default=13)
    given = parser.parse_args()
    rng, counts = random.Random(given.seed), Counter[str]()
    with tempfile.TemporaryDirectory() as made:
        whole = bundle_folder(Path(made))
        for n in range(given.damages):
            one = damaged(whole, Path(made), rng)
            counts[one.how] += 1
            if one.how == "broken" or not one.named:
                counts["unnamed"] += one.how != "broken"
                print(f"--- {n} {one.file}, {one.damage}: {one.how}\n{one.words}", flush=True)
    print(f"{dict(counts)}; seed {given.seed}")


if __name__ == "__main__":
    main()
