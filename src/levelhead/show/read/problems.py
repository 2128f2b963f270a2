"""Errors of a show file with their places: ``friday.yaml:41:11, items.vox-1.lable: ...``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Final, TypeAlias

from pydantic import ValidationError

from levelhead.errors import ShowError
from levelhead.show.addresses import shortened
from levelhead.show.names import Path, did_you_mean, path_text
from levelhead.show.read.fields import UNFIT
from levelhead.show.read.schema import fields_of
from levelhead.show.yaml.text import YamlText
from levelhead.show.yaml.tree import MapNode, Node, ScalarNode, SeqNode

__all__ = ["Problems", "located"]

MOST_ERRORS: Final = 50  # that are listed at once; nobody mends more before reading the file again
MOST_LOOKED_AT: Final = 200  # errors that are worded; the rest are counted
_KEY: Final = "[key]"  # how pydantic marks an error in a name instead of its value


def located(root: Node, path: Path) -> tuple[int, Node]:
    """Where a field stands, or the nearest thing around it: its place in the text, and its node.

    A single value stands where it begins; a mapping or list of entries, at its name.
    """
    index, node = root.start, root
    for part in path:
        if (
            isinstance(node, MapNode)
            and isinstance(part, str)
            and (entry := node.entry(part)) is not None
        ):
            index, node = entry.key.start, entry.value
        elif isinstance(node, SeqNode) and isinstance(part, int) and part < len(node.items):
            index, node = node.items[part].start, node.items[part]
        else:
            break
    if isinstance(node, ScalarNode):
        index = node.start
    return index, node


@dataclass(eq=False)
class Problems:
    """Collects what is wrong with one file, so that people mend ten at once."""

    source: YamlText
    root: Node
    earlier: list[ShowError] = field(default_factory=list)
    _found: list[tuple[int, ShowError]] = field(default_factory=list)
    _unworded: int = 0

    @property
    def errors(self) -> list[ShowError]:
        """All errors so far: those of the YAML, then the others in the order of the file."""
        in_order = sorted(self._found, key=lambda found: found[0])
        return [*self.earlier, *(error for _, error in in_order)]

    @property
    def is_full(self) -> bool:
        """Whether there are so many errors that no more are worded."""
        return len(self._found) >= MOST_LOOKED_AT

    def add(
        self, path: Path, what: str, *, expected: str, remedy: str, at_key: bool = False
    ) -> None:
        """One error at the value of a field, or at its name."""
        if self.is_full:
            self._unworded += 1
            return
        index, _ = located(self.root, path)
        if at_key:
            parent = located(self.root, path[:-1])[1]
            entry = parent.entry(str(path[-1])) if isinstance(parent, MapNode) else None
            index = entry.key.start if entry is not None else index
        error = self.source.error(
            index, what, expected=expected, remedy=remedy, path=path_text(path)
        )
        self._found.append((index, error))

    def add_fault(self, path: Path, fault: ShowError) -> None:
        """A check's own error, at its place in the file."""
        self.add(path, fault.what, expected=fault.expected, remedy=fault.remedy)

    def add_invalid(self, error: ValidationError) -> None:
        """What the schema found, in our words."""
        for detail in error.errors(include_url=False, include_input=False):
            path = list(detail["loc"])
            at_key = path[-1:] == [_KEY]
            if at_key:
                path.pop()
            words = _WORDS.get(detail["type"], _other)(self, path, detail)
            at_key = at_key or detail["type"] == "extra_forbidden"
            self.add(path, words[0], expected=words[1], remedy=words[2], at_key=at_key)

    def place(self, path: Path) -> str:
        """Place of a field in the file."""
        return self.source.place(located(self.root, path)[0])

    def read_at(self, path: Path) -> str:
        """What was read at a field, shortened."""
        node = located(self.root, path)[1]
        if isinstance(node, ScalarNode):
            return shortened(node.text) if node.text or node.style else "nothing"
        return "a mapping" if isinstance(node, MapNode) else "a list"

    def raise_collected(self) -> None:
        """Raise all errors as one, in the order of the file.

        Raises
        ------
        ShowError
            There are errors.
        """
        errors = self.errors
        if not errors:
            return
        listed = errors[:MOST_ERRORS]
        if (more := len(errors) + self._unworded - len(listed)) > 0:
            listed.append(
                ShowError(
                    f"{more} more errors",
                    where=self.source.name,
                    expected="none",
                    remedy="Mend those above first; many have one cause.",
                )
            )
        raise ShowError.collected(listed, where=self.source.name)


Words: TypeAlias = tuple[str, str, str]  # what, expected, remedy


def _unfit(problems: Problems, path: Path, detail: Any) -> Words:
    del problems, path
    return detail["ctx"]["what"], detail["ctx"]["expected"], detail["ctx"]["remedy"]


def _extra(problems: Problems, path: Path, detail: Any) -> Words:
    del problems, detail
    word = str(path[-1])
    fields = fields_of(path)
    remedy = did_you_mean(word, fields, "Leave it out, or write it as a comment with #.")
    return f"unknown field {shortened(word)}", "one of " + ", ".join(fields), remedy


def _missing(problems: Problems, path: Path, detail: Any) -> Words:
    del problems, detail
    if isinstance(path[-1], int) and "corners" in path:
        return (
            f"only {path[-1]} values",
            "two: to the right, into the hall",
            "Write it like [-4, 2].",
        )
    if isinstance(path[-1], int):
        return (
            f"only {path[-1]} values",
            "three: to the right, into the hall, up",
            "Write it like [-4, 0, 2.2].",
        )
    return f"{path[-1]!r} is missing", f"a field {path[-1]!r}", f"Add '{path[-1]}: ...'."


def _too_long(problems: Problems, path: Path, detail: Any) -> Words:
    del problems
    count = detail["ctx"]["actual_length"]
    if "corners" in path:
        return f"{count or 'too many'} values", "2: to the right, into the hall", "Like [-4, 2]."
    return (
        f"{count or 'too many'} values",
        f"{detail['ctx']['max_length']}: to the right, into the hall, up",
        "Write it like [-4, 0, 2.2], with points for decimals.",
    )


def _literal(problems: Problems, path: Path, detail: Any) -> Words:
    read = problems.read_at(path)
    known = [
        word.strip("'") for word in detail["ctx"]["expected"].replace(" or ", ", ").split(", ")
    ]
    remedy = did_you_mean(read.strip("'"), known, "Use one of these words, or leave the line out.")
    return f"{read} is none of the words known here", " or ".join(known), remedy


def _not_a_mapping(problems: Problems, path: Path, detail: Any) -> Words:
    del detail
    remedy = (
        "Write '{name: value}' behind the colon, or 'name: value' on lines of their own, indented."
    )
    return f"{problems.read_at(path)} was read", "a mapping of names to values", remedy


def _not_a_list(problems: Problems, path: Path, detail: Any) -> Words:
    del detail
    remedy = "Put it in brackets, [like, this], or on lines that begin with a dash."
    return f"{problems.read_at(path)} was read", "a list", remedy


def _other(problems: Problems, path: Path, detail: Any) -> Words:
    """Whatever else the schema may find, in its own words."""
    return (
        f"{problems.read_at(path)} was read",
        f"something else: {detail['msg']}",
        "See the format of shows.",
    )


_WORDS: Final[dict[str, Callable[[Problems, Path, Any], Words]]] = {
    UNFIT: _unfit,
    "extra_forbidden": _extra,
    "missing": _missing,
    "too_long": _too_long,
    "literal_error": _literal,
    "model_type": _not_a_mapping,
    "dict_type": _not_a_mapping,
    "tuple_type": _not_a_list,
    "list_type": _not_a_list,
}
