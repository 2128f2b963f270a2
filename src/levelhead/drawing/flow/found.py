"""What was found, as a drawing marks it: the worst verdict at each socket and at each item."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from levelhead.show.addresses import item_of
from levelhead.verdicts.told.severity import Severity

__all__ = ["Found", "Marks"]


class Found(Protocol):
    """What is known of a finding here: how bad it is, and where."""

    @property
    def severity(self) -> Severity:
        """Its verdict."""

    @property
    def where(self) -> str:
        """Its address."""

    @property
    def ports(self) -> tuple[str, ...]:
        """Sockets that it is about."""


class Marks:
    """The worst verdict at each address, at each item."""

    def __init__(self, findings: Iterable[Found]) -> None:
        self.at: dict[str, Severity] = {}
        self.of_item: dict[str, Severity] = {}
        for finding in findings:
            if finding.severity is Severity.FINE:
                continue
            for address in {finding.where, *finding.ports}:
                self._note(self.at, address, finding.severity)
            self._note(self.of_item, item_of(finding.where), finding.severity)

    @staticmethod
    def _note(known: dict[str, Severity], name: str, severity: Severity) -> None:
        if name not in known or severity.rank > known[name].rank:
            known[name] = severity

    def worst(self, addresses: Iterable[str]) -> str | None:
        """The worst at any of these addresses, as its word."""
        found = [self.at[each] for each in addresses if each in self.at]
        return max(found, key=lambda each: each.rank).value if found else None

    def item(self, item: str, sockets: Iterable[str]) -> str | None:
        """The worst that is found at an item or at its sockets."""
        found = [self.at[each] for each in sockets if each in self.at]
        found += [self.of_item[item]] if item in self.of_item else []
        return max(found, key=lambda each: each.rank).value if found else None
