"""Invented season reports for the drawing tests. Nothing here was observed."""

from __future__ import annotations

from datetime import date, timedelta
from statistics import NormalDist

import numpy as np

from bloomline.plan.forecast.report import (
    Band,
    LayerForecast,
    PotForecast,
    SeasonReport,
    Spread,
    Stretch,
)

FIRST_DAY = date(2026, 9, 1)
N_DAYS = 400


def band(middle: date, spread_days: int) -> Band:
    """A band with equal sides."""
    side = timedelta(days=spread_days)
    return Band(middle - side, middle, middle + side)


def chance_of(start: Band, end: Band) -> np.ndarray:
    """Chance of being in flower: begun by then, and not over by then (normal errors)."""
    days = np.arange(N_DAYS)
    curves = []
    for one in (start, end):
        centre = (one.p50 - FIRST_DAY).days
        sigma = max(1.0, (one.p90 - one.p10).days / 2 / 1.2816)
        curves.append(np.array([NormalDist(centre, sigma).cdf(day) for day in days]))
    return np.clip(curves[0] - curves[1], 0.0, 1.0)


def layer(
    layer_id: str,
    pot_id: str,
    name: str,
    kind: str,
    colour: str,
    colour_hex: str,
    start: date | None,
    end: date | None,
    *,
    second: str | None = None,
    spread: int = 9,
    scent: int = 0,
    count: int = 15,
    planted: date = date(2026, 10, 18),
    established: bool = False,
    reason: str | None = None,
) -> LayerForecast:
    """One layer with plausible bands round its middle dates."""
    start_band = band(start, spread) if start else None
    end_band = band(end, spread + 2) if end else None
    full = band(start + (end - start) / 3, spread) if start and end else None
    chance = chance_of(start_band, end_band) if start_band and end_band else np.zeros(N_DAYS)
    return LayerForecast(
        layer_id=layer_id,
        pot_id=pot_id,
        cultivar_id=layer_id,
        name=name,
        common_type=kind,
        colour=colour,
        colour_hex=colour_hex,
        second_colour_hex=second,
        height_cm=30.0,
        scent=scent,
        count=count,
        planted=planted,
        established=established,
        start=start_band,
        full=full,
        end=end_band,
        nose=None,
        leaves_over=None,
        reason=reason,
        cold_weeks=14.0,
        cold_weeks_needed=12.0,
        too_little_cold_share=0.0,
        killed_share=0.0,
        chance=chance,
    )


def report_of(
    pots: list[tuple[str, str, list[LayerForecast]]],
    *,
    yard_name: str = "Larch Cottage yard",
    crowd_limit: int = 5,
    threshold: float = 0.5,
) -> SeasonReport:
    """A yard's report; the daily figures follow from the layers' chances."""
    layers = [one for _, _, some in pots for one in some]
    chances = np.array([one.chance for one in layers])
    expected = chances.sum(axis=0)
    coverage = 1.0 - np.prod(1.0 - chances, axis=0)
    showing = np.flatnonzero(coverage >= threshold)
    bare: tuple[Stretch, ...] = ()
    if len(showing):
        inside = np.zeros(N_DAYS, dtype=bool)
        inside[showing[0] : showing[-1] + 1] = True
        bare = stretches(inside & (coverage < threshold))
    pot_forecasts = tuple(
        PotForecast(
            pot_id=some[0].pot_id,
            name=name,
            summary=summary,
            layers=tuple(sorted(some, key=lambda one: one.start.p50 if one.start else date.max)),
            weeks_of_colour=Spread(
                float(np.max([one.chance for one in some], axis=0).sum() / 7), 4.0, 9.0, 5.0, 8.0
            ),
            weeks_of_scent=Spread(1.0, 0.5, 2.0, 0.6, 1.5),
        )
        for name, summary, some in pots
    )
    bare_days = float(sum(one.days for one in bare))
    return SeasonReport(
        yard_name=yard_name,
        place_label="Cambridge Niab, United Kingdom, 26 m",
        station_id="03571",
        season_year=2027,
        first_day=FIRST_DAY,
        pots=pot_forecasts,
        coverage=coverage,
        expected_layers=expected,
        bare=bare,
        crowded=stretches(expected > crowd_limit),
        bare_threshold=threshold,
        crowd_limit=crowd_limit,
        weeks_of_colour=Spread(float((coverage > 0.5).sum() / 7), 19.0, 26.0, 21.0, 25.0),
        weeks_of_scent=Spread(8.0, 6.0, 11.0, 7.0, 10.0),
        bare_days=Spread(
            expected=bare_days,
            p10=max(bare_days - 9, 0),
            p90=bare_days + 14,
            coldest=bare_days + 12,
            warmest=max(bare_days - 6, 0),
        ),
        crowded_days=Spread(2.0, 0.0, 6.0, 3.0, 1.0),
    )


def stretches(is_in: np.ndarray) -> tuple[Stretch, ...]:
    """Runs of days on which something holds."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], is_in.astype(int), [0]))))
    return tuple(
        Stretch(FIRST_DAY + timedelta(days=int(a)), FIRST_DAY + timedelta(days=int(b) - 1))
        for a, b in zip(edges[::2], edges[1::2], strict=True)
    )


def sample_report() -> SeasonReport:
    """Seven pots and eighteen layers with most of what a chart can meet."""
    d = date
    return report_of(
        [
            (
                "Kitchen step",
                "terracotta, round 34 × 30 cm, in the open",
                [
                    layer(
                        "a1",
                        "a",
                        "Iris reticulata 'Alida'",
                        "dwarf iris",
                        "sky blue",
                        "#6FA3DC",
                        d(2027, 2, 8),
                        d(2027, 2, 24),
                        second="#F5D24C",
                        scent=1,
                        count=20,
                    ),
                    layer(
                        "a2",
                        "a",
                        "Narcissus 'Jetfire'",
                        "narcissus",
                        "yellow and orange",
                        "#F9CF1B",
                        d(2027, 3, 12),
                        d(2027, 4, 6),
                        second="#EE7A22",
                        count=12,
                    ),
                    layer(
                        "a3",
                        "a",
                        "Tulipa 'Apricot Beauty'",
                        "tulip",
                        "apricot",
                        "#F3A985",
                        d(2027, 4, 6),
                        d(2027, 4, 27),
                        second="#F6C2A8",
                        scent=1,
                    ),
                ],
            ),
            (
                "Blue jar",
                "glazed, round 30 × 32 cm, in the open",
                [
                    layer(
                        "b1",
                        "b",
                        "Crocus sieberi 'Bowles White'",
                        "crocus",
                        "white",
                        "#FAFAF5",
                        d(2027, 2, 14),
                        d(2027, 3, 4),
                        count=25,
                        scent=1,
                    ),
                    layer(
                        "b2",
                        "b",
                        "Narcissus 'Tête-à-Tête'",
                        "narcissus",
                        "yellow",
                        "#F8CC1C",
                        d(2027, 2, 28),
                        d(2027, 3, 26),
                        established=True,
                        planted=d(2024, 10, 12),
                        spread=14,
                    ),
                    layer(
                        "b3",
                        "b",
                        "Tulipa 'Purissima'",
                        "tulip",
                        "ivory white",
                        "#FBF9EE",
                        d(2027, 4, 2),
                        d(2027, 4, 22),
                        scent=1,
                    ),
                ],
            ),
            (
                "Long trough under the kitchen window",
                "fibreglass, trough 90 × 30 × 28 cm, against a warm wall",
                [
                    layer(
                        "c1",
                        "c",
                        "Anemone coronaria (De Caen Group) 'Mister Fokker'",
                        "poppy anemone",
                        "violet blue",
                        "#4B4AA8",
                        d(2027, 4, 1),
                        d(2027, 5, 2),
                        count=40,
                    ),
                    layer(
                        "c2",
                        "c",
                        "Muscari armeniacum 'Big Smile'",
                        "grape hyacinth",
                        "blue",
                        "#5A74C8",
                        d(2027, 3, 24),
                        d(2027, 4, 19),
                        count=30,
                        scent=1,
                    ),
                    layer(
                        "c3",
                        "c",
                        "Tulipa 'Queen of Night'",
                        "tulip",
                        "black maroon",
                        "#3C1A2E",
                        d(2027, 5, 1),
                        d(2027, 5, 16),
                    ),
                ],
            ),
            (
                "Half barrel",
                "oak, round 60 × 42 cm, in the open",
                [
                    layer(
                        "d1",
                        "d",
                        "Hyacinthus orientalis 'Delft Blue'",
                        "hyacinth",
                        "blue",
                        "#6E86C6",
                        d(2027, 3, 26),
                        d(2027, 4, 15),
                        scent=2,
                        count=9,
                    ),
                    layer(
                        "d2",
                        "d",
                        "Tulipa 'Prinses Irene'",
                        "tulip",
                        "orange flushed purple",
                        "#EE8232",
                        d(2027, 4, 17),
                        d(2027, 5, 5),
                        second="#7B3A5A",
                        scent=1,
                    ),
                    layer(
                        "d3",
                        "d",
                        "Tulipa 'Estella Rijnveld'",
                        "tulip",
                        "red and white",
                        "#D32F3A",
                        d(2027, 4, 26),
                        d(2027, 5, 10),
                        second="#FAF0F0",
                    ),
                ],
            ),
            (
                "Zinc tub",
                "zinc, oval 48 × 34 × 26 cm, in the open",
                [
                    layer(
                        "e1",
                        "e",
                        "Tulipa saxatilis (Bakeri Group) 'Lilac Wonder'",
                        "tulip",
                        "lilac and yellow",
                        "#C79AC9",
                        d(2027, 4, 12),
                        d(2027, 4, 29),
                        second="#F2D56B",
                    ),
                    layer(
                        "e2",
                        "e",
                        "Tulipa 'Angélique'",
                        "tulip",
                        "pale pink",
                        "#F2B8C6",
                        d(2027, 4, 28),
                        d(2027, 5, 14),
                        scent=1,
                    ),
                    layer(
                        "e3",
                        "e",
                        "Allium hollandicum 'Purple Sensation'",
                        "allium",
                        "violet purple",
                        "#7B3F98",
                        d(2027, 5, 16),
                        d(2027, 6, 3),
                        count=7,
                    ),
                ],
            ),
            (
                "Porch pot",
                "terracotta, round 28 × 26 cm, cold greenhouse",
                [
                    layer(
                        "f1",
                        "f",
                        "Narcissus papyraceus",
                        "narcissus",
                        "white",
                        "#FBFAF2",
                        d(2026, 11, 26),
                        d(2026, 12, 18),
                        scent=2,
                        count=10,
                        spread=8,
                    ),
                    layer(
                        "f2",
                        "f",
                        "Tulipa 'Carnaval de Nice'",
                        "tulip",
                        "white and red",
                        "#F7ECE6",
                        None,
                        None,
                        second="#C4242E",
                        planted=d(2027, 3, 2),
                        reason="planted on 2 March 2027, too late for the 15 weeks of cold it "
                        "needs; plant by mid December",
                    ),
                ],
            ),
            (
                "Bench end",
                "recycled plastic, square 40 × 40 cm, in the open",
                [
                    layer(
                        "g1",
                        "g",
                        "Lilium 'Casa Blanca'",
                        "lily",
                        "white",
                        "#FBFBF6",
                        d(2027, 7, 18),
                        d(2027, 8, 5),
                        scent=2,
                        count=5,
                        planted=d(2027, 3, 20),
                        spread=7,
                    ),
                ],
            ),
        ]
    )


def large_report(n_pots: int, *, layers_each: int = 4) -> SeasonReport:
    """Many pots, filled over and over from the sample's layers, a few days apart."""
    models = [one for one in sample_report().layers if one.start is not None]
    pots = []
    for number in range(n_pots):
        some = []
        for place in range(layers_each):
            model = models[(number * layers_each + place) % len(models)]
            assert model.start is not None
            assert model.end is not None
            shift = timedelta(days=(number * 5 + place * 3) % 23 - 11)
            some.append(
                layer(
                    f"p{number}-{place}",
                    f"p{number}",
                    model.name,
                    model.common_type,
                    model.colour,
                    model.colour_hex,
                    model.start.p50 + shift,
                    model.end.p50 + shift,
                    second=model.second_colour_hex,
                    scent=model.scent,
                    count=model.count,
                )
            )
        pots.append((f"Pot {number + 1}", "terracotta, round 34 × 30 cm, in the open", some))
    return report_of(pots, crowd_limit=30)
