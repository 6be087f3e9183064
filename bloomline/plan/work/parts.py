"""What tasks are about: a layer with its days, companions on a pot, frosts, a stay indoors."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bloomline.model.companion import CompanionPlanting
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot
from bloomline.plan.forecast.report import Band, LayerForecast
from bloomline.plan.work.task import Window
from bloomline.reference.tasks import AfterCare


@dataclass(frozen=True, slots=True, eq=False)
class Plant:
    """A layer with its pot, its cultivar, its care, and the forecast of layers planted like it.

    forecast : one object for all of them, by the ids and the number of the first. at : which of
    its pot.
    """

    pot: Pot
    layer: Layer
    cultivar: Cultivar
    forecast: LayerForecast
    care: AfterCare
    usual: date  # the usual planting day of the season
    at: int

    @property
    def here_from(self) -> date:
        """The day from which it stands in its pot in this season."""
        return self.usual if self.forecast.established else self.layer.planted

    @property
    def over(self) -> Band | None:
        """When its leaves are down, or its flowers where no leaves are forecast."""
        return self.forecast.leaves_over or self.forecast.end

    @property
    def seasons(self) -> int:
        """The season it is in: 1 in the first."""
        return max(1, self.usual.year - self.layer.planted.year + 1)


@dataclass(frozen=True, slots=True)
class Stay:
    """A plant that is carried in or stored before the frost: its window, and whether it is late.

    still_in_flower : whether frost comes before its flowers are over in most years.
    """

    kind: str
    window: Window
    frost: date
    still_in_flower: bool


@dataclass(frozen=True, slots=True)
class Tops:
    """Companions on top of a pot, with the pot."""

    pot: Pot
    planting: CompanionPlanting
