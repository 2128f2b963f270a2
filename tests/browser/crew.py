"""People at one show in browsers of their own, for tests of several devices."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from playwright.sync_api import Locator, Page

from levelhead.web.access.passes import NAME_COOKIE

PATIENCE_MS = 20_000  # a program that has just begun, on a machine that does other things
OpenPage = Callable[..., Page]


@dataclass(frozen=True, slots=True)
class Person:
    """One person's page of the open show."""

    page: Page

    def cell(self, row: str, column: str) -> Locator:
        return self.page.locator(f'tr[data-row="{row}"] td[data-column="{column}"]')

    def type(self, row: str, column: str, text: str) -> None:
        """Type into a cell of the input list and go on."""
        self.cell(row, column).focus()
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")

    def line(self, what: str) -> Locator:
        """What stands under an id: ``file``, ``lost``, ``told``, ``people``."""
        return self.page.locator(f"#{what}")


def comes(open_page: OpenPage, address: str, name: str, **more: object) -> Person:
    """Somebody opens the show under a name."""
    page = open_page(**more)
    page.context.add_cookies([{"name": NAME_COOKIE, "value": name, "url": address}])
    page.goto(f"{address}show", timeout=PATIENCE_MS)
    page.wait_for_selector("body[data-ready]", timeout=PATIENCE_MS)
    return Person(page)
