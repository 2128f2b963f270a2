"""Plans: what a show is after edits, and what may be asked, mended, added, set.

Each plan is found by trying: edits on a copy, solved, judged. Reading order:

- ``trial``: a show solved and judged, and the same after edits; ``arrivals``: who gets to which
  end of it; ``settle`` and ``unknowns``: what nobody has set; ``shut_out``: what edits keep out of
  a mix; ``stock`` and ``desks``: what is in the van, and a mixer as a hand finds it.
- ``moves`` and ``air``: edits that might mend a finding; ``remedy``: those that held;
  ``check``: a whole show with them (``unjudged``: what it cannot speak of).
- ``typed``: what words mean in the gear book; ``asked``: one question and its answer;
  ``proposal``: one more source in a show, or a way for an output.
- ``gains``, ``limiters``, ``seen``: where every control goes, what limiters are set to, and what
  meters of a sound check said about both.
- ``weak_figures``, ``first_places``: figures worth measuring, and a layout to begin with.

Packages know only what stands before them here (``tests/test_layers.py`` sees that none of them
import each other in a ring).
"""
