"""Dataclasses as the standard library makes them, made in a fifth of the time.

A command imports hundreds of them, and the standard library (Python 3.11) writes and compiles every
method of each as text: 0.4 ms for a frozen one, a quarter of what a question took. Only
``__init__`` needs that; what the other methods do follows from the names of the fields.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, Field, FrozenInstanceError
from operator import attrgetter
from typing import TYPE_CHECKING, Any, Final, NoReturn

__all__ = ["dataclass"]

_AFTER: Final = "__post_init__"


def _dataclass(
    *,
    frozen: bool = False,
    slots: bool = False,
    kw_only: bool = False,
    eq: bool = True,
    repr: bool = True,  # noqa: A002 - the name that it has in the standard library
) -> Callable[[type], type]:
    """:func:`dataclasses.dataclass` with these of its options; what is made does the same.

    So do ``fields``, ``replace``, ``asdict``, copies, pickles, patterns of ``match``, and hashes
    are equal. Not offered: ``order``, ``unsafe_hash``, ``InitVar``; a base or a heir that is a
    frozen dataclass must be made here too.
    """

    def made(kind: type) -> type:
        written = {name for name in vars(kind) if name != "__hash__" or vars(kind)[name]}
        plain: type = dataclasses.dataclass(
            init=False, repr=False, eq=False, slots=slots, kw_only=kw_only
        )(kind)
        methods: dict[str, Any] = {"__init__": _init(plain, is_frozen=frozen)}
        methods |= {"__repr__": _represented} if repr else {}
        methods |= _equality(plain, is_frozen=frozen) if eq else {}
        methods |= _FROZEN if frozen else {}
        methods |= _STATE if frozen and slots else {}
        for name in methods.keys() - written:  # what a class says itself stands
            setattr(plain, name, methods[name])
        return plain

    return made


def _init(kind: type, *, is_frozen: bool) -> Callable[..., None]:
    """``__init__`` of a class by its fields: arguments in their order, defaults, what follows."""
    given: dict[str, Any] = {"_set_field": object.__setattr__, "_MISSING": MISSING}
    by_place, by_name, lines = ["self"], ["*"], []
    for each in dataclasses.fields(kind):
        argument, value = _argument(each, given)
        if argument:
            (by_name if each.kw_only else by_place).append(argument)
        if value and is_frozen:
            lines.append(f" _set_field(self, {each.name!r}, {value})")
        elif value:
            lines.append(f" self.{each.name} = {value}")
    if hasattr(kind, _AFTER):
        lines.append(f" self.{_AFTER}()")
    arguments = ", ".join([*by_place, *(by_name if len(by_name) > 1 else [])])
    exec("\n".join([f"def __init__({arguments}):", *lines, " return None"]), given)  # noqa: S102 - our own text
    init: Callable[..., None] = given["__init__"]
    init.__qualname__ = f"{kind.__qualname__}.__init__"  # a wrong call names the class
    return init


def _argument(field: Field[Any], given: dict[str, Any]) -> tuple[str, str]:
    """How a field stands among the arguments, and its value; what both name goes into ``given``."""
    name = field.name
    if field.default_factory is not MISSING:
        given[f"_make_{name}"] = field.default_factory
        made = f"_make_{name}()"
        if not field.init:
            return "", made
        return f"{name}=_MISSING", f"{made} if {name} is _MISSING else {name}"
    if field.default is not MISSING:
        given[f"_default_{name}"] = field.default
        return (f"{name}=_default_{name}", name) if field.init else ("", f"_default_{name}")
    return (name, name) if field.init else ("", "")


def _equality(kind: type, *, is_frozen: bool) -> Mapping[str, Any]:
    """``__eq__`` by the tuple of the fields, and ``__hash__``, of frozen classes only."""
    names = [each.name for each in dataclasses.fields(kind) if each.compare]
    values = attrgetter(*names) if len(names) > 1 else _few(names)

    def equal(self: Any, other: object) -> Any:
        if other.__class__ is self.__class__:
            return values(self) == values(other)
        return NotImplemented

    def hashed(self: Any) -> int:
        return hash(values(self))

    return {"__eq__": equal, "__hash__": hashed if is_frozen else None}


def _few(names: list[str]) -> Callable[[Any], tuple[Any, ...]]:
    """The tuple of one field or none, which ``attrgetter`` does not give."""
    if not names:
        return lambda _: ()
    value = attrgetter(names[0])
    return lambda of: (value(of),)


def _represented(self: Any) -> str:
    shown = (each.name for each in dataclasses.fields(self) if each.repr)
    values = ", ".join(f"{name}={getattr(self, name)!r}" for name in shown)
    return f"{type(self).__qualname__}({values})"


def _no_set(_: object, name: str, value: object) -> NoReturn:  # noqa: ARG001 - Python's
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _no_delete(_: object, name: str) -> NoReturn:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, each.name) for each in dataclasses.fields(self)]


def _set_state(self: Any, state: Iterable[Any]) -> None:
    for each, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, each.name, value)


_FROZEN: Final[Mapping[str, Any]] = {"__setattr__": _no_set, "__delattr__": _no_delete}
_STATE: Final[Mapping[str, Any]] = {"__getstate__": _state, "__setstate__": _set_state}

if TYPE_CHECKING:  # to a reader of types it is the standard library's
    from dataclasses import dataclass
else:
    dataclass = _dataclass
