"""Logs whose columns nobody can be sure of, by what makes them so."""

from __future__ import annotations

DOUBTFUL = {
    "a rate": b"t,fps\n" + b"".join(b"%d,%d.5\n" % (k, 58 + k % 3) for k in range(200)),
    "another delimiter": b"t_s;frame_ms\n" + b"".join(b"%d.5,16.%d\n" % (k, k % 10) for k in range(200)),
    "no agreement": b"t [s],frame [ms]\n" + b"".join(b"%d.5,16.%d\n" % (k, k % 10) for k in range(200)),
}
