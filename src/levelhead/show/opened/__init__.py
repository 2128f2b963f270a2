"""A show that is open, to one or to several people at once.

``open_show`` (document, steps, journal, file) with ``undoing``, ``seen`` (who has seen what) over
``cells`` and ``revisions``; ``saving`` and ``merging`` (a file that somebody else changed).
"""
