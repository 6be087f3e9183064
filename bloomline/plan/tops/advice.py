"""Advice on what stands on top of a pot: room, and frost that takes it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bloomline.errors import BloomlineError
from bloomline.model.advice import Advice, Severity
from bloomline.model.yard import Pot
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.tops.stand import fullest_share
from bloomline.words import marked, tr

_COMMON = marked("common practice, no source")


def companions_advice(pot: Pot, report: SeasonReport | None, *, southern: bool) -> Iterator[Advice]:
    """What a pot's companions ask for; their own page tells the rest."""
    try:
        share = fullest_share(pot, southern=southern)
    except BloomlineError:
        share = 0.0  # one that isn't known: its own page says so
    if share > 1.0:
        yield Advice(
            severity=Severity.CAUTION,
            topic="room",
            message=(
                tr(
                    "The plants on top of {pot_name} would take {share:.0%} of its "
                    "surface at their usual spacing: plant fewer, so that bulbs "
                    "come up between them",
                    pot_name=pot.name,
                    share=share,
                )
            ),
            source=tr(_COMMON),
        )
    if report is None:
        return
    here = {planting.id for planting in pot.companions}
    for forecast in report.companions:
        if forecast.planting_id in here:
            for advice in forecast.advice:
                if advice.severity is Severity.WARNING and advice.topic != "poison":
                    yield replace(advice, message=f"{forecast.name}: {advice.message}")
