"""From the text of a show file to a show, or to all that is wrong with it at once.

``schema`` and ``fields`` (what a file may hold), ``formats`` (older files), ``reading`` with
``settings`` (nested in a file, flat in a show), ``references`` (whether it hangs together),
``problems`` (errors with their places).
"""
