"""Rules on what is plugged: loads on outputs, leads, and what meets at the ends of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from levelhead.verdicts.finding import Finding
from levelhead.verdicts.joined import check_joined_outputs
from levelhead.verdicts.loading import check_loading
from levelhead.verdicts.reading import Reading

__all__ = ["CONNECTION_RULES"]

CONNECTION_RULES: Final[tuple[Callable[[Reading], Iterable[Finding]], ...]] = (
    check_loading,
    check_joined_outputs,
)
