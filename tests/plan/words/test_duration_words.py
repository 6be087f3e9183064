from __future__ import annotations

import pytest

from bloomline.plan.words.durations import duration_words


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (1, "1 min"),
        (59, "59 min"),
        (60, "1 h"),
        (125, "2 h 05 min"),
        (599, "9 h 59 min"),
        (600, "10 h"),
        (2554, "43 h"),
    ],
)
def test_long_work_is_told_in_hours(minutes, words):
    # 60 minutes are an hour (SI Brochure, table 8); 2554 of them are 42.57 hours.
    assert duration_words(minutes) == words
