"""All advice on a layer, a pot or the yard: forecast, depth, room, company and safe handling."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from bloomline.model.advice import Advice, Severity
from bloomline.model.yard import Yard
from bloomline.plan.forecast.report import LayerForecast, SeasonReport, Stretch
from bloomline.plan.pot.advice import PLAIN, Writing
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.pot.safety import safety_advice
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.words import bare_words
from bloomline.plan.season.yard import season_report
from bloomline.plan.tops.advice import companions_advice
from bloomline.plan.words.benches import pot_words
from bloomline.reference.rules import load_rules
from bloomline.words import marked, plural, tr

_RANK = {Severity.WARNING: 0, Severity.CAUTION: 1, Severity.NOTE: 2}
_COMMON = marked("common practice, no source")
_MOST_STRETCHES = 6
_MOST_SOURCES = 3


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
    outlook: Outlook,
    *,
    layer_id: str | None = None,
    pot_id: str | None = None,
    writing: Writing = PLAIN,
    with_season: bool = True,
) -> tuple[Advice, ...]:
    """Advice on a layer, else on a pot, else on the yard; the gravest first, each told once.

    with_season : whether to ask for the season; without it the geometry and the cautions are
    told. Raises UnknownNameError for a layer, pot or cultivar that isn't there.
    """
    report = season_report(outlook) if with_season else None
    if layer_id is not None:
        found = _on_layer(outlook, report, layer_id, writing=writing)
    elif pot_id is not None:
        found = _on_pot(outlook, report, pot_id, writing=writing)
    else:
        found = _on_yard(outlook, report, writing=writing)
    told: dict[str, Advice] = {}
    for advice in found:
        told.setdefault(advice.message, advice)
    return tuple(sorted(told.values(), key=lambda advice: _RANK[advice.severity]))


def _on_layer(
    outlook: Outlook, report: SeasonReport | None, layer_id: str, *, writing: Writing
) -> Iterator[Advice]:
    yard, cultivar_of = outlook.yard, outlook.cultivar_of
    pot, layer = yard.layer(layer_id)
    cultivar = cultivar_of(layer.cultivar_id)
    names = _names(yard, cultivar_of)
    yield from _from_forecast(_forecast_of(report, layer_id))
    for finding in pot_findings(
        pot, cultivar_of=cultivar_of, flowering_days=flowering_days(report), writing=writing
    ):
        if layer_id in finding.layer_ids or not finding.layer_ids:
            yield finding.advice
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
            message=tr(caution.message),
            source=caution.source,
        )


def _on_pot(
    outlook: Outlook, report: SeasonReport | None, pot_id: str, *, writing: Writing
) -> Iterator[Advice]:
    yard, cultivar_of = outlook.yard, outlook.cultivar_of
    pot = yard.pot(pot_id)
    names = _names(yard, cultivar_of)
    for finding in pot_findings(
        pot, cultivar_of=cultivar_of, flowering_days=flowering_days(report), writing=writing
    ):
        yield finding.advice
    for layer in pot.layers:
        for advice in _from_forecast(_forecast_of(report, layer.id)):
            if advice.severity is Severity.WARNING and advice.topic != "poison":
                yield _named(advice, names[layer.id])
    yield from companions_advice(pot, report, southern=yard.place.latitude_deg < 0)
    if report is not None:
        for clash in _clashes(report, pot_id):
            yield _on_clash(clash, names, writing)
    yield from _pets(
        yard, (layer.cultivar_id for layer in pot.layers), cultivar_of, tr("in this pot")
    )
    yield from safety_advice(pot, yard=yard, cultivar_of=cultivar_of, mass=writing.mass)


def _on_yard(
    outlook: Outlook, report: SeasonReport | None, *, writing: Writing
) -> Iterator[Advice]:
    yard, cultivar_of = outlook.yard, outlook.cultivar_of
    if report is not None:
        yield from report.advice
        counted = bare_words(report)
        if counted:
            yield Advice(
                severity=Severity.NOTE,
                topic="bare",
                message=tr("Counted year by year, {counted}.", counted=counted),
                reason=tr("Bare days that fall differently each year are counted but not hatched."),
                source=tr("this forecast, {weather_label}", weather_label=report.weather_label),
            )
        for stretch in report.bare[:_MOST_STRETCHES]:
            yield Advice(
                severity=Severity.NOTE,
                topic="bare",
                message=(
                    tr(
                        "Bare for {days}, from {first} to {last}: a kind that "
                        "opens then would fill it.",
                        days=_days(stretch.days),
                        first=writing.day(stretch.first),
                        last=writing.day(stretch.last),
                    )
                ),
                reason=(
                    tr(
                        "The chance that anything is in flower stays below "
                        "{bare_threshold:.0%} on each of these days.",
                        bare_threshold=report.bare_threshold,
                    )
                ),
                source=tr("this forecast, {weather_label}", weather_label=report.weather_label),
                gap=(stretch.first, stretch.last),
            )
        for crowd in report.crowded[:_MOST_STRETCHES]:
            yield _on_crowd(crowd, report, writing)
    yield from _failing(outlook, report)
    harmful = (layer.cultivar_id for _, layer in yard.layers())
    yield from _pets(yard, harmful, cultivar_of, tr("in this yard"))


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


_FAILING: Mapping[str, str] = {
    "cold": marked("Too little cold"),
    "frost": marked("Frost kills the bulbs in many years"),
    "date": marked("No flower this season"),
}


def _fails(layer: LayerForecast) -> list[Advice]:
    """What is told of a layer that fails."""
    return [
        advice
        for advice in _from_forecast(layer)
        if advice.severity is Severity.WARNING and advice.topic in _FAILING
    ]


def _failing(outlook: Outlook, report: SeasonReport | None) -> Iterator[Advice]:
    """What fails, one piece of advice a cause, with the layers it concerns."""
    # First of those that differ: of a thousand layers mostly none fails.
    if report is None or not any(_fails(each.layer) for each in report.alike):
        return
    yard = outlook.yard
    names = _names(yard, outlook.cultivar_of)
    pots = {pot.id: pot for pot in yard.pots}
    counts = dict.fromkeys(_FAILING, 0)
    first: dict[str, Advice] = {}
    concerned: dict[str, list[str]] = {topic: [] for topic in _FAILING}
    for layer in report.layers:
        for advice in _fails(layer):
            first.setdefault(advice.topic, advice)
            name = names.get(layer.layer_id, layer.name)
            pot = pots.get(layer.pot_id)
            called = "" if pot is None else pot_words(pot)
            counts[advice.topic] += 1 if pot is None else pot.copies
            concerned[advice.topic].append(tr("{name} in {pot_name}", name=name, pot_name=called))
    for topic, advice in first.items():
        layers = concerned[topic]
        if len(layers) == 1:
            yield _named(advice, layers[0])
            continue
        told = "; ".join(layers[:_MOST_STRETCHES])
        if len(layers) > _MOST_STRETCHES:
            told += tr("; and {most_stretches} more", most_stretches=len(layers) - _MOST_STRETCHES)
        yield Advice(
            severity=advice.severity,
            topic=topic,
            message=tr(
                "{failing} for {count} layers: {told}. Each says what helps.",
                failing=tr(_FAILING[topic]),
                count=counts[topic],
                told=told,
            ),
            reason=advice.reason,
            source=advice.source,
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
        sources = [*sources[:_MOST_SOURCES], tr("others: see each bulb")]
    what = tr("can be severe or fatal to pets") if severe else tr("upset or irritate pets")
    yield Advice(
        severity=Severity.WARNING if severe else Severity.CAUTION,
        topic="poison",
        message=tr(
            "Bulbs {where_words} {what}: {kinds}. {message_words}",
            where_words=where,
            what=what,
            kinds=", ".join(kinds),
            message_words=tr(vet.message),
        ),
        reason=tr("Bulbs hold more of the poison than leaves or flowers."),
        source="; ".join(sources) or vet.source,
    )


def _clashes(report: SeasonReport, pot_id: str) -> tuple[Stretch, ...]:
    return next((pot.clashes for pot in report.pots if pot.pot_id == pot_id), ())


def clash_words(clash: Stretch, names: Mapping[str, str], *, writing: Writing = PLAIN) -> str:
    """Two layers of a pot that flower together; `names` are by layer id."""
    pair = tr(" and ").join(names[layer_id] for layer_id in clash.layer_ids if layer_id in names)
    return tr(
        "{pair} flower together for {days}, from {first} to {last}, though "
        "the pot is meant to flower in turn.",
        pair=pair,
        days=_days(clash.days),
        first=writing.day(clash.first),
        last=writing.day(clash.last),
    )


def _on_clash(clash: Stretch, names: Mapping[str, str], writing: Writing) -> Advice:
    return Advice(
        severity=Severity.NOTE,
        topic="crowding",
        message=clash_words(clash, names, writing=writing),
        reason=tr("A week's overlap hands over well; more shortens the pot's show."),
        source=tr(_COMMON),
    )


def crowd_words(crowd: Stretch, report: SeasonReport, *, writing: Writing = PLAIN) -> str:
    """A stretch with more layers in flower than are wanted."""
    return tr(
        "Crowded for {days}, from {first} to {last}: more than "
        "{crowd_limit} layers in flower at once.",
        days=_days(crowd.days),
        first=writing.day(crowd.first),
        last=writing.day(crowd.last),
        crowd_limit=report.crowd_limit,
    )


def _on_crowd(crowd: Stretch, report: SeasonReport, writing: Writing) -> Advice:
    return Advice(
        severity=Severity.NOTE,
        topic="crowding",
        message=crowd_words(crowd, report, writing=writing),
        reason=tr("Colour spread over more weeks fills the season better."),
        source=tr(
            "this forecast, {weather_label}; the limit is your own setting",
            weather_label=report.weather_label,
        ),
    )


def _days(days: int) -> str:
    return plural("{n} day", "{n} days", days)
