"""What most runs do not need, loaded when it is first used. Imports nothing of ours.

It still stands at the top of the file that uses it, where people, the type checker and the import
contracts see it; only Python passes it by:

    if TYPE_CHECKING:
        from ..slips.coverage import coverage
    else:
        coverage = later("loopwright.slips.coverage", "coverage")
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

__all__ = ["later"]


def later(module: str, name: str = "") -> object:
    """A function of a module, by the full name of the module and its own; without `name` the module. Loaded
    once it is called, or something is asked of it."""
    return _function(module, name) if name else _Module(module)


class _Module:
    """Stands for a module, and looks everything up in it."""

    __slots__ = ("_name",)

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, what: str) -> object:
        return getattr(import_module(self._name), what)


def _function(module: str, name: str) -> Callable[..., object]:
    def called(*given: object, **named: object) -> object:
        found: object = getattr(import_module(module), name)(*given, **named)
        return found

    return called
