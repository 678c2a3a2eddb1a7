"""Under which names and addresses this computer can be reached from the local network."""

from __future__ import annotations

import socket
from contextlib import suppress

# Asking the way to an address that is nobody's sends nothing, and tells which of our addresses would be used.
NOBODYS = (("192.0.2.1", socket.AF_INET), ("198.51.100.1", socket.AF_INET))


def addresses() -> tuple[str, ...]:
    """This computer's addresses on local networks, the likeliest first; none where it is on none."""
    found = [address for target, family in NOBODYS if (address := _way_to(target, family))]
    with suppress(OSError):
        told = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
        found += [str(info[4][0]) for info in told]
    return tuple(dict.fromkeys(each for each in found if not each.startswith("127.")))


def names() -> tuple[str, ...]:
    """This computer's names on local networks."""
    own = socket.gethostname().lower()
    return tuple(dict.fromkeys((own, f"{own.partition('.')[0]}.local")))


def _way_to(target: str, family: socket.AddressFamily) -> str | None:
    with socket.socket(family, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect((target, 9))
        except OSError:
            return None
        return str(asking.getsockname()[0])
