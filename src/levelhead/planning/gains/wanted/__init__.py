"""What is wanted of a gain plan, as numbers.

``ends`` (how loud each source at each end) with ``areas`` (levels that the show asks for),
``marks`` (what meters should read), ``ceilings`` (where nothing may clip).
"""
