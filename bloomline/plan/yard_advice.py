"""All advice on a layer, a pot or the yard: forecast, depth, room, company and safe handling."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from bloomline.engine.layers import LayerFinding
from bloomline.model.advice import Advice, Severity
from bloomline.model.yard import Pot, Yard
from bloomline.plan.fitting import CultivarOf, LayerFit, fit_pot, shape_of
from bloomline.plan.report import LayerForecast, SeasonReport, Stretch
from bloomline.reference.rules import load_rules

_RANK = {Severity.WARNING: 0, Severity.CAUTION: 1, Severity.NOTE: 2}
_COMMON = "common practice, no source"
_MOST_STRETCHES = 6
_MOST_SOURCES = 3
_SLACK_CM = 0.5  # nobody plants more exactly


def _in_cm(length_cm: float) -> str:
    return f"{round(length_cm, 1):g} cm"


def _in_kg(mass_kg: float) -> str:
    return f"{mass_kg:.0f} kg"


@dataclass(frozen=True, slots=True)
class Writing:
    """How figures are written into advice: metric and ISO dates unless told otherwise."""

    length: Callable[[float], str] = _in_cm
    mass: Callable[[float], str] = _in_kg
    day: Callable[[date], str] = date.isoformat


PLAIN = Writing()


def flowering_days(report: SeasonReport | None) -> dict[str, float]:
    """First flower by layer id as a rising number, for the order of layers."""
    if report is None:
        return {}
    return {
        layer.layer_id: float(layer.start.p50.toordinal())
        for layer in report.layers
        if layer.start is not None
    }


def advice_for(
    yard: Yard,
    report: SeasonReport | None,
    *,
    cultivar_of: CultivarOf,
    layer_id: str | None = None,
    pot_id: str | None = None,
    writing: Writing = PLAIN,
) -> tuple[Advice, ...]:
    """Advice on a layer, else on a pot, else on the yard; the gravest first, each told once.

    report : the season of this yard; None (not worked out yet) leaves the geometry and the
    cautions. Raises UnknownNameError for a layer, pot or cultivar that isn't there.
    """
    if layer_id is not None:
        found = _on_layer(yard, report, layer_id, cultivar_of=cultivar_of, writing=writing)
    elif pot_id is not None:
        found = _on_pot(yard, report, pot_id, cultivar_of=cultivar_of, writing=writing)
    else:
        found = _on_yard(yard, report, cultivar_of=cultivar_of, writing=writing)
    told: dict[str, Advice] = {}
    for advice in found:
        told.setdefault(advice.message, advice)
    return tuple(sorted(told.values(), key=lambda advice: _RANK[advice.severity]))


def _on_layer(
    yard: Yard,
    report: SeasonReport | None,
    layer_id: str,
    *,
    cultivar_of: CultivarOf,
    writing: Writing,
) -> Iterator[Advice]:
    pot, layer = yard.layer(layer_id)
    cultivar = cultivar_of(layer.cultivar_id)
    names = _names(yard, cultivar_of)
    yield from _from_forecast(_forecast_of(report, layer_id))
    fit = fit_pot(pot, cultivar_of=cultivar_of, flowering_days=flowering_days(report))
    at = next(i for i, each in enumerate(pot.layers) if each.id == layer_id)
    yield from _room(fit.layers[at], names[layer_id], pot)
    for finding in fit.layout.findings:
        if at in (finding.index, finding.other) and _worth_telling(finding):
            yield _on_finding(finding, pot, names, about=layer_id, writing=writing)
    if report is not None:
        for clash in _clashes(report, pot.id):
            if layer_id in clash.layer_ids:
                yield _on_clash(clash, names, writing)
        for crowd in report.crowded:
            if layer_id in crowd.layer_ids:
                yield _on_crowd(crowd, report, writing)
    for caution in load_rules().cautions(cultivar.genus):
        yield Advice(
            severity=Severity.CAUTION if yard.settings.pets else Severity.NOTE,
            topic="handling",
            message=caution.message,
            source=caution.source,
        )


def _on_pot(
    yard: Yard,
    report: SeasonReport | None,
    pot_id: str,
    *,
    cultivar_of: CultivarOf,
    writing: Writing,
) -> Iterator[Advice]:
    pot = yard.pot(pot_id)
    names = _names(yard, cultivar_of)
    fit = fit_pot(pot, cultivar_of=cultivar_of, flowering_days=flowering_days(report))
    for layer in fit.layers:
        yield from _room(layer, names[layer.layer_id], pot)
        for advice in _from_forecast(_forecast_of(report, layer.layer_id)):
            if advice.severity is Severity.WARNING and advice.topic != "poison":
                yield _named(advice, names[layer.layer_id])
    for finding in fit.layout.findings:
        if _worth_telling(finding):
            yield _on_finding(finding, pot, names, about=None, writing=writing)
    yield from _layers_for_depth(pot, writing)
    if report is not None:
        for clash in _clashes(report, pot_id):
            yield _on_clash(clash, names, writing)
    yield from _pets(yard, (layer.cultivar_id for layer in pot.layers), cultivar_of, "in this pot")
    yield from _weight(pot, writing)


def _on_yard(
    yard: Yard, report: SeasonReport | None, *, cultivar_of: CultivarOf, writing: Writing
) -> Iterator[Advice]:
    names = _names(yard, cultivar_of)
    if report is not None:
        yield from report.advice
        for stretch in report.bare[:_MOST_STRETCHES]:
            yield Advice(
                severity=Severity.NOTE,
                topic="bare",
                message=(
                    f"Bare for {_days(stretch.days)}, from {writing.day(stretch.first)} to "
                    f"{writing.day(stretch.last)}: a kind that opens then would fill it."
                ),
                reason=(
                    "The chance that anything is in flower stays below "
                    f"{report.bare_threshold:.0%} on each of these days."
                ),
                source=f"this forecast, {report.weather_label}",
            )
        for crowd in report.crowded[:_MOST_STRETCHES]:
            yield _on_crowd(crowd, report, writing)
    for pot in yard.pots:
        for layer in pot.layers:
            for advice in _from_forecast(_forecast_of(report, layer.id)):
                if advice.severity is Severity.WARNING and advice.topic != "poison":
                    yield _named(advice, f"{names[layer.id]} in {pot.name}")
    harmful = (layer.cultivar_id for _, layer in yard.layers())
    yield from _pets(yard, harmful, cultivar_of, "in this yard")


# Parts


def _names(yard: Yard, cultivar_of: CultivarOf) -> Mapping[str, str]:
    return {layer.id: cultivar_of(layer.cultivar_id).name for _, layer in yard.layers()}


def _forecast_of(report: SeasonReport | None, layer_id: str) -> LayerForecast | None:
    if report is None:
        return None
    return next((layer for layer in report.layers if layer.layer_id == layer_id), None)


def _from_forecast(forecast: LayerForecast | None) -> Iterator[Advice]:
    if forecast is None:
        return
    yield from forecast.advice
    explained = {advice.topic for advice in forecast.advice} & {"cold", "frost"}
    if forecast.reason and not explained:
        yield Advice(
            severity=Severity.WARNING,
            topic="date",
            message=f"{forecast.reason[0].upper()}{forecast.reason[1:]}.",
            source=forecast.date_source,
        )


def _named(advice: Advice, name: str) -> Advice:
    return Advice(
        severity=advice.severity,
        topic=advice.topic,
        message=f"{name}: {advice.message}",
        reason=advice.reason,
        source=advice.source,
    )


def _room(fit: LayerFit, name: str, pot: Pot) -> Iterator[Advice]:
    rule = load_rules().figure("single_layer_gap_bulb_widths")
    if fit.room.tight < 1:
        yield Advice(
            severity=Severity.WARNING,
            topic="room",
            message=f"{name} is too wide for {pot.name} at this depth.",
            reason="Pots taper: lower down there is less room.",
            source="geometry of the pot",
        )
    elif fit.count > fit.room.tight:
        yield Advice(
            severity=Severity.WARNING,
            topic="room",
            message=(
                f"{fit.count} bulbs of {name} don't fit: at this depth {fit.room.usual} fit "
                f"well and {fit.room.tight} at most. Take fewer, or lay them higher."
            ),
            reason=f"{rule.rule}.",
            source=rule.source,
        )
    elif fit.count > fit.room.usual:
        yield Advice(
            severity=Severity.NOTE,
            topic="room",
            message=(
                f"{fit.count} bulbs of {name} stand tight: {fit.room.usual} is usual here, "
                f"{fit.room.tight} the most. Good for one season; water and feed more."
            ),
            reason=f"{rule.rule}.",
            source=rule.source,
        )


def _pets(
    yard: Yard, cultivar_ids: Iterable[str], cultivar_of: CultivarOf, where: str
) -> Iterator[Advice]:
    """What of a pot or yard harms pets, named in one piece of advice where there are pets."""
    if not yard.settings.pets:
        return
    harmful = [c for c in map(cultivar_of, dict.fromkeys(cultivar_ids)) if c.toxic_pets > 0]
    if not harmful:
        return
    severe = any(cultivar.toxic_pets >= 2 for cultivar in harmful)
    kinds = sorted({cultivar.common_type for cultivar in harmful})
    vet = load_rules().caution("call-a-vet")
    rows = [load_rules().toxicity(c.genus, c.group) for c in harmful]
    sources = list(
        dict.fromkeys(part for row in rows if row is not None for part in row.source.split("; "))
    )
    if len(sources) > _MOST_SOURCES:
        sources = [*sources[:_MOST_SOURCES], "others: see each bulb"]
    what = "can be severe or fatal to pets" if severe else "upset or irritate pets"
    yield Advice(
        severity=Severity.WARNING if severe else Severity.CAUTION,
        topic="poison",
        message=f"Bulbs {where} {what}: {', '.join(kinds)}. {vet.message}",
        reason="Bulbs hold more of the poison than leaves or flowers.",
        source="; ".join(sources) or vet.source,
    )


def _worth_telling(finding: LayerFinding) -> bool:
    """Whether it is more than a few millimetres that are missing."""
    small = finding.code in ("layers_close", "little_compost_under", "shallower_than_usual")
    return not small or finding.limit - finding.value >= _SLACK_CM


# Code of the finding: severity, key of the rule.
_FINDINGS: Mapping[str, tuple[Severity, str]] = {
    "too_shallow": (Severity.CAUTION, "least_cover_cm"),
    "shallower_than_usual": (Severity.NOTE, "hole_bulb_heights"),
    "too_deep": (Severity.CAUTION, "deepest_layer_cm"),
    "little_compost_under": (Severity.NOTE, "compost_below_cm"),
    "in_crocks": (Severity.WARNING, "compost_below_cm"),
    "layers_collide": (Severity.WARNING, "compost_between_layers_cm"),
    "layers_close": (Severity.NOTE, "compost_between_layers_cm"),
    "later_above_earlier": (Severity.NOTE, "large_late_deep"),
    "taller_above_shorter": (Severity.NOTE, "large_late_deep"),
}


def _on_finding(
    finding: LayerFinding,
    pot: Pot,
    names: Mapping[str, str],
    *,
    about: str | None,
    writing: Writing,
) -> Advice:
    severity, key = _FINDINGS[finding.code]
    rule = load_rules().figure(key)
    name = names[pot.layers[finding.index].id]
    other = "" if finding.other is None else names[pot.layers[finding.other].id]
    value, limit = writing.length(abs(finding.value)), writing.length(finding.limit)
    messages = {
        "too_shallow": f"{name} lies too shallow: {value} under the surface; at least {limit}.",
        "shallower_than_usual": (
            f"{name} lies shallower than usual: {value} under the surface; {limit} is usual. "
            "That does for one season in a layered pot."
        ),
        "too_deep": f"{name} lies too deep: {value} under the surface; at most {limit}.",
        "little_compost_under": (
            f"Little compost under {name}: {value}; about {limit} feed the roots."
        ),
        "in_crocks": (
            f"{name} would lie in the crocks: its base needs {value} of compost, the pot holds "
            f"{limit}."
        ),
        "layers_collide": (
            f"{name} and {other} lie in one another, by {value}: one of the layers must be "
            "higher or lower."
        ),
        "layers_close": (
            f"Only {value} of compost between {name} and {other}; about {limit} is good."
        ),
        "later_above_earlier": (
            f"{name} flowers later but lies above {other}: its shoots come through the flowers "
            "that are over, and the earlier ones push past its bulbs."
        ),
        "taller_above_shorter": f"{name} grows taller but lies above {other}.",
    }
    return Advice(
        severity=severity,
        topic="depth" if finding.other is None or "layers_" in finding.code else "order",
        message=messages[finding.code],
        reason=f"{rule.rule}.",
        source=rule.source,
    )


def _layers_for_depth(pot: Pot, writing: Writing) -> Iterator[Advice]:
    rules = load_rules()
    small = rules.figure("small_pot_depth_cm").middle
    most = rules.figure("layers_small_pot")
    if pot.inside_height_cm < small and len(pot.layers) > most.middle:
        yield Advice(
            severity=Severity.CAUTION,
            topic="depth",
            message=(
                f"{len(pot.layers)} layers in a pot {writing.length(pot.inside_height_cm)} "
                f"high; {most.middle:.0f} are the most for a pot under {writing.length(small)}."
            ),
            reason=f"{most.rule}.",
            source=most.source,
        )


def _clashes(report: SeasonReport, pot_id: str) -> tuple[Stretch, ...]:
    return next((pot.clashes for pot in report.pots if pot.pot_id == pot_id), ())


def _on_clash(clash: Stretch, names: Mapping[str, str], writing: Writing) -> Advice:
    pair = " and ".join(names[layer_id] for layer_id in clash.layer_ids if layer_id in names)
    return Advice(
        severity=Severity.NOTE,
        topic="crowding",
        message=(
            f"{pair} flower together for {_days(clash.days)}, from {writing.day(clash.first)} "
            f"to {writing.day(clash.last)}, though the pot is meant to flower in turn."
        ),
        reason="A week's overlap hands over well; more shortens the pot's show.",
        source=_COMMON,
    )


def _on_crowd(crowd: Stretch, report: SeasonReport, writing: Writing) -> Advice:
    return Advice(
        severity=Severity.NOTE,
        topic="crowding",
        message=(
            f"Crowded for {_days(crowd.days)}, from {writing.day(crowd.first)} to "
            f"{writing.day(crowd.last)}: more than {report.crowd_limit} layers in flower at once."
        ),
        reason="Colour spread over more weeks fills the season better.",
        source=f"this forecast, {report.weather_label}; the limit is your own setting",
    )


def _weight(pot: Pot, writing: Writing) -> Iterator[Advice]:
    """A watered pot too heavy to lift alone, by its compost alone."""
    rules = load_rules()
    surface = pot.crocks_cm + pot.compost_depth_cm
    litres = shape_of(pot).volume_between(pot.crocks_cm, surface)
    mix = rules.compost("multipurpose")
    low, high = litres * mix.drained_low_kg_per_l, litres * mix.drained_high_kg_per_l
    women = max(box.women_close_kg for box in rules.lifting)
    men = max(box.men_close_kg for box in rules.lifting)
    if high <= women:
        return
    caution = rules.caution("two-people")
    yield Advice(
        severity=Severity.CAUTION,
        topic="weight",
        message=(
            f"{caution.message} The compost alone weighs {writing.mass(low)} to "
            f"{writing.mass(high)} when watered, and the pot comes on top."
        ),
        reason=(
            f"{litres:.0f} litres of compost ({mix.label}). A guide for one person, close to the "
            f"body and at the best height: {writing.mass(women)} for women, {writing.mass(men)} "
            "for men."
        ),
        source=f"{caution.source}; weight of compost {mix.source}",
    )


def _days(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"
