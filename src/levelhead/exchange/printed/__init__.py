"""Paper that was made: what changed since, which pages of it still hold, and those to print anew.

Reading order: ``crew_changes`` (two states, a line a change), ``since`` (what paper was made of),
``pages`` (those that lie there beside those of now), ``made`` (both, out of the history),
``as_now`` (the same sheets as they would be today) and ``changes_sheet`` (to hand round).
"""
