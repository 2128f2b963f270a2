"""The files of ``docs/formats.md``, saved as its reader saves them."""

from __future__ import annotations

import contextlib
import io
import shlex
from pathlib import Path

import pytest

from levelhead.cli import main
from levelhead.gear.book import GearBook, load_book
from levelhead.planning.check import Check, check_show
from levelhead.show.document import ShowDocument, load_show
from tests.docs.page import PAGE


class Desk:
    """A folder with all shows, gear types and lists of the page, and a prompt in it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for example in [*PAGE.examples("show"), *PAGE.examples("gear"), *PAGE.examples("list")]:
            path = folder / example.what.split()[1]
            path.parent.mkdir(exist_ok=True)
            path.write_text(example.text, encoding="utf-8")

    def read(self, name: str) -> str:
        """Text of a file."""
        return (self.folder / name).read_text(encoding="utf-8")

    def load(self, name: str) -> ShowDocument:
        """A show."""
        return load_show(self.folder / name)

    @property
    def book(self) -> GearBook:
        """The gear book with the types that the page adds."""
        return load_book(self.folder / "my-gear")

    def check(self, document: ShowDocument) -> Check:
        """A show, solved and judged."""
        return check_show(document.show, self.book, document)

    def run(self, command: str) -> tuple[int, str]:
        """Status and output of a command that is typed in the folder."""
        said = io.StringIO()
        with contextlib.chdir(self.folder), contextlib.redirect_stdout(said):
            try:
                status = main(shlex.split(command)[1:])
            except SystemExit as stopped:
                status = int(str(stopped.code))
        return status, said.getvalue()


@pytest.fixture(scope="session")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """The page's files, for all tests; nobody changes them."""
    return Desk(tmp_path_factory.mktemp("formats"))
