"""Our dataclasses against those of the standard library: one class, made by both."""

from __future__ import annotations

import ast
import copy
import dataclasses
import pickle
import sys
from collections.abc import Callable
from dataclasses import field
from pathlib import Path
from types import ModuleType
from typing import Any, ClassVar, Final

import pytest

from levelhead.values import dataclass as ours

SOURCE: Final = Path(__file__).parents[1] / "src" / "levelhead"
MAKERS: Final = {"standard": dataclasses.dataclass, "ours": ours}
OPTIONS: Final = [
    {"frozen": frozen, "slots": slots, "kw_only": kw_only, "eq": eq, "repr": repr_}
    for frozen in (False, True)
    for slots in (False, True)
    for kw_only in (False, True)
    for eq in (False, True)
    for repr_ in (False, True)
]
Made = dict[str, Any]


def kinds(dataclass: Callable[..., Callable[[type], type]], options: dict[str, bool]) -> Made:
    """Classes of every shape that the project has."""

    class Level:
        """A class."""

        unit: ClassVar[str] = "dBu"
        level_db: float
        at: str = "desk"
        notes: list[str] = field(default_factory=list, compare=False)
        seen: int = field(default=0, repr=False)

    class One:
        """A class of one field."""

        level_db: float

    class Empty:
        """A class of none."""

    class Reached:
        """A class that works out a field."""

        given: int
        doubled: int = field(init=False)
        fixed: int = field(init=False, default=7)
        made: dict[str, int] = field(init=False, default_factory=dict)

        def __post_init__(self) -> None:
            object.__setattr__(self, "doubled", 2 * self.given)

    class Own:
        """A class that says itself what is equal, and how it prints."""

        given: int

        def __eq__(self, other: object) -> bool:
            return isinstance(other, type(self))

        def __hash__(self) -> int:
            return 5

        def __repr__(self) -> str:
            return "own"

    made = {k.__name__: dataclass(**options)(k) for k in (Level, One, Empty, Reached, Own)}

    class Later(made["One"]):  # type: ignore[misc] # a base that mypy cannot follow
        """An heir."""

        more: int = 3

    made["Later"] = dataclass(**options)(Later)
    return made


@pytest.fixture(params=OPTIONS, ids=lambda options: "-".join(k for k, on in options.items() if on))
def both(request: pytest.FixtureRequest) -> dict[str, Made]:
    return {name: kinds(maker, request.param) for name, maker in MAKERS.items()}


CALLS: Final[list[tuple[str, dict[str, Any]]]] = [
    ("Level", {"level_db": 4.0}),
    ("Level", {"level_db": 4.0, "at": "box", "notes": ["loud"], "seen": 2}),
    ("Level", {}),
    ("Level", {"level_db": 4.0, "unit": "V"}),
    ("One", {"level_db": float("nan")}),
    ("One", {"level_db": [1]}),
    ("Empty", {}),
    ("Reached", {"given": 2}),
    ("Reached", {"given": 2, "doubled": 4}),
    ("Own", {"given": 1}),
    ("Later", {"level_db": 1.0}),
    ("Later", {"level_db": 1.0, "more": 4}),
]


def told(what: Callable[[], Any]) -> Any:
    """What comes of it, or the error, but for what a class is called inside this test."""
    try:
        return what()
    except Exception as error:  # noqa: BLE001 - any error has to be the same
        return type(error), str(error)


def facts(kind: type, given: dict[str, Any]) -> dict[str, Any]:
    """All that can be seen of a class and one of its values."""
    try:
        one, other = kind(**given), kind(**given)
    except TypeError as error:
        return {"error": str(error)}
    names = [each.name for each in dataclasses.fields(one)]
    # with slots the standard library's frozen classes trip over an unknown name (a TypeError)
    touched = [*names, *(["unknown"] if hasattr(one, "__dict__") else [])]
    return {
        "by place": told(lambda: kind(*given.values()) and None),
        "values": [getattr(one, name, "none") for name in names],
        "asdict": dataclasses.asdict(one),
        "equal": (one == one, one == other, one != other, one == 3),  # noqa: PLR0124
        "hash": told(lambda: hash(one)) if kind.__eq__ is not object.__eq__ else "by place",
        "repr": repr(one) if kind.__repr__ is not object.__repr__ else "by place",
        "set": [told(lambda n=n: setattr(other, n, 3)) for n in touched],
        "deleted": [told(lambda n=n: delattr(other, n)) for n in touched],
        "copied": dataclasses.asdict(copy.deepcopy(one)),
        "replaced": told(lambda: dataclasses.asdict(dataclasses.replace(one, **given))),
        "match": kind.__match_args__,  # type: ignore[attr-defined] # every dataclass has them
        "slots": getattr(kind, "__slots__", None),
        "has dict": hasattr(one, "__dict__"),
        "doc": kind.__doc__,
    }


@pytest.mark.parametrize(("name", "given"), CALLS, ids=str)
def test_a_class_is_what_the_standard_library_makes_of_it(
    both: dict[str, Made], name: str, given: dict[str, Any]
) -> None:
    """The oracle is :mod:`dataclasses`: values, equality, hashes, prints, errors word by word."""
    expected = facts(both["standard"][name], given)
    assert repr(facts(both["ours"][name], given)) == repr(expected)


@pytest.mark.parametrize("options", OPTIONS, ids=str)
def test_values_are_pickled_as_the_standard_library_does(
    options: dict[str, bool], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A worker gets them in another process: frozen ones with slots too."""
    for name, maker in MAKERS.items():
        home = ModuleType(f"home_of_{name}")
        monkeypatch.setitem(sys.modules, home.__name__, home)
        for kind in kinds(maker, options).values():
            kind.__module__, kind.__qualname__ = home.__name__, kind.__name__
            setattr(home, kind.__name__, kind)
        value = home.Reached(given=4)
        again = pickle.loads(pickle.dumps(value))  # noqa: S301 - written a line before
        assert type(again) is home.Reached
        assert dataclasses.asdict(again) == dataclasses.asdict(value)


def test_every_dataclass_of_ours_is_made_quickly() -> None:
    """One import of the other kind costs 0.4 ms a class, and frozen ones do not mix."""
    slow = [
        str(path.relative_to(SOURCE))
        for path in sorted(SOURCE.rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom) and node.module == "dataclasses"
        if path.name != "values.py" and any(each.name == "dataclass" for each in node.names)
    ]
    assert slow == []
