"""How layers stand on a day, worked out as they are asked for: of a thousand pots few are seen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from bloomline.plan.forecast.growth import Growth, Stage, growth_on
from bloomline.plan.forecast.report import LayerForecast

_LIFTED = Growth(Stage.GONE, 0.0, 0.0, 1.0)


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
