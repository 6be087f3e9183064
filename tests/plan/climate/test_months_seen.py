from __future__ import annotations

import numpy as np

from bloomline.plan.climate.months_seen import MonthSeen, months_seen
from bloomline.plan.climate.weather import RecordedWeather


def test_months_of_the_season_with_a_week_of_days_are_put_together() -> None:
    days = np.arange(np.datetime64("2026-05-20"), np.datetime64("2026-07-05"))
    low = np.where(np.arange(len(days)) % 2 == 0, 1.0, -1.0)
    recorded = RecordedWeather(days=days, tmin_c=low, tmax_c=low + 10.0, label="made up")
    # May lies before the season, July has four days: by hand, June's 30 days, half with frost.
    assert months_seen(recorded, first_day=np.datetime64("2026-06-01")) == (
        MonthSeen(2026, 6, 30, 10.0, 0.0, -1.0, 15),
    )
