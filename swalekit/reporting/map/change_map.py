"""Two plans of the same ground as the content of one map: new lines double, unchanged ones fine, former ones dashed."""

import numpy as np

from swalekit.design.plan.changes import NEW, SAME, WATER, PlanChanges
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.words.change_words import change_cautions, change_counts, change_facts, change_table


def change_content(changes: PlanChanges) -> MapContent:
    """What the map of two plans shows.

    Parameters
    ----------
    changes : PlanChanges
        The plans.

    Returns
    -------
    MapContent
        The ground, keep-outs and lines of the later one, and where lines ran that are gone or run elsewhere now, with a
        table of what changed.

    Examples
    --------
    >>> from swalekit.design.plan.changes import changes_between
    >>> content = change_content(changes_between(record, record))
    >>> list(content.lines), content.unchanged, list(content.former), content.subtitle
    (['S1', 'S2'], ('S1', 'S2'), [], 'What changed: 2 as before')
    """
    after = plan_content(changes.after)
    header, table = change_table(changes, beside_map=True)
    former = {
        line.swale: np.asarray(line.line_before.coords, np.float64)[:, :2]
        for line in changes.lines
        if line.line_before is not None and (line.line_after is None or line.is_moved)
    }
    return MapContent(
        title=after.title,
        subtitle=f"What changed: {change_counts(changes)}",
        terrain=after.terrain,
        boundary=after.boundary,
        workable=after.workable,
        lines=after.lines,
        new=tuple(line.swale for line in changes.of_kind(NEW)),
        unchanged=tuple(line.swale for kind in (WATER, SAME) for line in changes.of_kind(kind)),
        former=former,
        keep_outs=after.keep_outs,
        watercourses=after.watercourses,
        ponds=after.ponds,
        header=header,
        table=table,
        table_file="changes.csv",
        facts=change_facts(changes),
        cautions=change_cautions(changes),
        credits=after.credits,
        units=after.units,
    )
