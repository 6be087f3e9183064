"""Yards to be filled, and how to ask about them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from asking import outlook

from bloomline.model.advice import Severity
from bloomline.model.yard import PlaceChoice, Pot, Yard
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.season.advice import flowering_days
from bloomline.plan.season.yard import season_report

TODAY = date(2026, 9, 1)
FIRST, LAST = date(2027, 2, 22), date(2027, 5, 2)  # ten weeks
BATH = PlaceChoice(name="Bath", latitude_deg=51.381, longitude_deg=-2.359, elevation_m=40)
SIZES = ((30, 30, 40), (40, 30, 36), (30, 22, 28), (36, 26, 18), (60, 50, 38))


def pot(number=1, *layers, size=SIZES[0], **fields):
    top, bottom, height = size
    return Pot(
        id=f"pot-{number}",
        name=f"Pot {number}",
        top_width_cm=top,
        bottom_width_cm=bottom,
        inside_height_cm=height,
        wall_cm=1.5,
        crocks_cm=3.0,
        layers=layers,
        **fields,
    )


def yard(*pots, **fields):
    return Yard(
        name="To fill", place=fields.pop("place", BATH), season_year=2027, pots=pots, **fields
    )


def ask(of, *, today=TODAY):
    return outlook(of, today=today)


def money(amount):
    return Decimal(str(amount))


def faults(of):
    """Cautions and warnings in the pots of a yard, and layers that flower together."""
    here = ask(of)
    report = season_report(here)
    days = flowering_days(report)
    found = [
        each.code
        for pot in of.pots
        for each in pot_findings(pot, cultivar_of=here.cultivar_of, flowering_days=days)
        if each.severity is not Severity.NOTE
    ]
    return found + ["clash" for pot in report.pots for _ in pot.clashes]
