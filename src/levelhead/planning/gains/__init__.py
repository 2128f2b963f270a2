"""The gain plan: where every gain, pad, fader and amplifier control goes, and what decides it.

Reading order: ``plan`` (the plan as values, with ``plan_ends`` and ``lineup``), ``make`` (how one
is made). What it is made from: ``knobs``, ``switches``, ``terms`` (levels by the controls that they
pass), ``ends`` and ``wanted`` (how loud), ``marks`` (meters), ``stages`` (what may clip),
``ringing``; together the numbers of a ``problem``, which ``model`` reads off a solved rig and
corrects by a later one (``measured``). ``goals`` puts them in order and solves them: ``search``,
``level_goals``, ``setting_goals``, ``change_goal``, over a ``programme``. What comes of it is told
by ``positions``, ``results``, ``turns``, ``lineups`` and ``words``.
"""
