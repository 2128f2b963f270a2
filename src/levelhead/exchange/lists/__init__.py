"""Bands' and venues' lists of inputs as they come in: read, understood, turned into edits."""

from levelhead.exchange.lists.desks import desk_choices, empty_show
from levelhead.exchange.lists.merging import ListPlan, list_edits, list_show, plan_list
from levelhead.exchange.lists.reading import ReadList, read_list

__all__ = [
    "ListPlan",
    "ReadList",
    "desk_choices",
    "empty_show",
    "list_edits",
    "list_show",
    "plan_list",
    "read_list",
]
