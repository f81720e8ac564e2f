"""What the cells of a notebook made, each as it was last run."""


class MadeByCells:
    """Widgets that were made in cells, with a note each.

    A cell that runs again puts new ones in place of its own. Where nobody says which
    cell runs, a widget takes the place of the one that was made the same way.
    """

    def __init__(self):
        self._made = {}  # {cell: (which run of it, [(widget, note), ...])}

    def add(self, widget, note, same_as):
        """Keep a widget that was just made; `same_as` says how it was made."""
        cell, run = _running_cell(widget) or (same_as, None)
        before, made = self._made.get(cell, (None, []))
        others = made if run and run == before else []
        self._made[cell] = run, [*others, (widget, note)]

    def __iter__(self):
        for _, made in self._made.values():
            yield from made


def _running_cell(widget):
    """(id of the cell that runs, which run of it) if the page said so, or None."""
    # A widget opens its channel to the page on behalf of the cell that makes it.
    kernel = getattr(widget.comm, "kernel", None)
    request = kernel.get_parent() if kernel else {}
    cell = request.get("metadata", {}).get("cellId")
    return (cell, request["header"]["msg_id"]) if cell else None
