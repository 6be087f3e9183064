"""How layers stand on a day, worked out as they are asked for: of a thousand pots few are seen."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from datetime import date

from bloomline.model.yard import Yard
from bloomline.plan.forecast.growth import Growth, Stage, growth_on
from bloomline.plan.forecast.report import LayerForecast, SeasonReport

_LIFTED = Growth(Stage.GONE, 0.0, 0.0, 1.0)


class Forecasts(Mapping[str, LayerForecast]):
    """The layers of a report by their ids; of the pots that are asked about alone."""

    def __init__(self, report: SeasonReport | None, pot_of: Mapping[str, str]) -> None:
        """pot_of : the pots of layers in the yard as it is now, which the report may lag behind."""
        self._report, self._pot_of = report, pot_of
        self._pots = {pot.pot_id: pot for pot in report.pots} if report is not None else {}
        self._known: dict[str, LayerForecast] = {}

    def __getitem__(self, layer_id: str) -> LayerForecast:
        if layer_id not in self._known and self._report is not None:
            pot = self._pots.get(self._pot_of.get(layer_id, ""))
            self._known |= {each.layer_id: each for each in (pot.layers if pot else ())}
            if layer_id not in self._known:  # it lay elsewhere when the report was made
                self._known |= {each.layer_id: each for each in self._report.layers}
        return self._known[layer_id]

    def __iter__(self) -> Iterator[str]:
        return (each.layer_id for each in (self._report.layers if self._report else ()))

    def __len__(self) -> int:
        return sum(1 for _ in self)


class Barren(Container[str]):
    """The ids of layers that do not flower."""

    def __init__(self, forecasts: Mapping[str, LayerForecast]) -> None:
        self._forecasts = forecasts

    def __contains__(self, layer_id: object) -> bool:
        forecast = self._forecasts.get(str(layer_id))
        return forecast is not None and forecast.start is None


class Lying:
    """Where a yard's layers lie."""

    def __init__(self, yard: Yard) -> None:
        pairs = [(pot, layer) for pot, layer in yard.layers()]
        self.pot_of = {layer.id: pot.id for pot, layer in pairs}
        self.lifted = {one.id: one.lifted_on for _, one in pairs if one.lifted_on is not None}
        """The days on which layers leave their pots."""


class Growths(Mapping[str, Growth]):
    """By the id of a layer, or by what a part of its mixture is called (`part_name`)."""

    def __init__(
        self, forecasts: Mapping[str, LayerForecast], lifted: Mapping[str, date], day: date
    ) -> None:
        """`lifted` are the days on which layers leave their pots, by id."""
        self._forecasts, self._lifted, self._day = forecasts, lifted, day
        self._known: dict[str, Growth] = {}

    def __getitem__(self, name: str) -> Growth:
        found = self._known.get(name)
        if found is None:
            found = self._known[name] = self._stand(name)
        return found

    def _stand(self, name: str) -> Growth:
        layer_id, _, number = name.partition("#")
        forecast = self._forecasts[layer_id]
        lifted_on = self._lifted.get(layer_id)
        if lifted_on is not None and lifted_on <= self._day:
            return _LIFTED
        return growth_on(forecast.parts[int(number)] if number else forecast, self._day)

    def __iter__(self) -> Iterator[str]:
        return iter(self._forecasts)

    def __len__(self) -> int:
        return len(self._forecasts)
