"""Ways to ask for a year's work, and what must hold of every one."""

from __future__ import annotations

from datetime import date

import asking

from bloomline.plan.season.yard import season_report
from bloomline.plan.work.year import work_plan
from bloomline.reference.rules import load_rules

TODAY = date(2026, 9, 1)
SOUTHERN = ("Melbourne",)


def plan_of(yard, today=TODAY):
    report = season_report(asking.outlook(yard))
    return report, work_plan(asking.outlook(yard, today=today))


def kinds(plan):
    found = {}
    for task in plan.tasks:
        found.setdefault(task.kind, []).append(task)
    return found


def assert_fed_well(report, plan):
    """Each layer from the end of its own flower until yellow leaves; lilies while they grow."""
    layers = {layer.layer_id: layer for layer in report.layers}
    every = next(f for f in load_rules().about("care") if f.key == "feed_every_days")
    for task in plan.tasks:
        if task.kind != "feed":
            continue
        for span in task.spans:
            fed = [layers[name] for name in span.layer_ids]
            # A pot's span is of all its layers that are fed on end: the first begins it.
            if not any("lilium" in each.cultivar_id for each in fed):
                assert min(each.end.p50 for each in fed) < span.first
            assert span.last < max(each.leaves_over.p50 for each in fed)
            assert any(span.first <= turn <= span.last for turn in task.turns)
        gaps = {(b - a).days for a, b in zip(task.turns, task.turns[1:], strict=False)}
        # RHS, Bulbs: aftercare: every 7 to 10 days (shared/rules/figures.csv).
        assert all(every.low <= gap <= every.high for gap in gaps)
