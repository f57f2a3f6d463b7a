"""ngspice as a library in this process (Debian package libngspice0), by ctypes: load a circuit once, run it often."""

from __future__ import annotations

import ctypes
import ctypes.util
from ctypes import CFUNCTYPE, POINTER, c_bool, c_char_p, c_double, c_int, c_void_p

_TALK = CFUNCTYPE(c_int, c_char_p, c_int, c_void_p)
_EXIT = CFUNCTYPE(c_int, c_int, c_bool, c_bool, c_int, c_void_p)
_DATA = CFUNCTYPE(c_int, c_void_p, c_int, c_int, c_void_p)
_INIT = CFUNCTYPE(c_int, c_void_p, c_int, c_void_p)
_BACK = CFUNCTYPE(c_int, c_bool, c_int, c_void_p)


class _Vector(ctypes.Structure):
    """The head of ngspice's vector_info."""

    _fields_ = (
        ("name", c_char_p),
        ("kind", c_int),
        ("flags", ctypes.c_short),
        ("real", POINTER(c_double)),
        ("complex", c_void_p),
        ("length", c_int),
    )


def installed() -> str | None:
    """Return the library's name, or None where it is not installed."""
    return ctypes.util.find_library("ngspice")


class Simulator:
    """One running ngspice; there can be only one in a process."""

    def __init__(self) -> None:
        name = installed()
        assert name is not None
        self._library = ctypes.CDLL(name)
        self._library.ngGet_Vec_Info.restype = POINTER(_Vector)
        self._library.ngGet_Vec_Info.argtypes = [c_char_p]
        self.words: list[str] = []
        self._heard = (
            _TALK(self._hear),
            _TALK(lambda *_: 0),
            _EXIT(lambda *_: 0),
            _DATA(lambda *_: 0),
            _INIT(lambda *_: 0),
            _BACK(lambda *_: 0),
        )
        assert self._library.ngSpice_Init(*self._heard, None) == 0

    def _hear(self, words: bytes, *_: object) -> int:
        self.words.append(words.decode("utf-8", errors="replace"))
        return 0

    def load(self, netlist: str) -> None:
        """Take in a circuit; control lines are left out."""
        text, _, rest = netlist.partition(".control")
        lines = [*text.splitlines(), *rest.partition(".endc")[2].splitlines()]
        encoded = [line.encode("utf-8") for line in lines if line.strip()]
        array = (c_char_p * (len(encoded) + 1))(*encoded, None)
        assert self._library.ngSpice_Circ(array) == 0

    def command(self, words: str) -> None:
        """Run one command."""
        assert self._library.ngSpice_Command(words.encode("utf-8")) == 0

    def voltage(self, node: str) -> float:
        """Return the last operating point's voltage of a node [V]."""
        found = self._library.ngGet_Vec_Info(f"v({node})".encode())
        assert found, f"no voltage of {node}: {self.words[-3:]}"
        return float(found.contents.real[0])
