"""Whose one connection on this computer is, asked of Linux by its ports: a table of all takes long to write.

The message is the kernel's own (`linux/inet_diag.h`, an exact look-up), answered in microseconds.
"""

from __future__ import annotations

import errno
import socket
import struct

DIAGNOSIS, BY_FAMILY, REQUEST, FAILED = 4, 20, 1, 2
_HEAD = struct.Struct("=IHHII")  # length, kind, flags, sequence, sender
_ASKED = struct.Struct("=BBBBI")  # family, protocol, nothing more, padding, any state
_NUMBERS = struct.Struct(">HH16s16s")  # both ports and addresses
_REST = struct.Struct("=III")  # any interface, and no cookie
_FOUND = struct.Struct("=BBBB")  # family, state, timer, sent again
_WHOSE = struct.Struct("=IIIII")  # expires, two queues, user, inode
_HERE = socket.inet_aton("127.0.0.1").ljust(16, b"\0")
ANY_STATE = NO_COOKIE = 0xFFFFFFFF
WAIT_S = 1.0  # far longer than it takes


def owner_of(far: int, port: int) -> tuple[int, int] | None:
    """User and inode of the end at `far` of a connection to `port`, both here; None where there is none.

    An end that its program has let go of has inode 0. Raises OSError where the system does not tell.
    """
    told = _answer(far, port)
    kind = _HEAD.unpack_from(told)[1]
    if kind == FAILED and -struct.unpack_from("=i", told, _HEAD.size)[0] == errno.ENOENT:
        return None
    if kind != BY_FAMILY or len(told) < _HEAD.size + _FOUND.size + _NUMBERS.size + _REST.size + _WHOSE.size:
        raise OSError(errno.EPROTONOSUPPORT, "the system does not tell of one connection")
    at = _HEAD.size + _FOUND.size
    if _NUMBERS.unpack_from(told, at)[:2] != (far, port):  # whoever listens at the far port is no end of it
        return None
    *_, user, inode = _WHOSE.unpack_from(told, at + _NUMBERS.size + _REST.size)
    return user, inode


def _answer(far: int, port: int) -> bytes:
    """What the kernel says of this connection. Raises OSError where it cannot be asked."""
    asked = b"".join(
        (
            _ASKED.pack(socket.AF_INET, socket.IPPROTO_TCP, 0, 0, ANY_STATE),
            _NUMBERS.pack(far, port, _HERE, _HERE),
            _REST.pack(0, NO_COOKIE, NO_COOKIE),
        )
    )
    family = getattr(socket, "AF_NETLINK", None)
    if family is None:
        raise OSError(errno.EAFNOSUPPORT, "only Linux tells of one connection")
    with socket.socket(family, socket.SOCK_RAW, DIAGNOSIS) as line:
        line.settimeout(WAIT_S)
        line.send(_HEAD.pack(_HEAD.size + len(asked), BY_FAMILY, REQUEST, 0, 0) + asked)
        return line.recv(8192)
