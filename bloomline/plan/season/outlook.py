"""One way of looking at a yard: all that its answers rest on, and the answers, each once.

Every use case is a function of an outlook and its own question. So window, papers and command
line can't answer from different weather, records, places or days.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import update_wrapper
from typing import Any, Concatenate, ParamSpec, TypeVar

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Yard
from bloomline.plan.climate.garden import Garden, garden_of
from bloomline.plan.climate.own_weather import recorded_of
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.keep import Keep
from bloomline.reference.catalogue import Catalogue

_MOST_KEPT = 64  # questions an outlook; more than there are use cases

Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")
Shared = TypeVar("Shared")


def _new_keep() -> Keep[Any]:
    return Keep(_MOST_KEPT)


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """A yard with all that its answers rest on.

    catalogue : without the yard's own kinds (`cultivar_of` and `kinds` know them). garden,
    recorded : where the yard is looked at and which days are facts there. use_records : whether
    the yard's records shift and narrow forecasts, those of days up to `today`. weather_year :
    rank of the only year that is looked at, 0 the coldest; None for all years. taught_by : of a
    what-if, the yard as it is, since what was seen was seen there.
    """

    yard: Yard
    catalogue: Catalogue
    forecaster: Forecaster
    today: date
    garden: Garden
    recorded: RecordedWeather | None
    use_records: bool = True
    weather_year: int | None = None
    taught_by: Outlook | None = None
    _shared: dict[type, Any] = field(default_factory=dict, repr=False)
    _keep: Keep[Any] = field(default_factory=_new_keep, init=False, repr=False)

    @classmethod
    def of(
        cls,
        yard: Yard,
        *,
        catalogue: Catalogue,
        forecaster: Forecaster,
        today: date,
        garden: Garden | None = None,
        recorded: RecordedWeather | None = None,
        use_records: bool = True,
        weather_year: int | None = None,
    ) -> Outlook:
        """A yard as it is, or at another garden, or with other recorded days laid over its own.

        The days a yard keeps were recorded at its own place and say nothing of another one.
        """
        if garden is None and recorded is None:
            recorded = recorded_of(yard)
        here = garden or garden_of(yard.place)
        return cls(yard, catalogue, forecaster, today, here, recorded, use_records, weather_year)

    def cultivar_of(self, cultivar_id: str) -> Cultivar:
        """The cultivar a layer names. Raises UnknownNameError."""
        return find_cultivar(self.yard, cultivar_id, catalogue=self.catalogue)

    @property
    def kinds(self) -> Catalogue:
        """The catalogue with the yard's own kinds."""
        return _kinds(self)

    @property
    def usual(self) -> Outlook:
        """The same over all weather years: what is printed and planned."""
        return self if self.weather_year is None else _over_all_years(self)

    def with_(self, **changes: Any) -> Outlook:
        """The same but for some fields.

        Another yard brings its own place and recorded days, unless others were laid over them.
        A single weather year shares what is known of all years.
        """
        yard = changes.get("yard", self.yard)
        moved = yard.place is not self.yard.place and yard.place != self.yard.place
        if moved and self.garden == garden_of(self.yard.place):
            changes.setdefault("garden", garden_of(yard.place))
        other = moved or yard.weather is not self.yard.weather
        if other and self.recorded is recorded_of(self.yard):
            changes.setdefault("recorded", recorded_of(yard))
        if set(changes) == {"weather_year"}:
            if changes["weather_year"] is None:
                return self.usual
            one_year = replace(self, **changes)
            all_years = self.usual
            one_year._keep.get((_over_all_years, (), ()), lambda: all_years)
            return one_year
        return replace(self, **changes)

    def shared(self, kind: type[Shared]) -> Shared:
        """The one of a kind of keep that serves this outlook and all that are made of it."""
        found: Shared = self._shared.setdefault(kind, kind())
        return found

    def what_if(self, **changes: Any) -> Outlook:
        """The same but for some fields, with what the yard as it is has taught.

        Its weather and sums don't push those of the season shown out.
        """
        taught_by = self.taught_by or self
        return self.with_(taught_by=taught_by, forecaster=self.forecaster.side, **changes)


def kept(
    use_case: Callable[Concatenate[Outlook, Asked], Answer],
) -> Callable[Concatenate[Outlook, Asked], Answer]:
    """Let a function of an outlook be worked out once for each outlook and question.

    Threads that ask the same share the work. What else it takes must be hashable.
    """

    def ask(outlook: Outlook, /, *args: Asked.args, **kwargs: Asked.kwargs) -> Answer:
        question = (ask, args, tuple(sorted(kwargs.items())))
        answer: Answer = outlook._keep.get(question, lambda: use_case(outlook, *args, **kwargs))
        return answer

    update_wrapper(ask, use_case)
    return ask


def known(use_case: Callable[[Outlook], Answer], outlook: Outlook) -> Answer | None:
    """What a kept use case has answered already; None while it has not."""
    answer: Answer | None = outlook._keep.known((use_case, (), ()))
    return answer


@kept
def _kinds(outlook: Outlook) -> Catalogue:
    return outlook.catalogue.with_own(outlook.yard.own_cultivars)


@kept
def _over_all_years(outlook: Outlook) -> Outlook:
    return replace(outlook, weather_year=None)


def find_cultivar(yard: Yard, cultivar_id: str, *, catalogue: Catalogue) -> Cultivar:
    """The cultivar a layer names: the yard's own, else the catalogue's.

    Raises UnknownNameError.
    """
    for own in yard.own_cultivars:
        if own.id == cultivar_id and isinstance(own, Cultivar):
            return own
    return catalogue.get(cultivar_id)
