"""Show files: load, change, save.

A document keeps the text it was read from beside the show. An unchanged show gives back the same
bytes; a changed one is written over the text, so that comments, order and the spelling of what
stayed the same survive.
"""

from __future__ import annotations

import os
from functools import cached_property
from pathlib import Path

from levelhead.errors import ShowError
from levelhead.show.model import Link, Show
from levelhead.show.read.problems import located
from levelhead.show.read.reading import Reading, read_show
from levelhead.show.written.plain import plain_show
from levelhead.show.written.splice import spliced
from levelhead.show.written.whole_files import (
    BYTE_ORDER_MARK,
    LARGEST_FILE,
    check_size,
    decoded,
    disk_error,
    read_whole,
    write_whole,
)
from levelhead.show.written.writing import show_text
from levelhead.show.yaml.text import YamlText

__all__ = ["ShowDocument", "load_show", "new_document", "parse_show", "save_show"]


class ShowDocument:
    """A show and the text that it stands in.

    Documents are values: :meth:`with_show` gives another one. ``name`` is the file in messages;
    ``path`` and ``on_disk`` are where the text came from and what stood there, if it came from a
    file.
    """

    def __init__(
        self,
        reading: Reading,
        show: Show,
        *,
        path: Path | None = None,
        on_disk: bytes | None = None,
    ) -> None:
        self._base = reading
        self.show = show
        self.path = path
        self.on_disk = on_disk

    @property
    def name(self) -> str:
        """Name of the file in messages."""
        return self._base.source.name

    def text(self) -> str:
        """The show as the text of a file. Unchanged since it was read: the very same text."""
        return self._current.source.text

    def with_show(self, show: Show) -> ShowDocument:
        """The document with another show in it; only what differs will be written anew."""
        return ShowDocument(self._base, show, path=self.path, on_disk=self.on_disk)

    def content(self) -> bytes:
        """The bytes of the file: its text in UTF-8, with the mark before it that it had."""
        text = self.text()
        marked = self.on_disk is not None and self.on_disk.startswith(BYTE_ORDER_MARK.encode())
        return (BYTE_ORDER_MARK + text if marked else text).encode("utf-8")

    def with_text(self, text: str) -> ShowDocument:
        """The document with another text typed into it.

        Raises
        ------
        ShowError
            The text is no show; see :func:`parse_show`.
        """
        reading = _reading(text.removeprefix(BYTE_ORDER_MARK), self.name)
        return ShowDocument(reading, reading.show, path=self.path, on_disk=self.on_disk)

    def on(self, content: bytes | None) -> ShowDocument:
        """The same show and text, to be written over a file that holds this by now."""
        return ShowDocument(self._base, self.show, path=self.path, on_disk=content)

    def where(self, *path: str | int) -> str:
        """Place of a field as ``file:line:column``, or of the nearest thing around it.

        Parameters
        ----------
        *path : str or int
            Names as in the file, e.g. ``"settings", "desk", "ch1", "gain"``. A number after
            ``"links"`` counts the links of the show from 0, those that stand in one entry by a
            range one by one.
        """
        if path[:1] == ("links",) and len(path) > 1 and isinstance(path[1], int):
            path = ("links", self._entry_of_link(path[1]), *path[2:])
        current = self._current
        return current.source.place(located(current.root, path)[0])

    def where_setting(self, address: str) -> str:
        """Place of a setting by its flat address, or of its block if it has the default."""
        return self.where("settings", *address.split("."))

    def where_item(self, item: str) -> str:
        """Place of an item."""
        return self.where("items", item)

    def where_link(self, link: Link) -> str:
        """Place of the entry that a link stands in."""
        links = self.show.links
        return self.where("links", *([links.index(link)] if link in links else []))

    def _entry_of_link(self, number: int) -> int:
        """Which entry of ``links`` a link of the show stands in."""
        for entry, links in enumerate(self._current.written_links):
            number -= len(links)
            if number < 0:
                return entry
        return len(self._current.written_links)

    @cached_property
    def _current(self) -> Reading:
        """The text that this show has, read anew if the show was changed."""
        base = self._base
        if _is_same(base.show, self.show):
            return base
        text = spliced(
            base.source.text,
            base.root,
            plain_show(base.show),
            plain_show(self.show),
            written_links=base.written_links,
            links=self.show.links,
        )
        return _proven(YamlText(text, base.source.name), self.show)


def _is_same(one: Show, other: Show) -> bool:
    """Equal, and items and sources in the same order."""
    orders = (list(one.items) == list(other.items), list(one.sources) == list(other.sources))
    return one == other and all(orders)


def _proven(source: YamlText, show: Show) -> Reading:
    """The reading of a text that was written for a show: it must give that show back."""
    try:
        reading = read_show(source)
    except ShowError as error:
        errors = [
            ShowError(
                f"this show cannot be written: {each.what}",
                where=each.where,
                expected=each.expected,
                remedy=each.remedy,
            )
            for each in error.errors
        ]
        raise ShowError.collected(errors, where=source.name) from error
    if not _is_same(reading.show, show):
        raise ShowError(
            "this show cannot be written over its text",
            where=source.name,
            expected="the same show when the text is read back",
            remedy="Write it to a new file; the old one stays as it is.",
        )
    return reading


def parse_show(text: str, name: str) -> ShowDocument:
    """A show from text; ``name`` stands for the file in messages.

    Raises
    ------
    ShowError
        With all that is wrong, each as ``name:line:column``, the field, what was read, what was
        expected, what to do.
    """
    reading = _reading(text, name)
    return ShowDocument(reading, reading.show)


def _reading(text: str, name: str) -> Reading:
    check_size(len(text.encode("utf-8", "surrogatepass")), name)
    return read_show(YamlText(text, name))


def new_document(show: Show, name: str) -> ShowDocument:
    """A document for a show that has no text yet, e.g. one that came from a spreadsheet.

    Raises
    ------
    ShowError
        The show has something that no file can hold, such as a link to an item that is not there.
    """
    return ShowDocument(_proven(YamlText(show_text(show), name), show), show)


def load_show(path: str | os.PathLike[str]) -> ShowDocument:
    """A show from a file.

    Raises
    ------
    ShowError
        The file cannot be read or is no show; see :func:`parse_show`.
    """
    place = Path(path)
    content = read_whole(place)
    text = decoded(content, str(place))
    document = parse_show(text, str(place))
    return ShowDocument(document._base, document.show, path=place, on_disk=content)  # noqa: SLF001 - its own class


def save_show(
    document: ShowDocument, path: str | os.PathLike[str], *, replace: bool = False
) -> ShowDocument:
    """Save a show: whole or not at all, never over a change that somebody else made.

    Parameters
    ----------
    document : ShowDocument
        What to save.
    path : path
        Where to.
    replace : bool
        Whether to write over whatever stands there.

    Returns
    -------
    ShowDocument
        The document as it is on disk now: go on with this one.

    Raises
    ------
    ShowError
        The file changed on disk since the document was loaded from it, another file stands there,
        or the disk says no.
    """
    place = Path(path)
    content = document.content()
    if not replace:
        _check_unchanged(document, place)
    try:
        write_whole(place.resolve(), content)
    except OSError as error:
        raise disk_error(place, error, "written") from None
    return ShowDocument(document._current, document.show, path=place, on_disk=content)  # noqa: SLF001 - its own class


def _check_unchanged(document: ShowDocument, path: Path) -> None:
    """What stands on disk is what the document was read from, or nothing."""
    try:
        now = path.read_bytes() if path.stat().st_size <= LARGEST_FILE else b""
    except FileNotFoundError:
        return
    except OSError as error:
        raise disk_error(path, error, "written") from None
    if document.path is None or path.resolve() != document.path.resolve():
        raise ShowError(
            "another file stands there",
            where=str(path),
            expected="the file that was loaded, or a new name",
            remedy="Choose another name, or say that it may be replaced.",
        )
    if now != document.on_disk:
        raise ShowError(
            "the file was changed by somebody else since it was loaded",
            where=str(path),
            expected="the text that was loaded",
            remedy="Load it again and repeat the change, or save under another name.",
        )
