"""The workbench handle: one writer connection, short read connections, nested transactions."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections import deque
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, date, datetime
from pathlib import Path
from types import TracebackType
from typing import Self, TypeVar

from evenhand.errors import StoreProblem
from evenhand.store.changes import ChangeMeter
from evenhand.store.connecting import WAIT_S, connect
from evenhand.store.lately import Lately, newest_day
from evenhand.store.migrations import MIGRATIONS, migrate, refuse_strangers, version
from evenhand.store.problems import damaged, primary_code, told
from evenhand.store.seeing import Seen, may_be_written, way_to_read

PAGE_BYTES = 8192  # logs are long blobs and records are short rows: measured in docs/formats-workbench.md
MOST_IDLE = 8  # connections to read by that are kept open
_HEADER = b"SQLite format 3\0"

T = TypeVar("T")


class Workbench:
    """An open workbench; made by `open_workbench`, and closed by leaving its `with` block.

    May be shared by threads: writers take turns, readers do not wait. Where it is not `writable`, every
    `writing` block is refused with a StoreProblem. Its `clock` says which days have come.
    """

    __slots__ = (
        "_closed", "_depth", "_idle", "_lately", "_meter", "_seen", "_turn", "_views", "_wait_s", "_writer",
        "_writing_thread", "clock", "path", "writable",
    )  # fmt: skip

    def __init__(
        self, path: Path, writer: sqlite3.Connection, *, wait_s: float, read_as: Seen | None = None
    ) -> None:
        self.path = path
        self.writable = read_as is None
        self._writer = writer
        self._seen = read_as or Seen(file=path, mode="ro")
        self._wait_s = wait_s
        self._turn = threading.RLock()
        self._views = threading.local()
        self._depth = 0
        self._meter = ChangeMeter(path)
        self.clock: Callable[[], datetime] = lambda: datetime.now(UTC)
        self._lately = Lately(self._meter, self.newest_day)
        self._writing_thread: int | None = None
        self._idle: deque[sqlite3.Connection] = deque()  # its ends may be used by several threads
        self._closed = False

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """A transaction: all of it is stored when the block ends, or none of it where the block raises.

        Inside another `writing` block it is a savepoint: its own steps are undone where it raises, and
        nothing is stored before the outermost block ends.
        """
        with self._turn, told(self.path):
            begin, commit, rollback = self._steps()
            self._writer.execute(begin)
            self._depth += 1
            self._writing_thread = threading.get_ident()
            try:
                yield self._writer
                self._writer.execute(commit)
            except BaseException:
                # A full disk may have ended the transaction already.
                if self._writer.in_transaction:
                    for step in rollback:
                        self._writer.execute(step)
                raise
            finally:
                self._depth -= 1
                self._writing_thread = self._writing_thread if self._depth else None

    def _steps(self) -> tuple[str, str, tuple[str, ...]]:
        if not self._depth:
            return "BEGIN IMMEDIATE", "COMMIT", ("ROLLBACK",)
        name = f"nested_{self._depth}"
        return f"SAVEPOINT {name}", f"RELEASE {name}", (f"ROLLBACK TO {name}", f"RELEASE {name}")

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """One unchanging view of the file; inside `writing`, what has been written so far.

        Inside another `reading` block it is the same view: several questions get answers of one moment.
        """
        here: sqlite3.Connection | None = getattr(self._views, "conn", None)
        if self._writing_thread == threading.get_ident():
            here = self._writer
        if here is not None:
            with told(self.path):
                yield here
            return
        with told(self.path):
            conn = self._view()
            try:
                conn.execute("BEGIN")
                # The view is fixed by the first read, so read something now.
                conn.execute("SELECT 1 FROM sqlite_schema LIMIT 1").fetchone()
                self._views.conn = conn
                yield conn
                conn.execute("ROLLBACK")
            except UnicodeDecodeError as error:
                conn.close()
                raise damaged(self.path) from error
            except BaseException:
                conn.close()
                raise
            finally:
                self._views.conn = None
            self._put_back(conn)

    def _view(self) -> sqlite3.Connection:
        """A connection to read by: one that nobody reads by just now, or else a new one."""
        with suppress(IndexError):
            return self._idle.pop()
        return connect(self._seen.file, mode=self._seen.mode, wait_s=self._wait_s)

    def _put_back(self, conn: sqlite3.Connection) -> None:
        """Keeps a connection for the next reader; opening one costs as much as a dozen questions."""
        if self.writable and not self._closed and len(self._idle) < MOST_IDLE:
            self._idle.append(conn)
        else:  # a file that stands still is read afresh each time: SQLite looks for no change there
            conn.close()

    def lately(self, key: Hashable, work: Callable[[], T]) -> T:
        """What `work` reads, or read since anybody last changed the file.

        `key` says what it is; what is given out may be shared, so it is never to be changed. Inside `writing`
        or `reading`, and on a file that may only be read, it is read each time.
        """
        if self._must_read():
            return work()
        with told(self.path):
            return self._lately.have(key, work)

    def lately_again(self, key: Hashable, work: Callable[[T | None], T]) -> T:
        """The same, where `work` can go on from what it gave before the last change, None the first time."""
        if self._must_read():
            return work(None)
        with told(self.path):
            return self._lately.again(key, work)

    def has_lately(self, key: Hashable) -> bool:
        """Whether `lately` has the answer to this key at hand."""
        return not self._must_read() and self._lately.has(key)

    def newest_day(self) -> date:
        """The latest day that has begun anywhere on earth, by the clock of the workbench."""
        return newest_day(self.clock())

    def changes(self) -> int:
        """A number that is larger after every change, whoever made it, and at every later opening."""
        return self._meter.read()

    def _must_read(self) -> bool:
        inside = getattr(self._views, "conn", None) is not None
        return not self.writable or inside or self._writing_thread == threading.get_ident()

    def close(self) -> None:
        """Folds the write-ahead log into the file, where nobody else is in the way, and lets go of it."""
        with self._turn:
            self._closed = True
            self._lately.close()
            self._meter.close()
            while self._idle:
                self._idle.pop().close()
            # What is committed is safe in the log already, so a busy or full disk is no problem here.
            with suppress(sqlite3.Error):
                self._writer.execute("PRAGMA busy_timeout = 0")
                self._writer.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            self._writer.close()
            self._seen.let_go()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def open_workbench(path: Path, *, create: bool = True, wait_s: float = WAIT_S) -> Workbench:
    """Opens the workbench at `path`, bringing it to the newest schema.

    With `create` a missing file is made, with its folders; a file of no bytes counts as missing unless
    a write-ahead log stands beside it. Waits up to `wait_s` for another process at each step.
    Raises StoreProblem where the file is no workbench, is newer than this code, is damaged, or its
    folder cannot be written to.

    >>> import tempfile
    >>> with open_workbench(Path(tempfile.mkdtemp()) / "spring" / "bench.evenhand") as wb:
    ...     wb.path.name
    'bench.evenhand'
    """
    look_at(path, create=create)
    with told(path):
        conn = connect(path, mode="rwc" if create else "rw", wait_s=wait_s)
        try:
            refuse_strangers(conn, path)
            _write_ahead(conn, path, wait_s)
            migrate(conn)
        except BaseException:
            conn.close()
            raise
    return Workbench(path, conn, wait_s=wait_s)


def open_to_read(path: Path, *, wait_s: float = WAIT_S) -> Workbench:
    """Opens a workbench that is only to be looked at: one in a folder that may not be written to as well.

    Where it may be written it is opened as by `open_workbench`. Raises StoreProblem as that does, and
    where the file is of an older schema that only writing would bring up.
    """
    if may_be_written(path):
        return open_workbench(path, create=False, wait_s=wait_s)
    look_at(path, create=False)
    with told(path):
        seen = way_to_read(path)
        try:
            conn = _opened_to_read(path, seen, wait_s=wait_s)
        except BaseException:
            seen.let_go()
            raise
    return Workbench(path, conn, wait_s=wait_s, read_as=seen)


def _opened_to_read(path: Path, seen: Seen, *, wait_s: float) -> sqlite3.Connection:
    conn = connect(seen.file, mode=seen.mode, wait_s=wait_s)
    try:
        refuse_strangers(conn, path)
        if version(conn) < MIGRATIONS[-1].number:
            raise StoreProblem(
                "this workbench is of an older version and may not be written here",
                where=str(path),
                todo="copy it to a folder that may be written to, and open the copy",
            )
    except BaseException:
        conn.close()
        raise
    return conn


def look_at(path: Path, *, create: bool) -> None:
    """Raises StoreProblem where the first bytes show that there is no workbench to open at `path`."""
    try:
        if create:
            path.parent.mkdir(parents=True, exist_ok=True)
        log = path.with_name(path.name + "-wal")
        # The log is looked at first: another process may just be making the file, and its log comes after it.
        logged = log.exists() and log.stat().st_size > 0
        head = _head(path)
    except OSError as error:
        raise StoreProblem(
            f"the workbench cannot be opened ({error.strerror})",
            where=str(path),
            todo="see that the folder may be written to, or choose another place with --workbench",
        ) from error
    if logged and not head:
        # SQLite would throw the log away, and with it whatever had not reached the file yet.
        raise StoreProblem(
            f"the file is empty or missing, but {log.name} beside it holds changes",
            where=str(path),
            todo="put the file back from a backup, or move both away to begin anew",
        )
    if not head and not create:
        raise StoreProblem(
            "there is no workbench here yet",
            where=str(path),
            todo="import a study first, or name another file",
        )
    if head and head != _HEADER:
        raise StoreProblem(
            "this is not a workbench, or its first page is damaged",
            where=str(path),
            todo="name another file with --workbench; this one was left as it is",
        )


def _head(path: Path) -> bytes:
    if not path.exists():
        return b""
    with path.open("rb") as file:
        return file.read(len(_HEADER))


def _write_ahead(conn: sqlite3.Connection, path: Path, wait_s: float) -> None:
    """Turns on the write-ahead log; SQLite's own waiting does not cover this step."""
    deadline = time.monotonic() + wait_s
    while True:
        try:
            conn.execute(f"PRAGMA page_size = {PAGE_BYTES}")
            mode = conn.execute("PRAGMA journal_mode = WAL").fetchone()[0]
            break
        except sqlite3.OperationalError as error:
            if primary_code(error) != sqlite3.SQLITE_BUSY or time.monotonic() > deadline:
                raise
            time.sleep(0.02)
    if mode != "wal":
        raise StoreProblem(
            "this disk cannot hold a workbench safely (it offers no shared memory; is it a network drive?)",
            where=str(path),
            todo="choose a place on a local disk with --workbench",
        )
    # After a large import the log would otherwise keep its greatest length.
    conn.execute(f"PRAGMA journal_size_limit = {16 * 2**20}")
