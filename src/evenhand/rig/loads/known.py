"""Which loads there are, and which of their answers this program knows by itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from evenhand.errors import NotFound, nearest

Touch = Callable[[memoryview], None]  # is shown what was just worked out; a test flips a bit in it
Work = Callable[[int, Touch], str]  # the digest of a case


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A load: its name, what it does, the module that does it, and how many cases its rounds go through.

    `version` changes with any answer. `answers` are those that the program knows: the same on every machine.
    Where there are none they are worked out at stock. `stages` is how often a round, at the least, shows what
    it has in hand.
    """

    name: str
    about: str
    version: int
    cases: int
    stages: int
    numpy: bool = False
    answers: tuple[str, ...] = ()

    @property
    def module(self) -> str:
        """Where its work is, to be imported by whoever does it."""
        return f"evenhand.rig.loads.{self.name}"


_ALL = (
    Load(
        name="integers",
        about="hash chains and products of long whole numbers", version=1, cases=8, stages=16,
        answers=(
            "e63eb4e625dca57e6e82aac9b907d27689ffb266288bcee96e31ab9b6e010ee1",
            "e616b8b61ba767139adec08c6be2f87816c897d2cd651642ba1bd26db4793c8c",
            "4dd0d1f047cc5d011e051c93f8433a6298bcc9c6582f19fada9faf8e766d5a77",
            "d6ec0133e07d7cec37adb28138ab505b6853a0bef2fc1376eb1b0f839622f7fd",
            "35376d98fbbb3898a321943137142fd20596b1e37de06ffc2dadb25c1791fb26",
            "265c3843498dd1db80c98a9f3686abda555265ba41b2db0d13c65a77f5b79713",
            "f1b2acc1906aa4f544f17b7212154061aa26c1e0e3a2496e5194a982944b8539",
            "aae5d22a1b26ff5cc96223c7f92c6ccc626706ae5a448b6b4ed7b6b4371ea3c1",
        ),
    ),
    Load(
        name="patterns", about="memory filled, moved and compared", version=1, cases=8, stages=2,
        answers=(
            "8cd66c0067f5824edbd967efc4f03d328c6a58727b96b37736e26638eba47fb0",
            "9f2983f32cb8754a9ae349a10f1d58b144c901429ee229814681220965c32937",
            "3a5354a0b99bb674bcaca23c500e7e66991fa8120e461a7cc20392ae5dd08630",
            "1ffcdef2a3c5574297bc5115366b09302383daf12564a235629713260926e75c",
            "40c311747d8205e85b061a2dfa4a7cd818b959018e62abc0eef7beff0ea4d7fe",
            "34194c191554fe9112b2cce1c6a9da2ed998cb157a7d314c88233feb09ea0d26",
            "0e8deb8c0ff7335bdc930b62c4b2a3cc80daaea9c85d26f4b8eea7267180be17",
            "f6bad02de5a2ab1e70b84fc75ea01bd2b10fe34b77058afe561c0a6aa0074985",
        ),
    ),
    Load(
        name="products", about="products of matrices of whole numbers, exact in doubles", version=1, cases=8,
        stages=24, numpy=True,
        answers=(
            "2a8d08f0c626af4597717b7c66e64829dfb2bd4e8d3e072bdee92b93ba9ac16b",
            "157ab1b01888a0dc0045671bf0fc83854f7d6b7ea9ffea5bfb879410069c67d0",
            "80bdcb1a92f52e9377fef96326502f3a82c36a341006e540c50bc7f338b53d9c",
            "2efb22f2abff862f1de54469ccf0c42430a8a31c9e1af5212637099f9f9f0ccd",
            "1e2f42234e3bd363d837a81b8477a0f173d8c53cb31f18974d5418ba9d53d959",
            "83a0138ac87cbb038799e59fe1b58c1954d4e97b2d9661827ff4a130c1c1774b",
            "e0bcee11099992f655d118da7bf4a1d5c383dfe819f0c2a2e86c5f406740e0fb",
            "1a7bd7ff60704141495b9ec9107b3903ebcf7f2e988c4145b16945b40944bee9",
        ),
    ),
    Load(
        name="transforms", about="Fourier transforms there and back", version=1, cases=4, stages=16,
        numpy=True,
    ),
)  # fmt: skip

LOADS = {load.name: load for load in _ALL}


def load_named(name: str) -> Load:
    """The load of this name. Raises NotFound where there is none."""
    if name not in LOADS:
        raise NotFound(f"no load is called '{name}'", where="--load", todo=nearest(name, LOADS))
    return LOADS[name]
