"""Forecasts in words, one under the other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bloomline.cli.output import advice_lines, put, table, wrapped
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.plan.forecast.one_planting import Forecast


def put_forecasts(answers: Sequence[Forecast]) -> None:
    """Tell the answers to questions asked by options, one under the other."""
    for number, answer in enumerate(answers):
        if number:
            put("")
        for line in _single_lines(answer):
            put(line)


def _single_lines(answer: Forecast) -> list[str]:
    garden = answer.garden
    place = garden.label
    if garden.distance_km >= 1.0:
        place += tr(" ({distance_km:.0f} km away)", distance_km=garden.distance_km)
    if abs(garden.rise_m) >= 1.0:
        place += tr(", for a garden at {elevation_m:.0f} m", elevation_m=garden.elevation_m)
    lines = [
        f"{answer.cultivar.name}, {answer.cultivar.common_type}",
        *wrapped(
            tr(
                "planted {planted} in {standing}",
                planted=answer.planted,
                standing=answer.standing.shown(),
            ),
            indent="  ",
        ),
        *wrapped(tr("climate of {place}", place=place), indent="  "),
        "",
    ]
    if answer.start is None:
        lines += wrapped(f"{_sentence(answer)}.")
    else:
        shown = [
            (tr("First flower"), answer.start),
            (tr("Full flower"), answer.full),
            (tr("Over"), answer.end),
        ]
        rows = [(name, band.p50, band.p10, band.p90) for name, band in shown if band is not None]
        lines += table(
            ("", tr("expected"), tr("1 year in 10 before"), tr("1 year in 10 after")), rows
        )
    lines += ["", *_cold_lines(answer)]
    if answer.advice:
        lines += ["", *advice_lines(answer.advice)]
    return lines


def _cold_lines(answer: Forecast) -> list[str]:
    from bloomline.plan.forecast.cold import weeks_words

    if answer.cold_weeks_needed is None:
        return [tr("Needs no cold to flower.")]
    words = tr(
        "Cold: {weeks_words} weeks by flowering time, at least {cold_weeks_needed:g} needed",
        weeks_words=weeks_words(answer.cold_weeks),
        cold_weeks_needed=answer.cold_weeks_needed,
    )
    if answer.cold_met_on is not None and answer.start is not None:
        words += tr(", met in full by {cold_met_on}", cold_met_on=answer.cold_met_on)
    return wrapped(f"{words}.")


def _sentence(answer: Forecast) -> str:
    reason = answer.reason or tr("no flower this season")
    return reason[0].upper() + reason[1:]
