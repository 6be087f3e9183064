"""Words of advice on a forecast: cold, frost, poison, planting time, distance of the station."""

from __future__ import annotations

from datetime import date

from bloomline.model.advice import Advice, Severity
from bloomline.model.cultivar import Cultivar
from bloomline.plan.climate.garden import Garden
from bloomline.plan.forecast.cold import ColdPlan, is_short, weeks_beside_least
from bloomline.plan.words.shares import of_ten
from bloomline.reference.rules import load_rules
from bloomline.words import marked, tr

POT_FREEZES = marked(
    "A pot has little of the ground's warmth; once its water is frozen it follows the air. Bulbs "
    "were tested for 24 hours, so a whole day counts, not one night."
)
FROST_TOLD = 0.05
"""From that share of years on, frost that kills is told."""


def lacks_cold(cultivar: Cultivar, *, cold_weeks: float, blind_share: float) -> bool:
    """Whether there is too little cold to say nothing of it."""
    least = cultivar.chill_weeks_min
    if least is None or cultivar.season_planted == "spring":
        return False
    return blind_share >= 0.5 or is_short(cold_weeks, least)


def cold_advice(
    cultivar: Cultivar, *, cold_weeks: float, blind_share: float, plan: ColdPlan | None = None
) -> list[Advice]:
    """Too little cold: by how much, what follows, what helps.

    plan : of `cold_plans`; None where the usual winter does or bulbs stay in their pot.
    """
    if not lacks_cold(cultivar, cold_weeks=cold_weeks, blind_share=blind_share):
        return []
    figures = weeks_beside_least(cold_weeks, cultivar.chill_weeks_min or 0.0)
    if blind_share >= 0.5:
        severity = Severity.WARNING
        told = tr(
            "Too little cold here: {figures}. Buds fail in {blind_share}.",
            figures=figures,
            blind_share=of_ten(blind_share, "year"),
        )
        reason = tr("Without enough weeks at 2-9 °C the flower bud stays in the bulb.")
    else:
        severity = Severity.CAUTION
        told = tr(
            "Short of cold: {figures}. Expect short stems and some buds that fail.", figures=figures
        )
        reason = tr("Stems stretch only after enough weeks at 2-9 °C.")
    if plan is None:
        help_words = tr("Bulbs that were pre-chilled, or a kind that needs less cold, do better.")
    else:
        words = plan.words()
        help_words = f"{words[0].upper()}{words[1:]}."
        if plan.earlier is None and plan.prechill_weeks:
            help_words += tr(" Or choose a kind that needs less cold.")
    return [
        Advice(
            severity=severity,
            topic="cold",
            message=f"{told} {help_words}",
            reason=reason,
            source=cultivar.chill_note or cultivar.chill_basis,
        )
    ]


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
                tr(
                    "Frost: the compost falls below {bulb_c:.0f} °C, which kills "
                    "the bulb, in {killed_share}. {help_words}{help_words2}.",
                    bulb_c=limit.bulb_c,
                    killed_share=of_ten(killed_share, "year"),
                    help_words=help_words[:1].upper(),
                    help_words2=help_words[1:],
                )
            ),
            reason=tr(POT_FREEZES),
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
    keep = (
        tr(
            "Wear gloves, keep bulbs from children and animals, and call a vet or poisons line "
            "at once if any is swallowed."
        )
        if wants_gloves(cultivar)
        else tr(
            "Keep bulbs from children and animals, and call a vet or poisons line at once if "
            "any is swallowed."
        )
    )
    return [
        Advice(
            severity=severity,
            topic="poison",
            message=tr("{harm}. {keep}", harm=harm_words(cultivar), keep=keep),
            reason=tr("Bulbs hold more of the poison than leaves or flowers."),
            source=toxicity.source if toxicity else cultivar.toxic_note,
        )
    ]


def wants_gloves(cultivar: Cultivar) -> bool:
    """Whether gloves are to be told of, beside what a kind's own note says."""
    toxicity = load_rules().toxicity(cultivar.genus, cultivar.group)
    return toxicity is not None and toxicity.gloves and "glove" not in cultivar.toxic_note


def harm_words(cultivar: Cultivar) -> str:
    """What a kind does to who eats it; "" for one that is not known to harm."""
    if cultivar.toxic_pets == 0:
        return ""
    what = (
        tr("Can be severe or fatal to a pet")
        if cultivar.toxic_pets >= 2
        else tr("Upsets or irritates a pet that eats it")
    )
    return tr("{what}: {toxic_note}", what=what, toxic_note=tr(cultivar.toxic_note))


def planting_advice(
    *,
    planted: date,
    usual: date,
    established: bool,
    prechilled: bool = False,
    flowers: bool = True,
    window: tuple[date, date] | None = None,
) -> list[Advice]:
    """A planting day far from the usual one. Chilled bulbs wait for cool soil, so may be late.

    flowers : where none comes, other advice says why and what to do; nothing comes later.
    window : first and last day on which the kind is planted; within it no day is far.
    """
    if window is not None and window[0] <= planted <= window[1]:
        return []
    if established:
        return []
    late = (planted - usual).days
    if late > 45 and flowers and not prechilled:
        return [
            Advice(
                severity=Severity.NOTE,
                topic="planting",
                message=(
                    tr(
                        "Planted {late} days after the usual day here ({usual}): "
                        "later and shorter flowering.",
                        late=late,
                        usual=usual,
                    )
                ),
                reason=tr("Less cold and less time to root."),
                source=tr("common practice, no source"),
            )
        ]
    if late < -75:
        return [
            Advice(
                severity=Severity.NOTE,
                topic="planting",
                message=(
                    tr(
                        "Planted {late} days before the usual day here ({usual}): "
                        "the compost is still warm.",
                        late=-late,
                        usual=usual,
                    )
                ),
                reason=tr("Warm, moist compost invites disease before roots form."),
                source=tr("common practice, no source"),
            )
        ]
    return []


def station_advice(garden: Garden) -> list[Advice]:
    """Stations that are far from the garden, or far above or below it."""
    told = []
    if garden.station_is_far:
        told.append(
            (
                tr(
                    "The nearest station with normals, {station_name}, is "
                    "{distance_km:.0f} km away: take the dates with care, or enter "
                    "your own monthly means.",
                    station_name=garden.station_name,
                    distance_km=garden.distance_km,
                ),
                tr("Climate changes over such a distance."),
            )
        )
    if garden.height_is_far:
        told.append(
            (
                tr(
                    "The garden lies {height:.0f} m above the stations that its climate is from: "
                    "take the dates with care.",
                    height=garden.rise_m,
                )
                if garden.rise_m > 0
                else tr(
                    "The garden lies {height:.0f} m below the stations that its climate is from: "
                    "take the dates with care.",
                    height=-garden.rise_m,
                ),
                tr("Valleys hold cold air, and slopes shed it; 0.65 °C a 100 m is only the mean."),
            )
        )
    if garden.guess is not None and garden.height_is_unsure:
        told.append(
            (
                tr(
                    "The height of the garden is not known; {height:.0f} m is taken. The towns "
                    "around lie at {low:.0f} to {high:.0f} m: give the height of the garden.",
                    height=garden.guess.height_m,
                    low=garden.guess.low_m,
                    high=garden.guess.high_m,
                ),
                tr("100 m of height are 0.65 °C."),
            )
        )
    return [
        Advice(
            severity=Severity.CAUTION,
            topic="place",
            message=message,
            reason=reason,
            source=tr("WMO normals 1991-2020"),
        )
        for message, reason in told
    ]
