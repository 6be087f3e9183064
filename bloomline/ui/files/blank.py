"""The yard that stands in the window before one is opened."""

from __future__ import annotations

from datetime import date

from bloomline.model.yard import PlaceChoice, Yard


def blank_yard() -> Yard:
    """A yard without pots at the reference garden, in the coming season."""
    today = date.today()
    year = today.year + (1 if today.month >= 6 else 0)
    return Yard(
        name="New yard",
        place=PlaceChoice(
            station_id="00003772",
            name="Heathrow, United Kingdom",
            latitude_deg=51.479,
            longitude_deg=-0.451,
        ),
        season_year=year,
    )
