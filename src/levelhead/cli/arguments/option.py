"""Kinds of options: a flag, a value, one that may be repeated, several words behind one."""

from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

__all__ = ["Option", "flag", "repeated", "value", "words"]


@dataclass(frozen=True, slots=True)
class Option:
    """One argument of a command: its names, and how ``argparse`` reads it."""

    names: tuple[str, ...]
    read: Mapping[str, Any]

    def add_to(self, parser: ArgumentParser) -> None:
        """Let a parser know it."""
        parser.add_argument(*self.names, **self.read)

    @property
    def says(self) -> str:
        """What it does."""
        return str(self.read["help"]).replace("%%", "%")  # a percent sign as argparse wants it

    @property
    def typed(self) -> str:
        """As it is typed; a word that may be left out stands in brackets.

        >>> value("-o", "--output", metavar="FILE", says="file to write").typed
        '-o, --output FILE'
        >>> value("show", metavar="SHOW", says="show file", nargs="?").typed
        '[SHOW]'
        """
        choices = ",".join(self.read.get("choices", ()))
        given = self.read.get("metavar") or (f"{{{choices}}}" if choices else "NUMBER")
        if not self.names[0].startswith("-"):
            return f"[{given}]" if self.read.get("nargs") in ("?", "*") else str(given)
        names = ", ".join(self.names)
        return names if self.read.get("action") == "store_true" else f"{names} {given}"


def flag(*names: str, says: str) -> Option:
    """An option that is there or not."""
    return Option(names, {"action": "store_true", "help": says})


def value(*names: str, says: str, **read: Any) -> Option:
    """An option with a value, or (without dashes) a word in its place; ``read`` as for argparse."""
    return Option(names, {"help": says, **read})


def repeated(*names: str, metavar: str, says: str) -> Option:
    """An option that may be given several times."""
    return Option(names, {"action": "append", "default": [], "metavar": metavar, "help": says})


def words(*names: str, metavar: str, says: str, default: list[str] | None = None) -> Option:
    """An option with one word or several behind it; more of the same add to them."""
    read = {"nargs": "+", "action": "extend", "metavar": metavar, "default": default}
    return Option(names, {**read, "help": says})
