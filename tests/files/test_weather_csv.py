from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from bloomline.errors import DataError
from bloomline.files.weather_csv import DailyTemperatures, read_weather


@pytest.fixture
def read(tmp_path: Path):
    def read_text(text: str | bytes) -> DailyTemperatures:
        path = tmp_path / "weather.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_weather(path)

    return read_text


def test_days_are_sorted_gaps_left_out_and_other_columns_passed_over(read) -> None:
    weather = read(
        "station,date,rain_mm,tmax_c,tmin_c\n"
        "x,2024-12-02,1,5,-1.5\n"
        "x,2022-11-30,0,7,2\n"
        "x,2024-12-01,,,1\n"
    )
    assert weather.days.tolist() == np.array(["2022-11-30", "2024-12-02"], "M8[D]").tolist()
    assert weather.tmin_c.tolist() == [2.0, -1.5]
    assert weather.tmax_c.tolist() == [7.0, 5.0]
    assert weather.n_gaps == 1


def test_semicolons_decimal_commas_and_midnights_of_spreadsheets(read) -> None:
    weather = read(b"\xef\xbb\xbfDate;Tmin C;Tmax C\r\n2024-12-01 00:00:00;-1,5;4,25\r\n")
    assert (weather.tmin_c[0], weather.tmax_c[0]) == (-1.5, 4.25)


def test_every_odd_line_is_named(read) -> None:
    with pytest.raises(DataError) as caught:
        read(
            "date,tmin_c,tmax_c\n"
            "2024-12-01,1,5\n"
            "2024-12-01,1,5\n"
            "2024-12-02,6,5\n"
            "02/12/2024,1,5\n"
            "2024-12-04,nan,5\n"
            "2024-12-05,-91,5\n"
            "2024-12-06,1,1_0\n"
            "2024-12-07,1,61\n"
        )
    assert caught.value.problems == (
        "line 3: 2024-12-01 is already on line 2",
        "line 4: tmin_c 6 is above tmax_c 5",
        "line 5: “02/12/2024” is not a date like 2025-11-01",
        "line 6: tmin_c “nan” is not a number",
        "line 7: tmin_c -91 °C is outside -90 to 60",
        "line 8: tmax_c “1_0” is not a number",
        "line 9: tmax_c 61 °C is outside -90 to 60",
    )


def test_missing_columns_are_named_with_what_comes_near(read) -> None:
    with pytest.raises(DataError, match=r"no column “tmax_c”; is “tmaxc” meant"):
        read("date,tmin_c,tmaxc\n2024-12-01,1,2\n")


def test_a_table_without_any_day_is_refused(read) -> None:
    with pytest.raises(DataError, match="no day with both"):
        read("date,tmin_c,tmax_c\n2024-12-01,,\n")


def test_a_hundred_thousand_faults_are_left_early(read) -> None:
    lines = "".join("x,1,2\n" for _ in range(100_000))
    with pytest.raises(DataError) as caught:
        read("date,tmin_c,tmax_c\n" + lines)
    assert len(caught.value.problems) <= 100
