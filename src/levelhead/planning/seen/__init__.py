"""Back from the meters of a sound check: what was seen there corrects what was guessed."""

from levelhead.planning.seen.answer import SeenAnswer, answer_seen
from levelhead.planning.seen.reading import Seen, read_seen

__all__ = ["Seen", "SeenAnswer", "answer_seen", "read_seen"]
