"""Yards to shop for."""

from __future__ import annotations

from datetime import date

from bloomline.model.yard import Layer, Money, PlaceChoice, Pot, Yard

PLACE = PlaceChoice(station_id="00003772", name="London", latitude_deg=51.48, longitude_deg=-0.45)


def layer(number, cultivar_id="tulipa-shirley", count=20, cover_cm=15.0, **fields):
    values = {"planted": date(2026, 11, 7), **fields}
    return Layer(
        id=f"layer-{number}", cultivar_id=cultivar_id, count=count, cover_cm=cover_cm, **values
    )


def pot(number, *layers, **fields):
    size = {"top_width_cm": 40, "bottom_width_cm": 32, "inside_height_cm": 36, **fields}
    return Pot(id=f"pot-{number}", name=f"Pot {number}", layers=layers, **size)


def yard(*pots, budget=None, currency="GBP", **fields):
    return Yard(
        name="Shop",
        place=fields.pop("place", PLACE),
        season_year=2027,
        money=Money(currency=currency, budget=budget),
        pots=pots,
        **fields,
    )
