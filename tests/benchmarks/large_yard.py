"""Yards and tables of questions as large as wanted, the same ones each time they are made."""

from __future__ import annotations

import csv
import random
from datetime import date, timedelta
from pathlib import Path

from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Layer, Money, PlaceChoice, Pot, Yard
from bloomline.reference.catalogue import load_catalogue

REGIONS = ("Nottingham", "Heathrow", "De Bilt", "Church Lawford", "Rothamsted")
_MATERIALS = ("fired-clay-once", "glazed", "plastic", "wood")
_SITES = ("open", "warm-wall", "cold-frame")
_TOPS = ("winter-pansy", "viola-small")


def big_yard(n_pots: int = 1000) -> Yard:
    """A yard as a trade grower might keep it: four layers a pot."""
    cultivars = [c for c in load_catalogue() if c.season_planted == "autumn"][::4][:60]
    pots = []
    for i in range(n_pots):
        width = 24.0 + 4.0 * (i % 6)
        pots.append(
            Pot(
                id=f"pot-{i}",
                name=f"Pot {i}",
                top_width_cm=width,
                bottom_width_cm=width * 0.8,
                inside_height_cm=40.0,
                material=_MATERIALS[(i // 6) % 4],
                site=_SITES[(i // 24) % 3],
                layers=tuple(
                    Layer(
                        id=f"layer-{i}-{k}",
                        cultivar_id=cultivars[(i * 7 + k * 13) % len(cultivars)].id,
                        count=20,
                        cover_cm=20.0 - 5.0 * k,
                        planted=date(2026, 10, 5) + timedelta(days=4 * ((i * 3 + k) % 8)),
                    )
                    for k in range(4)
                ),
            )
        )
    return Yard(
        name="Benchmark yard",
        place=PlaceChoice(name="Nottingham", latitude_deg=52.95, longitude_deg=-1.15),
        season_year=2027,
        pots=tuple(pots),
    )


def nursery(n_pots: int, *, budget_share: float | None = None) -> Yard:
    """The big yard as a nursery would have it, so that every part of the program has to work.

    Every other pot lacks its last layer (3.5 a pot), every third is planted already, every tenth
    bears companions, every fourth is to flower all at once, some kinds are pre-chilled, some lie
    too near the top. budget_share : of some £30 a pot, what it costs.
    """
    yard = big_yard(n_pots)
    pots = []
    for i, pot in enumerate(yard.pots):
        layers = pot.layers[: 3 if i % 2 else 4]
        state = "planted" if i % 3 == 0 else "planned"
        layers = tuple(
            layer.model_copy(
                update={
                    "state": state,
                    "prechill_weeks": 4.0 if (i + k) % 17 == 0 else 0.0,
                    "cover_cm": 1.0 if (i + k) % 41 == 0 else layer.cover_cm,
                    "count": 8 + 4 * ((i + k) % 5),
                }
            )
            for k, layer in enumerate(layers)
        )
        tops = (
            CompanionPlanting(
                id=f"top-{i}",
                companion_id=_TOPS[i // 10 % 2],
                count=3,
                planted=date(2026, 10, 20),
            ),
        )
        pots.append(
            pot.model_copy(
                update={
                    "layers": layers,
                    "companions": tops if i % 10 == 0 else (),
                    "successive": i % 4 != 0,
                    "to_buy": True if i % 7 == 0 else None,
                    "top_dressing": "grit" if i % 5 == 0 else None,
                    "top_dressing_cm": 1.0 if i % 5 == 0 else 0.0,
                }
            )
        )
    money = Money(budget=None if budget_share is None else round(30.0 * budget_share * n_pots))
    return yard.model_copy(update={"pots": tuple(pots), "money": money})


def write_requests(path: Path, n_rows: int, *, n_places: int = 40) -> None:
    """A table of forecast questions, hardly two the same: every kind, `n_places` places, 80
    planting days, in pots and in the ground, and now and then a row that can't be answered.
    """
    draw = random.Random(1)
    kinds = [cultivar.id for cultivar in load_catalogue()]
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(
            [
                *("id", "place", "latitude_deg", "longitude_deg"),
                *("cultivar", "planted", "where", "prechill_weeks"),
            ]
        )
        for i in range(n_rows):
            at = draw.randrange(n_places)
            named = at < len(REGIONS)
            planted = date(2026, 9, 20) + timedelta(days=draw.randrange(80))
            writer.writerow(
                [
                    f"q{i}",
                    REGIONS[at] if named else "",
                    "" if named else round(36.0 + 0.55 * at, 2),
                    "" if named else round(-4.0 + 0.6 * (at % 23), 2),
                    "no such kind" if i % 4999 == 17 else draw.choice(kinds),
                    "" if i % 50 == 0 else planted.isoformat(),
                    draw.choice(("pot", "ground", "")),
                    99 if i % 7001 == 5 else draw.choice((6, "", "", "")),
                ]
            )
