"""Build step: the gear book is compiled into the wheel, so that a command starts quickly."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class CompileGearBook(BuildHookInterface[Any]):
    """Reads the YAML entries once, here, instead of at the first start of each installation."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:  # noqa: ARG002 - the hook's
        """Write ``book.json`` beside the entries; ``artifacts`` in pyproject.toml packs it."""
        sys.path.insert(0, str(Path(self.root) / "src"))
        from levelhead.gear.store import compile_entries

        compile_entries()
