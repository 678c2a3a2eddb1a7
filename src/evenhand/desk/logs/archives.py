"""A zip archive that was dropped: looked through before anything is unpacked, refused in words if unsafe."""

from __future__ import annotations

import shutil
import stat
import zipfile
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from evenhand.desk.logs.dropping import DROP_LIMITS
from evenhand.errors import BadRecord
from evenhand.traces.limits import in_mib

Watch = Callable[[int, int, str], None]

START = b"PK\x03\x04"  # how a zip archive with something in it begins
AUTHORS_OWN = ("__MACOSX", ".DS_Store", "Thumbs.db")  # what systems put beside files by themselves
READS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA)
RATIO_FROM_BYTES = 16 * 2**20


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """What an archive may ask of the machine that unpacks it."""

    members: int = 5_000
    member_bytes: int = DROP_LIMITS.max_bytes
    all_bytes: int = 4 * 2**30
    ratio: float = DROP_LIMITS.max_unpack_ratio


BOUNDS = Bounds()


def is_archive(data: bytes) -> bool:
    """Whether bytes begin as a zip archive does."""
    return data.startswith(START)


def members_of(path: Path, *, name: str, bounds: Bounds = BOUNDS) -> tuple[zipfile.ZipInfo, ...]:
    """The files of an archive, in its order, without folders and what systems put beside them.

    Raises BadRecord where it cannot be read, or holds anything that may not be unpacked; nothing is then.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            found = archive.infolist()
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, EOFError) as error:
        raise BadRecord(
            "the archive is damaged or was cut off",
            where=name,
            todo="pack it again, or drop the folder itself",
        ) from error
    files = tuple(each for each in found if not each.is_dir() and not _systems_own(each.filename))
    _check_many(files, name=name, bounds=bounds)
    for each in files:
        trouble = _unsafe(each) or _too_much(each, bounds)
        if trouble:
            todo = "take it out of the archive, or drop the folder itself"
            raise BadRecord(f"the archive's member '{shown(each.filename)}' {trouble}", where=name, todo=todo)
    return files


def _check_many(files: Sequence[zipfile.ZipInfo], *, name: str, bounds: Bounds) -> None:
    """Raises BadRecord where an archive holds too much, nothing, or one name twice."""
    whole = sum(each.file_size for each in files)
    names = [each.filename.casefold() for each in files]
    found = ""
    if not files:
        found = "the archive holds no file"
    elif len(files) > bounds.members:
        found = f"the archive holds {len(files):,} files, past the limit of {bounds.members:,}"
    elif whole > bounds.all_bytes:
        found = f"the archive unpacks to {in_mib(whole)}, past the limit of {in_mib(bounds.all_bytes)}"
    elif len(set(names)) < len(names):
        twice = next(each for each in names if names.count(each) > 1)
        found = f"the archive holds '{shown(twice)}' twice"
    if found:
        raise BadRecord(found, where=name, todo="pack what belongs to one study, or drop the folder itself")


def _systems_own(name: str) -> bool:
    steps = name.replace("\\", "/").split("/")
    return steps[0] == AUTHORS_OWN[0] or steps[-1] in AUTHORS_OWN


def _unsafe(member: zipfile.ZipInfo) -> str:
    """Why a member's name or kind may not be unpacked; empty where it may.

    >>> _unsafe(zipfile.ZipInfo("../../etc/passwd"))
    'leads out of the folder'
    """
    name, mode = member.filename, member.external_attr >> 16
    if stat.S_ISLNK(mode):
        return "is a link to another file"
    if stat.S_IFMT(mode) and not stat.S_ISREG(mode):
        return "is no ordinary file"
    if name.startswith(("/", "\\")) or PurePosixPath(name).is_absolute() or name[1:2] == ":":
        return "names a place on the disk"
    if not inside(name):
        return "leads out of the folder"
    return ""


def inside(name: str) -> bool:
    r"""Whether a name stays in the folder that it is put into, on any system.

    >>> inside("logs/wren.csv"), inside("logs/../../a"), inside("a\\b"), inside("C:a"), inside("")
    (True, False, False, False, False)
    """
    plain = bool(name) and not any(sign in name for sign in ("\\", ":")) and name.isprintable()
    return plain and all(step.strip(". ") for step in name.split("/"))


def _too_much(member: zipfile.ZipInfo, bounds: Bounds) -> str:
    """Why a member cannot be unpacked for its size or packing; empty where it can."""
    if member.flag_bits & 1:
        return "is locked with a password"
    if member.compress_type not in READS:
        return "is packed in a way that is not known here"
    if member.file_size > bounds.member_bytes:
        return f"holds {in_mib(member.file_size)}, past the limit of {in_mib(bounds.member_bytes)}"
    swollen = member.file_size > RATIO_FROM_BYTES and member.file_size > bounds.ratio * member.compress_size
    return f"unpacks to more than {bounds.ratio:.0f} times its size" if swollen else ""


def unpack(path: Path, folder: Path, *, name: str, watch: Watch, bounds: Bounds = BOUNDS) -> tuple[str, ...]:
    """Every file of an archive into a folder; their names. `watch` may raise to stop. Raises BadRecord."""
    files = members_of(path, name=name, bounds=bounds)
    with zipfile.ZipFile(path) as archive:
        for done, member in enumerate(files):
            watch(done, len(files), f"unpacking {shown(member.filename)}")
            _one(archive, member, folder / member.filename, name=name)
    return tuple(each.filename for each in files)


def _one(archive: zipfile.ZipFile, member: zipfile.ZipInfo, place: Path, *, name: str) -> None:
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        with archive.open(member) as packed, place.open("wb") as file:
            shutil.copyfileobj(packed, file, 2**20)
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError) as error:
        raise BadRecord(
            f"the archive's member '{shown(member.filename)}' cannot be unpacked",
            where=name,
            todo="pack it again, or drop the folder itself",
        ) from error


def shown(name: str) -> str:
    """A member's name as it may be shown: no control characters, and not too long."""
    plain = "".join(sign if sign.isprintable() else "-" for sign in name)
    return plain if len(plain) <= 80 else f"{plain[:77]}…"
