"""numpy, loaded when something is first computed with it.

To read a show, to name its parts and to put its page on a screen needs no array, and numpy takes
about a sixth of the time in which that is done. Where arrays are computed with, it is imported as
always; here stands what is loaded before.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__all__ = ["np"]

if TYPE_CHECKING:
    import numpy as np
else:

    class _Later:
        """The module's names, one by one as they are asked for."""

        def __getattr__(self, name: str) -> Any:
            import numpy as loaded  # noqa: ICN001 - np is this

            value = getattr(loaded, name)
            setattr(self, name, value)
            return value

    np = _Later()
