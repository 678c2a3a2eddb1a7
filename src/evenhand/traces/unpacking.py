"""From the bytes of a file to plain text: gzip undone within bounds, the encoding found.

The text is handed on as UTF-8 bytes, whatever it was, since the fast reader takes bytes.
"""

from __future__ import annotations

import codecs
import re
import zlib
from dataclasses import dataclass

from evenhand.errors import BadLog
from evenhand.traces.flaws import CUT_ARCHIVE, MIXED_ENCODINGS, in_lines, place
from evenhand.traces.limits import MIB, Limits, check_size, in_mib
from evenhand.traces.trace import Flaw

GZIP_SIGN = b"\x1f\x8b"
RATIO_FLOOR_BYTES = 16 * MIB  # below this no ratio is worth refusing
_CHUNK_BYTES = MIB
_PACKED_BYTES = 64 * 1024
_SAMPLE_BYTES = 4096

# Longer marks first: the mark of UTF-32 LE begins with that of UTF-16 LE.
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_SIGNS = frozenset("°µ²³±·–—…×Åé®©™«»‘’“” ")  # what a log of numbers holds beyond ASCII
_LEGACY = ["cp1252", "cp1250", "cp1251", "cp1253", "cp1254", "cp850", "cp437", "iso8859_15", "koi8_r",
           "shift_jis", "gb18030", "euc_kr", "big5"]  # fmt: skip
_CONTROL = re.compile(rb"[\x01-\x08\x0e-\x1a\x1c-\x1f]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """A log as text: `body` in UTF-8 without a mark, what it was before, and what was wrong with it.

    `whole` is False where only the beginning was unpacked.
    """

    body: bytes
    encoding: str
    marked: bool = False
    gz: bool = False
    whole: bool = True
    flaws: tuple[Flaw, ...] = ()


def unpack(data: bytes, *, name: str, limits: Limits) -> Text:
    r"""The whole log as text.

    Raises BadLog for an empty file, one past a limit, a damaged archive, and bytes that are no text.

    >>> text = unpack("n;°C\n".encode("utf-16"), name="a.csv", limits=Limits())
    >>> text.encoding, text.body.decode()
    ('utf-16-le', 'n;°C\n')
    """
    check_size(len(data), name=name, limits=limits)
    if not data.startswith(GZIP_SIGN):
        return _decoded(data, name=name)
    raw, cut = _gunzip(data, name=name, limits=limits)
    text = _decoded(raw, name=name)
    flaws = (Flaw(kind=CUT_ARCHIVE, detail="the archive ends before its own end mark"),) if cut else ()
    return Text(
        body=text.body, encoding=text.encoding, marked=text.marked, gz=True, flaws=(*flaws, *text.flaws)
    )


def unpack_beginning(data: bytes, max_bytes: int, *, name: str, limits: Limits) -> Text:
    """Only the first `max_bytes` or so, for a look: cheap whatever the size of the file."""
    check_size(len(data), name=name, limits=limits)
    gz = data.startswith(GZIP_SIGN)
    if gz:
        raw, whole = _gunzip_beginning(data, max_bytes, name=name)
    else:
        raw, whole = data[:max_bytes], len(data) <= max_bytes
    text = _decoded(raw, name=name, whole=whole)
    return Text(body=text.body, encoding=text.encoding, marked=text.marked, gz=gz, whole=whole)


def _gunzip(data: bytes, *, name: str, limits: Limits) -> tuple[bytes, bool]:
    """The unpacked bytes, and whether the archive was cut short. Archives joined end to end are read on."""
    parts: list[bytes] = []
    inflater, total = zlib.decompressobj(wbits=31), 0
    for start in range(0, len(data), _PACKED_BYTES):
        packed = data[start : start + _PACKED_BYTES]
        while packed or (parts and len(parts[-1]) == _CHUNK_BYTES):
            if inflater.eof:
                packed = packed.lstrip(b"\0")
                if not packed:
                    break
                inflater = zlib.decompressobj(wbits=31)
            parts.append(_inflated(inflater, packed, _CHUNK_BYTES, name=name))
            total += len(parts[-1])
            _check_growth(total, start + len(packed), name=name, limits=limits)
            packed = inflater.unused_data or inflater.unconsumed_tail
    return b"".join(parts), not inflater.eof


def _gunzip_beginning(data: bytes, max_bytes: int, *, name: str) -> tuple[bytes, bool]:
    inflater = zlib.decompressobj(wbits=31)
    raw = _inflated(inflater, data[: max_bytes + 64], max_bytes, name=name)
    return raw, inflater.eof and not inflater.unused_data.strip(b"\0")


def _inflated(inflater: zlib._Decompress, packed: bytes, max_bytes: int, *, name: str) -> bytes:
    try:
        return inflater.decompress(packed, max_bytes)
    except zlib.error as error:
        raise _damaged(name, str(error)) from error


def _damaged(name: str, what: str) -> BadLog:
    return BadLog(f"the gzip archive is damaged ({what})", where=name, todo="copy or pack the file again")


def _check_growth(out_bytes: int, in_bytes: int, *, name: str, limits: Limits) -> None:
    if out_bytes > limits.max_unpacked_bytes:
        raise BadLog(
            f"the archive unpacks to more than {in_mib(limits.max_unpacked_bytes)}",
            where=name,
            todo="split it into one file a run",
        )
    if out_bytes > RATIO_FLOOR_BYTES and out_bytes > limits.max_unpack_ratio * in_bytes:
        raise BadLog(
            f"the archive unpacks to more than {limits.max_unpack_ratio:g} times its size, which no log does",
            where=name,
            todo="check where the file comes from; if it is a log, unpack it by hand and import that",
        )


def _decoded(raw: bytes, *, name: str, whole: bool = True) -> Text:
    if not raw:
        raise BadLog("the archive is empty", where=name, todo="record the run again")
    mark, encoding = next(((m, e) for m, e in _MARKS if raw.startswith(m)), (b"", ""))
    body = raw[len(mark) :] if mark else raw
    encoding = encoding or _by_zero_bytes(body)
    if encoding.startswith(("utf-16", "utf-32")):
        body = _from_wide(body, encoding, name=name, whole=whole)
        _refuse_binary(body, name=name)
        return Text(body=body, encoding=encoding, marked=bool(mark))
    _refuse_binary(body, name=name)
    if body.isascii():
        return Text(body=body, encoding=encoding or "ascii", marked=bool(mark))
    return _eight_bit(body, marked=bool(mark), whole=whole)


def _by_zero_bytes(body: bytes) -> str:
    """UTF-16 without a mark: digits and separators leave every second byte zero."""
    head = body[:_SAMPLE_BYTES]
    half = len(head) // 2
    even, odd = head[0::2].count(0), head[1::2].count(0)
    stray = max(1.0, 0.02 * half)
    if half and odd >= 0.4 * half and even <= stray:
        return "utf-16-le"
    if half and even >= 0.4 * half and odd <= stray:
        return "utf-16-be"
    return ""


def _from_wide(body: bytes, encoding: str, *, name: str, whole: bool) -> bytes:
    width = 2 if encoding.startswith("utf-16") else 4
    fits = body[: len(body) - len(body) % width]
    try:
        text = codecs.getincrementaldecoder(encoding)().decode(fits, final=whole)
        return text.encode()
    except UnicodeError as error:
        at = error.start if isinstance(error, UnicodeDecodeError) else 0
        line = fits[:at].decode(encoding, "replace").count("\n") + 1
        raise BadLog(
            f"the text begins as {encoding.upper()} but holds bytes that are not",
            where=place(name, line=line),
            todo="the file may be joined from two encodings, or damaged: export it again",
        ) from error


def _refuse_binary(body: bytes, *, name: str) -> None:
    zero = body.find(b"\0")
    if zero >= 0:
        line = body.count(b"\n", 0, zero) + 1
        raise BadLog(
            "zero bytes stand in the text: a binary file, or two encodings in one",
            where=place(name, line=line),
            todo="export the log as text, all in one encoding",
        )
    head = body[:_SAMPLE_BYTES]
    if len(_CONTROL.findall(head)) > 0.01 * len(head):
        raise BadLog("this is a binary file, not text", where=name, todo="export the log as text")


def _eight_bit(body: bytes, *, marked: bool, whole: bool) -> Text:
    if _decodes(body, "utf-8", final=whole):
        return Text(body=body, encoding="utf-8", marked=marked)
    lines = [(k, line) for k, line in enumerate(body.split(b"\n"), start=1) if not line.isascii()]
    strange = [k for k, line in lines if not _decodes(line, "utf-8")]
    if marked or len(strange) < len(lines):
        return _mixed(body, strange, len(lines), marked=marked)
    encoding = _legacy_encoding(body, whole=whole)
    return Text(body=body.decode(encoding, "replace").encode(), encoding=encoding)


def _mixed(body: bytes, strange: list[int], of: int, *, marked: bool) -> Text:
    """Whole lines are judged: two bytes of an old encoding may look like UTF-8 by chance, a line hardly."""
    rest = of - len(strange)
    others = "one other line beyond ASCII is" if rest == 1 else f"{rest:,} other lines beyond ASCII are"
    detail = f"{in_lines(strange)}: not UTF-8; {others}"
    flaw = Flaw(kind=MIXED_ENCODINGS, detail=detail, line=strange[0], count=len(strange))
    return Text(body=body.decode("utf-8", "replace").encode(), encoding="utf-8", marked=marked, flaws=(flaw,))


def _legacy_encoding(body: bytes, *, whole: bool) -> str:
    """The likeliest old 8-bit encoding of the lines that hold more than ASCII.

    Digits and separators are alike in all of them, so a wrong guess can only touch words.
    """
    lines = re.findall(rb"[^\n]*[\x80-\xff][^\n]*", body[: 64 * _SAMPLE_BYTES]) or [body]
    sample = b"\n".join(lines)[:_SAMPLE_BYTES]
    if {c for c in sample.decode("cp1252", "replace") if ord(c) > 127} <= _SIGNS:
        return "cp1252"
    from charset_normalizer import from_bytes  # a quarter of a second to import, rarely needed

    best = from_bytes(sample, cp_isolation=_LEGACY).best()
    return best.encoding if best is not None and _decodes(body, best.encoding, final=whole) else "cp1252"


def _decodes(body: bytes, encoding: str, *, final: bool = True) -> bool:
    """Whether the text fits this encoding; where it is only a beginning, its last letter may be cut.

    A piece at a time: the text as letters would take twice to four times its bytes.
    """
    decoder = codecs.getincrementaldecoder(encoding)()
    try:
        for start in range(0, len(body), _CHUNK_BYTES):
            decoder.decode(body[start : start + _CHUNK_BYTES])
        decoder.decode(b"", final=final)
    except UnicodeDecodeError:
        return False
    return True
