"""Kinds of task in words, and a plan for paper and clipboard."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QCoreApplication

from bloomline.plan.work.year import WorkPlan
from bloomline.ui.page_kit import html_table
from bloomline.ui.work.groups import Group
from bloomline.ui.work.model import DAY, POTS, TASK, TIME, WINDOW, WorkModel

translate = QCoreApplication.translate

_WIDTHS = (4, 14, 39, 21, 14, 8)


def kind_words(kind: str) -> str:
    """What a kind of task is called in the filter."""
    return {
        "order": translate("work", "Order"),
        "buy": translate("work", "Buy"),
        "prechill": translate("work", "Chill before planting"),
        "plant": translate("work", "Plant"),
        "water-in": translate("work", "Water in"),
        "lift-green": translate("work", "Lift in the green"),
        "companion": translate("work", "Plant on top"),
        "companion-out": translate("work", "Take out from the top"),
        "mesh": translate("work", "Lay wire mesh"),
        "mesh-off": translate("work", "Take wire mesh off"),
        "feet": translate("work", "Set on feet"),
        "frost": translate("work", "Protect from frost"),
        "frost-over": translate("work", "Take frost cover off"),
        "nose": translate("work", "Look for noses"),
        "forward": translate("work", "Bring forward"),
        "stake": translate("work", "Stake"),
        "first-flower": translate("work", "Note the first flower"),
        "dead-head": translate("work", "Dead-head"),
        "away": translate("work", "Move out of the way"),
        "feed": translate("work", "Feed"),
        "stop-watering": translate("work", "Stop watering"),
        "lift": translate("work", "Lift, dry and store"),
        "keep": translate("work", "Keep in the pot"),
        "clear": translate("work", "Clear out"),
        "refill": translate("work", "Refill"),
        "out": translate("work", "Put out"),
        "back": translate("work", "Bring back in"),
        "fleece": translate("work", "Keep fleece ready"),
        "store": translate("work", "Lift and store before frost"),
        "carry-in": translate("work", "Carry in before frost"),
        "water-autumn": translate("work", "Water in autumn"),
        "water-winter": translate("work", "Water in winter"),
        "water-spring": translate("work", "Water in spring"),
        "water-summer": translate("work", "Water in summer"),
    }.get(kind, kind.replace("-", " ").capitalize())


def plan_html(plan: WorkPlan, groups: tuple[Group, ...], model: WorkModel) -> str:
    """The groups shown, as a list to tick by pencil."""
    parts = [f"<h1>{escape(plan.yard_name)}</h1>", f"<p>{escape(plan.place_label)}</p>"]
    for row, group in enumerate(groups):
        top = model.index(row, 0)
        rows = [
            (
                "☑" if entry.checked else "☐",
                *(str(model.index(at, column, top).data()) for column in (DAY, TASK, POTS)),
                *(str(model.index(at, column, top).data()) for column in (WINDOW, TIME)),
            )
            for at, entry in enumerate(group.entries)
        ]
        parts += [f"<h2>{escape(model.heading(group))}</h2>", html_table((), rows, widths=_WIDTHS)]
    return "".join(parts)
