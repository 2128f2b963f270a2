"""What the user can put right: every error says what, where, what was expected and what to do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Self


class LevelheadError(Exception):
    """Something the user can put right.

    Parameters
    ----------
    what : str
        What was read or what went wrong: ``unit 'dBq' is not known``.
    where : str
        The place: a file with line and column, an item, a typed value.
    expected : str
        What would have been right.
    remedy : str
        What to do now, as a sentence.
    errors : sequence of LevelheadError
        The single errors, if this one stands for many (see :meth:`collected`).

    Examples
    --------
    >>> print(QuantityError("'12' has no unit", where="supply", expected="volts", remedy="Add V."))
    supply: '12' has no unit; expected volts. Add V.
    """

    def __init__(
        self,
        what: str,
        *,
        where: str,
        expected: str,
        remedy: str,
        errors: Sequence[LevelheadError] = (),
    ) -> None:
        super().__init__(f"{where}: {what}; expected {expected}. {remedy}")
        self.what, self.where, self.expected, self.remedy = what, where, expected, remedy
        self.errors: tuple[LevelheadError, ...] = tuple(errors) or (self,)

    def at(self, place: str) -> Self:
        """Return the same error with a wider place before its own, e.g. ``friday.yaml:41:11``."""
        return type(self)(
            self.what,
            where=f"{place}, {self.where}",
            expected=self.expected,
            remedy=self.remedy,
        )

    @classmethod
    def collected(cls, errors: Sequence[LevelheadError], *, where: str) -> Self:
        """One error that stands for all of a file's, so that people mend ten at once.

        ``str()`` prints each of them on a line of its own; ``.errors`` keeps them apart.
        """
        if len(errors) == 1 and isinstance(errors[0], cls):
            return errors[0]
        singles = [single for error in errors for single in error.errors]
        whole = cls(
            f"{len(singles)} errors",
            where=where,
            expected="none",
            remedy="Each is listed below.",
            errors=singles,
        )
        whole.args = ("\n".join(str(single) for single in singles),)
        return whole

    def __reduce__(self) -> tuple[object, ...]:
        """Rebuild by keyword, so that an error survives a trip to another process."""
        parts = (self.what, self.where, self.expected, self.remedy)
        singles = () if self.errors == (self,) else self.errors
        return _rebuild, (type(self), parts, self.args, singles)


def _rebuild(
    kind: type[LevelheadError],
    parts: tuple[str, str, str, str],
    args: tuple[str, ...],
    errors: tuple[LevelheadError, ...],
) -> LevelheadError:
    """Inverse of ``LevelheadError.__reduce__``."""
    what, where, expected, remedy = parts
    error = kind(what, where=where, expected=expected, remedy=remedy, errors=errors)
    error.args = args
    return error


class QuantityError(LevelheadError):
    """A typed or computed quantity cannot be what it claims to be."""


class GearError(LevelheadError):
    """An entry of the gear book cannot be used."""


class ShowError(LevelheadError):
    """A show cannot be read or does not hang together."""


class EditError(LevelheadError):
    """An edit does not fit the show it is applied to."""


class SolveError(LevelheadError):
    """A rig that is well written and still has no solution."""


class AskError(LevelheadError):
    """A question names nothing that this show has."""


class PaperError(LevelheadError):
    """A sheet cannot be set or written."""


class ListError(LevelheadError):
    """A list that comes in (a spreadsheet, a text) cannot be read."""
