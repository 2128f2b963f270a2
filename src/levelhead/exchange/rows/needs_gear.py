"""A free row that was told something before its gear."""

from __future__ import annotations

from levelhead.errors import EditError

__all__ = ["NeedsGearError"]


class NeedsGearError(EditError):
    """A free row was told something, but not what is to stand there."""

    @classmethod
    def of(cls, row: str) -> NeedsGearError:
        """The error for a row."""
        return cls(
            "nothing stands here yet",
            where=row,
            expected="gear first: a microphone, an instrument, a player",
            remedy="Fill in the gear; what you typed is kept until then.",
        )
