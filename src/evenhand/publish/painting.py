"""Pictures to pixels, here or in a process of its own (``python -m evenhand.publish.painting``).

The library that paints lets no other thread run meanwhile, so that only a further process uses another core.
It imports as little as it can, to be there at once.
"""

from __future__ import annotations

import pickle
import signal
import sys
from contextlib import suppress


def painted(svg: str) -> bytes:
    """An SVG without text and variables as PNG, a pixel for each of its units."""
    import vl_convert

    png: bytes = vl_convert.svg_to_png(svg, scale=1.0, ppi=72)
    return png


def serve() -> None:
    """Paint what comes in, one picture after the other, until nothing more does."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who is interrupted is the one that asked, and ends this
    with suppress(EOFError):
        while True:
            svg = pickle.load(sys.stdin.buffer)  # noqa: S301  (the process that started this one wrote it)
            pickle.dump(painted(svg), sys.stdout.buffer, pickle.HIGHEST_PROTOCOL)
            sys.stdout.buffer.flush()


if __name__ == "__main__":
    serve()
