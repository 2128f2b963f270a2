"""Can I plug this into that, and what happens? Levels, wiring and paperwork for live events.

Five lines do it (docs/python.md)::

    import levelhead

    show = levelhead.load("friday.yaml")
    solution = levelhead.solve(show)
    print(levelhead.check(show))
    levelhead.plot(solution, "friday.svg")
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from levelhead.api import ask, check, load, plot, save, solve
    from levelhead.errors import LevelheadError

__all__ = ["LevelheadError", "ask", "check", "load", "plot", "save", "solve"]

_ELSEWHERE: Final = {"LevelheadError": "levelhead.errors"}


def __getattr__(name: str) -> Any:
    """Import what is used first when it is used: ``import levelhead`` stays quick."""
    if name not in __all__:
        raise AttributeError(f"module 'levelhead' has no attribute {name!r}")
    return getattr(import_module(_ELSEWHERE.get(name, "levelhead.api")), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
