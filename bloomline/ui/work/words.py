"""Kinds of task in words, and a plan for paper."""

from __future__ import annotations

from datetime import date
from html import escape

from PySide6.QtCore import QCoreApplication

from bloomline.plan.work.year import Task, WorkPlan
from bloomline.ui.page_kit import html_table
from bloomline.ui.work.groups import Group, GroupedTask
from bloomline.words import short_day_words, short_span_words, tr

translate = QCoreApplication.translate

_WIDTHS = (4, 11, 67, 18)
_ROUND_WIDTHS = (18, 20, 62)
_SIZE_PT = 8.0


def kind_words(kind: str) -> str:
    """What a kind of task is called in filter, menu and on paper."""
    return {
        "order": tr("Order"),
        "buy": tr("Buy"),
        "prechill": tr("Chill before planting"),
        "feet": tr("Set on feet"),
        "plant": tr("Plant"),
        "companion": tr("Plant on top"),
        "mesh": tr("Lay wire mesh"),
        "mesh-off": tr("Take wire mesh off"),
        "frost": tr("Protect from frost"),
        "frost-over": tr("Take frost cover off"),
        "look": tr("Look for noses and first flowers"),
        "tulip-fire": tr("Look for tulip fire"),
        "slugs": tr("Look for slugs and snails"),
        "fleece": tr("Keep fleece ready"),
        "in": tr("Take in"),
        "out": tr("Put out"),
        "back": tr("Bring back in"),
        "forward": tr("Bring forward"),
        "cover": tr("Carry under cover"),
        "stake": tr("Stake"),
        "lily-beetle": tr("Look for lily beetle"),
        "dead-head": tr("Dead-head"),
        "away": tr("Move out of the way"),
        "clear": tr("Clear out"),
        "companion-out": tr("Take out from the top"),
        "feed": tr("Feed"),
        "stop-watering": tr("Stop watering"),
        "lift": tr("Lift, dry and store"),
        "lift-green": tr("Lift in the green"),
        "keep": tr("Set in the shade for the rest"),
        "store": tr("Lift and store before frost"),
        "carry-in": tr("Carry in before frost"),
        "refill": tr("Refill"),
        "renew": tr("Renew the top compost"),
        "repot": tr("Repot or top up"),
        "vine-weevil": tr("Look for vine weevil"),
        "water-autumn": tr("Water in autumn"),
        "water-winter": tr("Water in winter"),
        "water-spring": tr("Water in spring"),
        "water-summer": tr("Water in summer"),
    }.get(kind, kind.replace("-", " ").capitalize())


def plan_html(plan: WorkPlan, groups: tuple[Group, ...]) -> str:
    """The groups shown, as a list to tick by pencil.

    Rounds stand on top with the days on which they call at each pot; each week has a box for
    every one of them, and below it what is done once.
    """
    order = sorted(groups, key=lambda group: (group.first is not None, group.first))
    rounds = {
        entry.task.key: entry.task
        for group in order
        for entry in group.entries
        if entry.task.repeat_days is not None
    }
    rows: list[tuple[str, ...]] = []
    for group in order:
        turns = [
            f"{_box(entry.checked)}\u00a0{_short(entry)}"
            for entry in group.entries
            if entry.task.key in rounds
        ]
        if turns or group.first is None:
            rows.append(("", _heading(group), "   ".join(turns), ""))
        rows += [_row(entry) for entry in group.entries if entry.task.key not in rounds]
    parts = [f"<h1>{escape(plan.yard_name)}</h1>", f"<p>{escape(plan.place_label)}</p>"]
    if rounds:
        parts.append(f"<h2>{escape(tr('Rounds'))}</h2>")
        told = [_round(task) for task in rounds.values()]
        parts.append(html_table((), told, widths=_ROUND_WIDTHS, padding=0, size_pt=_SIZE_PT))
    parts.append(f"<h2>{escape(tr('Week by week'))}</h2>")
    parts.append(html_table((), rows, widths=_WIDTHS, padding=0, size_pt=_SIZE_PT))
    return "".join(parts)


def _heading(group: Group) -> str:
    if group.first is None:
        return tr("Overdue")
    return f"▸ {short_day_words(group.first)}"


def _box(done: bool) -> str:
    return "☑" if done else "☐"


def _short(entry: GroupedTask) -> str:
    times = f" {len(entry.days)}×" if len(entry.days) > 1 else ""
    return f"{kind_words(entry.task.kind)}{times}".replace(" ", "\u00a0")


def _round(task: Task) -> tuple[str, ...]:
    """A round with its span, and each pot with its own where it is another."""
    names = dict(zip(task.pot_ids, task.called, strict=True))
    whole: dict[str, tuple[date, date]] = {}
    for span in task.spans:
        first, last = whole.get(span.pot_id, (span.first, span.last))
        whole[span.pot_id] = (min(first, span.first), max(last, span.last))
    told: dict[tuple[date, date], list[str]] = {}
    for pot_id, days in sorted(whole.items(), key=lambda each: each[1]):
        told.setdefault(days, []).append(names[pot_id])
    pots = "; ".join(f"{short_span_words(*days)} {', '.join(mine)}" for days, mine in told.items())
    every = translate("work", "every %n day(s)", "", task.repeat_days or 1)
    return (kind_words(task.kind), f"{every}, {short_span_words(task.best, task.latest)}", pots)


def _row(entry: GroupedTask) -> tuple[str, ...]:
    task = entry.task
    day = short_day_words(entry.days[0], weekday=True)
    return (_box(entry.checked), day, task.title, short_span_words(task.earliest, task.latest))
