"""The local app. This brings in the web server: import it inside the command that opens it."""

from __future__ import annotations

from levelhead.web.app import Asker, Candidate, create_app
from levelhead.web.serve import address_of, listen, run, serve

__all__ = ["Asker", "Candidate", "address_of", "create_app", "listen", "run", "serve"]
