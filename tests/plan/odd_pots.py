"""Pots in which something is amiss, invented: what a slip of the keys or a rash plan makes."""

from __future__ import annotations

from datetime import date

from bloomline.model.yard import Layer, PlaceChoice, Pot, Yard

AUTUMN = date(2026, 10, 10)


def layer(at: int, kind: str, count: int, cover_cm: float, **more: object) -> Layer:
    given: dict[str, object] = {"planted": AUTUMN, **more}
    return Layer(id=f"layer-{at}", cultivar_id=kind, count=count, cover_cm=cover_cm, **given)  # type: ignore[arg-type]


def deep_pot(*layers: Layer, **more: object) -> Pot:
    """A pot of 30 cm, 40 cm high, unless told otherwise."""
    given: dict[str, object] = {
        "id": "pot-1",
        "name": "Deep pot",
        "top_width_cm": 30,
        "bottom_width_cm": 30,
        "inside_height_cm": 40,
        "wall_cm": 1.5,
        "crocks_cm": 3,
        **more,
    }
    return Pot(layers=layers, **given)  # type: ignore[arg-type]


def yard_of(*pots: Pot) -> Yard:
    place = PlaceChoice(name="Bath", latitude_deg=51.381, longitude_deg=-2.359, elevation_m=40)
    return Yard(name="Bath", place=place, season_year=2027, pots=pots)


TULIP, NARCISSUS, CROCUS = "tulipa-west-point", "narcissus-carlton", "crocus-vernus-pickwick"


def overfull() -> Pot:
    """Half as many more bulbs again as can lie in each layer."""
    return deep_pot(layer(1, TULIP, 45, 20), layer(2, NARCISSUS, 40, 12), layer(3, CROCUS, 80, 5))


def impossible_counts(state: str = "planned") -> Pot:
    """5,000 bulbs in each layer."""
    return deep_pot(
        *(
            layer(at, kind, 5000, cover, state=state)
            for at, kind, cover in ((1, TULIP, 20), (2, NARCISSUS, 12), (3, CROCUS, 5))
        )
    )


def too_deep(state: str = "planned") -> Pot:
    """Covers deeper than the pot: 150 cm typed for 15."""
    return deep_pot(
        *(
            layer(at, kind, 5, 150, state=state)
            for at, kind in ((1, TULIP), (2, NARCISSUS), (3, CROCUS))
        )
    )


def crocus_lowest() -> Pot:
    return deep_pot(layer(1, CROCUS, 20, 25), layer(2, NARCISSUS, 10, 13), layer(3, TULIP, 14, 5))


def wrong_days(lower_state: str = "planned", upper_state: str = "planned") -> Pot:
    """The upper layers are to be planted four weeks before the lowest."""
    return deep_pot(
        layer(1, TULIP, 15, 22, planted=date(2026, 11, 6), state=lower_state),
        layer(2, NARCISSUS, 10, 12, planted=date(2026, 10, 9), state=upper_state),
        layer(3, CROCUS, 20, 5, planted=date(2026, 10, 9), state=upper_state),
    )


def too_wide(width_cm: float = 380) -> Pot:
    """380 cm typed for 38."""
    return deep_pot(
        layer(1, TULIP, 15, 20),
        layer(2, CROCUS, 36, 5),
        top_width_cm=width_cm,
        bottom_width_cm=28,
    )
