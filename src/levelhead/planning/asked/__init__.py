"""One question: may this go into that, with what, how loud, and what would flip the answer?

Reading order: ``little_rig`` (the show behind a question), ``conditions_met`` (who meets what was
said besides), ``with_conditions`` (the show with that), ``reading`` (the question as it was
understood), ``answer`` (all of it). ``pointers``, ``notes`` and ``opened`` are parts of an answer;
``choices`` and ``adding`` say what may be done with one.
"""
