"""Words of advice on a forecast: cold, frost, poison, planting time, distance of the station."""

from __future__ import annotations

from datetime import date

from bloomline.model.advice import Advice, Severity
from bloomline.model.cultivar import Cultivar
from bloomline.plan.garden import Garden
from bloomline.plan.shares import of_ten
from bloomline.reference.rules import load_rules

POT_FREEZES = (
    "A pot has little of the ground's warmth; once its water is frozen it follows the air. Bulbs "
    "were tested for 24 hours, so a whole day counts, not one night."
)
FROST_TOLD = 0.05
"""From that share of years on, frost that kills is told."""


def cold_advice(cultivar: Cultivar, *, cold_weeks: float, blind_share: float) -> list[Advice]:
    """Too little cold: by how much, what follows, what helps."""
    least = cultivar.chill_weeks_min
    if least is None or cultivar.season_planted == "spring":
        return []
    source = cultivar.chill_note or cultivar.chill_basis
    if blind_share >= 0.5:
        return [
            Advice(
                severity=Severity.WARNING,
                topic="cold",
                message=(
                    f"Too little cold here: {cold_weeks:.0f} of at least {least:g} weeks. Buds "
                    f"fail in {of_ten(blind_share, 'year')}. Buy pre-chilled bulbs, or keep them "
                    f"{max(least - cold_weeks, 1):.0f} weeks in a refrigerator (away from "
                    "ripening fruit) before planting; or choose a kind that needs less cold."
                ),
                reason="Without enough weeks at 2-9 °C the flower bud stays in the bulb.",
                source=source,
            )
        ]
    if cold_weeks < least:
        return [
            Advice(
                severity=Severity.CAUTION,
                topic="cold",
                message=(
                    f"Short of cold: {cold_weeks:.0f} of at least {least:g} weeks. Expect "
                    "short stems and some buds that fail; plant earlier, pre-chill the bulbs, or "
                    "choose a colder spot."
                ),
                reason="Stems stretch only after enough weeks at 2-9 °C.",
                source=source,
            )
        ]
    return []


def frost_advice(cultivar: Cultivar, *, killed_share: float, help_words: str) -> list[Advice]:
    """Root zone colder than the bulb stands, in how many years, and where it would live."""
    if killed_share < FROST_TOLD:
        return []
    limit = load_rules().lethal_c(cultivar.genus, cultivar.group)
    return [
        Advice(
            severity=Severity.WARNING if killed_share >= 0.3 else Severity.CAUTION,
            topic="frost",
            message=(
                f"Frost: the compost falls below {limit.bulb_c:.0f} °C, which kills the bulb, in "
                f"{of_ten(killed_share, 'year')}. {help_words[:1].upper()}{help_words[1:]}."
            ),
            reason=POT_FREEZES,
            source=limit.bulb_source,
        )
    ]


def poison_advice(cultivar: Cultivar, *, pets: bool) -> list[Advice]:
    """What is toxic or irritant, plainly said; more strongly where there are pets."""
    if cultivar.toxic_pets == 0:
        return []
    toxicity = load_rules().toxicity(cultivar.genus, cultivar.group)
    severe = cultivar.toxic_pets >= 2
    severity = Severity.NOTE
    if pets:
        severity = Severity.WARNING if severe else Severity.CAUTION
    elif severe:
        severity = Severity.CAUTION
    has_gloves = toxicity is not None and toxicity.gloves and "glove" not in cultivar.toxic_note
    gloves = "Wear gloves, k" if has_gloves else "K"
    what = "Can be severe or fatal to a pet" if severe else "Upsets or irritates a pet that eats it"
    return [
        Advice(
            severity=severity,
            topic="poison",
            message=(
                f"{what}: {cultivar.toxic_note}. {gloves}eep bulbs from children and animals, and "
                "call a vet or poisons line at once if any is swallowed."
            ),
            reason="Bulbs hold more of the poison than leaves or flowers.",
            source=toxicity.source if toxicity else cultivar.toxic_note,
        )
    ]


def planting_advice(*, planted: date, usual: date, established: bool) -> list[Advice]:
    """A planting day far from the usual one."""
    if established:
        return []
    late = (planted - usual).days
    if late > 45:
        return [
            Advice(
                severity=Severity.NOTE,
                topic="planting",
                message=(
                    f"Planted {late} days after the usual day here ({usual.isoformat()}): "
                    "later and shorter flowering."
                ),
                reason="Less cold and less time to root.",
                source="common practice, no source",
            )
        ]
    if late < -75:
        return [
            Advice(
                severity=Severity.NOTE,
                topic="planting",
                message=(
                    f"Planted {-late} days before the usual day here ({usual.isoformat()}): the "
                    "compost is still warm."
                ),
                reason="Warm, moist compost invites disease before roots form.",
                source="common practice, no source",
            )
        ]
    return []


def station_advice(garden: Garden) -> list[Advice]:
    """A station that is far from the garden."""
    if not garden.station_is_far:
        return []
    return [
        Advice(
            severity=Severity.CAUTION,
            topic="place",
            message=(
                f"The nearest station with normals, {garden.station_name}, is "
                f"{garden.distance_km:.0f} km away: take the dates with care, or enter your own "
                "monthly means."
            ),
            reason="Climate changes over such a distance.",
            source="WMO normals 1991-2020",
        )
    ]
