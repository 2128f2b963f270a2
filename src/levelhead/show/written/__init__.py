"""A show written back over its text, so that only what changed is touched.

``plain`` (a show in the shape of its file), ``writing`` (where no text stands yet), ``splice`` over
``steps``, ``link_steps`` and ``patches`` (over the text that is there); ``whole_files`` and
``new_file`` (on the disk).
"""
