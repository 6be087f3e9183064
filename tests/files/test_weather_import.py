"""Weather tables as they come: columns, separators, units and orders of days are found out."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bloomline.errors import BloomlineError, DataError, FileProblemError, UsageError
from bloomline.files.weather_import import (
    ImportChoices,
    ImportedWeather,
    ImportQuestion,
    import_weather,
)

DAYS = [(3.1, 9.2), (-1.5, 4.0), (0.0, 7.7), (2.2, 8.8), (5.0, 11.5), (4.5, 12.2)]


@pytest.fixture
def read(tmp_path):
    def from_text(text, *, coding="utf-8", **choices):
        path = tmp_path / "w.csv"
        path.write_bytes(text.encode(coding))
        return import_weather(path, choices=ImportChoices(**choices) if choices else None)

    return from_text


def table(head, row):
    return head + "".join(row(i, low, high) for i, (low, high) in enumerate(DAYS))


def comma(value):
    return f"{value:.1f}".replace(".", ",")


def iso(i):
    return f"2026-11-{i + 1:02d}"


def fahrenheit(value):
    return f"{value * 1.8 + 32:.2f}"


WAYS = {
    "plain": ("date,tmin_c,tmax_c\n", lambda i, a, b: f"{iso(i)},{a},{b}\n"),
    "german": (
        "Datum;Tiefstwert;Höchstwert\n",
        lambda i, a, b: f"0{i + 1}.11.2026;{comma(a)};{comma(b)}\n",
    ),
    "french": (
        "jour;température mini (°C);température maxi (°C)\n",
        lambda i, a, b: f"{i + 1}/11/2026;{comma(a)};{comma(b)}\n",
    ),
    "fahrenheit": (
        "Date\tHigh °F\tLow °F\n",
        lambda i, a, b: f"11/0{i + 1}/2026\t{fahrenheit(b)}\t{fahrenheit(a)}\n",
    ),
    "kelvin": ("date;tmin;tmax\n", lambda i, a, b: f"{iso(i)};{a + 273.15};{b + 273.15}\n"),
    "tenths": (
        "# source\n# YYYYMMDD,  TG,  TN (0.1 C),  TX (0.1 C)\n\n",
        lambda i, a, b: f"2026110{i + 1}, 50, {a * 10:.0f}, {b * 10:.0f}\n",
    ),
    "other columns": (
        "station;MESS_DATUM;QN_4;wind;TMK;TXK;TNK;eor\n",
        lambda i, a, b: f"433;2026110{i + 1};3;99;5.0;{b};{a};eor\n",
    ),
    "year month day": ("year month day tmax tmin\n", lambda i, a, b: f"2026 11 {i + 1} {b} {a}\n"),
    "no names": ("", lambda i, a, b: f"{iso(i)} {b} {a}\n"),
    "quoted decimal commas": (
        'date,"min","max"\n',
        lambda i, a, b: f'{iso(i)},"{comma(a)}","{comma(b)}"\n',
    ),
    "hours": (
        "time,temperature_2m (°C),rain\n",
        lambda i, a, b: "".join(
            f"{iso(i)}T{h:02d}:00,{a if h == 5 else b if h == 14 else (a + b) / 2:.2f},0\n"
            for h in range(24)
        ),
    ),
}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_the_same_days_come_out_of_every_way_to_write_them(read, way, coding):
    got = read(table(*WAYS[way]), coding=coding)
    assert isinstance(got, ImportedWeather), got
    assert got.daily.days.astype(str).tolist() == [iso(i) for i in range(len(DAYS))]
    assert got.daily.tmin_c == pytest.approx([low for low, _ in DAYS], abs=0.01)
    assert got.daily.tmax_c == pytest.approx([high for _, high in DAYS], abs=0.01)
    assert got.is_hourly == (way == "hours")


def test_day_first_or_month_first_is_asked_and_the_answer_taken(read):
    text = "date,min,max\n01/02/2026,1,5\n02/03/2026,1,5\n"
    asked = read(text)
    assert isinstance(asked, ImportQuestion)
    assert (asked.about, asked.options) == ("date_order", ("dmy", "mdy"))
    assert "01/02/2026" in asked.words
    assert read(text, date_order="dmy").daily.days.astype(str).tolist()[0] == "2026-02-01"
    assert read(text, date_order="mdy").daily.days.astype(str).tolist()[0] == "2026-01-02"


def test_days_that_follow_one_another_tell_the_order(read):
    rows = "".join(f"{i:02d}/11/2026,1,5\n" for i in range(1, 13))
    assert read("date,min,max\n" + rows).date_order == "dmy"


def test_a_wrong_order_is_told_line_by_line(read):
    with pytest.raises(DataError, match=r"line 2: “13/11/2026” is no day read as mdy"):
        read("date,min,max\n13/11/2026,1,5\n", date_order="mdy")


def test_columns_are_asked_when_two_may_be_meant(read):
    text = table(
        "date,outdoor min,outdoor max,attic max\n", lambda i, a, b: f"{iso(i)},{a},{b},{b + 9}\n"
    )
    asked = read(text)
    assert isinstance(asked, ImportQuestion)
    assert asked.about == "columns"
    assert "attic max" in asked.options
    got = read(text, columns=("date", "outdoor min", "4"))
    assert got.daily.tmax_c[0] == pytest.approx(18.2)


def test_the_unit_is_asked_when_figures_may_be_either(read):
    text = table("date,min,max\n", lambda i, a, b: f"{iso(i)},{30 + i},{50 + i}\n")
    asked = read(text)
    assert isinstance(asked, ImportQuestion)
    assert asked.about == "unit"
    assert read(text, unit="f").daily.tmin_c[2] == pytest.approx(0.0)
    assert read(text, unit="tenths").daily.tmin_c[0] == pytest.approx(3.0)


def test_a_unit_taken_from_the_figures_is_told(read):
    got = read(table("date,min,max\n", lambda i, a, b: f"{iso(i)},{a},{b}\n"))
    assert "taken as °C" in got.notes[0]


def test_odd_lines_are_all_named(read):
    with pytest.raises(DataError) as caught:
        read(
            "date,tmin_c,tmax_c\n2026-11-01,5,4\n2026-11-02,3,99\n2026-13-02,9,13\n"
            "2026-11-05,1,2\n2026-11-05,1,3\n2026-11-06,abc,3\n2026-11-07,NA,3\n"
        )
    told = caught.value.problems
    assert len(told) == 5
    for line, words in zip(
        (2, 3, 4, 6, 7), ("above", "99", "no day", "line 5", "abc"), strict=True
    ):
        assert any(f"line {line}:" in each and words in each for each in told), (line, told)


def test_equal_doubles_are_taken_once_and_named(read):
    got = read("date,tmin_c,tmax_c\n2026-11-01,3,4\n2026-11-01,3,4\n2026-11-02,,4\n")
    assert len(got.daily.days) == 1
    assert any("lines 2 and 3" in note for note in got.notes)
    assert got.daily.n_gaps == 1


def test_days_with_few_hours_are_left_out_and_named(read):
    rows = [f"2026-11-{d:02d} {h:02d}:00;{h}" for d in (1, 2, 3) for h in range(24)]
    got = read("time;temp °C\n" + "\n".join([*rows, "2026-11-04 00:00;3", "2026-11-04 01:00;2"]))
    assert got.daily.days.astype(str).tolist() == ["2026-11-01", "2026-11-02", "2026-11-03"]
    assert any("2026-11-04" in note for note in got.notes)


@pytest.mark.parametrize("text", ["", "hello\nworld\n", "a,b\n1,2\n"])
def test_what_is_no_table_is_refused(read, text):
    with pytest.raises(FileProblemError, match="row with a day"):
        read(text)


def test_a_column_that_is_not_there_is_named(read):
    with pytest.raises(UsageError, match="no single column “lowest”"):
        read(table(*WAYS["plain"]), columns=("date", "lowest", "tmax_c"))


_CELLS = ["2026-11-01", "01/02/2026", "31.12.26", "20261101", "5", "-3,5", "4.25 °C", "NA", "", "x",
          "9" * 400, "1e5", "date", "min", "T", "12:00", "2026-11-01T05:00", '"', "−2"]  # fmt: skip


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    rows=st.lists(st.lists(st.sampled_from(_CELLS), min_size=1, max_size=5), max_size=12),
    sign=st.sampled_from([",", ";", "\t", " "]),
)
def test_any_table_is_read_asked_about_or_refused_in_words(read, rows, sign):
    text = "\n".join(sign.join(row) for row in rows)
    try:
        got = read(text)
    except BloomlineError:
        return  # any other error fails the test
    if isinstance(got, ImportedWeather):
        assert (got.daily.tmin_c <= got.daily.tmax_c).all()
        assert (got.daily.days[1:] > got.daily.days[:-1]).all()
    else:
        assert got.words


@pytest.mark.parametrize(
    "words",
    [
        "{day} Nov 2026",
        "{day}-Nov-26",
        "{day} November 2026",
        '"Nov {day}, 2026"',
        "{day}. nov. 2026",
        "{day}/Nov/2026",
    ],
)
def test_months_in_words_are_read(read, words):
    got = read(table("Date,Min,Max\n", lambda i, a, b: f"{words.format(day=i + 1)},{a},{b}\n"))
    assert isinstance(got, ImportedWeather)
    assert [str(day) for day in got.daily.days] == [iso(i) for i in range(len(DAYS))]


@pytest.mark.parametrize(
    ("word", "month"),
    [("März", 3), ("Mai", 5), ("mei", 5), ("Okt", 10), ("Dez", 12), ("juin", 6), ("juil", 7),
     ("août", 8), ("fév", 2), ("ene", 1), ("set", 9), ("lug", 7)],
)  # fmt: skip
def test_months_of_other_languages(word, month):
    from bloomline.files.weather_text import parts_of_day

    assert parts_of_day(f"3 {word} 2027") == (3, month, 2027, "dmy")
    assert parts_of_day("3 foo 2027") is None
    assert parts_of_day("3 Marzipan") is None


def test_a_day_with_a_word_and_a_time_is_parted():
    from bloomline.files.weather_text import split_clock

    assert split_clock("5 Sep 2026 14:00") == ("5 Sep 2026", "14:00")
    assert split_clock("9/1/2026 2:00 PM") == ("9/1/2026", "2:00 PM")
    assert split_clock("T" * 90 + " 14:00") == ("T" * 90 + " 14:00", "")  # no time of a day
    assert split_clock("2026-09-01T14:00Z") == ("2026-09-01", "14:00Z")
    assert split_clock("5 Sep 2026") == ("5 Sep 2026", "")


def test_every_day_knows_its_line_and_problems_come_in_their_order(read):
    got = read(table("Date,Min,Max\n", lambda i, a, b: f"{iso(i)},{a},{b}\n"))
    assert got.lines == tuple(range(2, 2 + len(DAYS)))
    with pytest.raises(DataError) as caught:
        read("date,tmin_c,tmax_c\n2026-11-01,9,5\n2026-11-02,1,200\n2026-11-03,1,5\nx,3,4\n")
    assert [each.split(":")[0] for each in caught.value.problems] == ["line 2", "line 3", "line 5"]


JUNK = {
    "no day": ("x,3,4\n", "is no day"),
    "year": ("0026-11-20,3,4\n", "the year 0026 is outside 1900 to 2199; is 2026 meant?"),
    "word": ("2026-11-20,??,4\n", "is no temperature"),
    "sensor": ("2026-11-20,999,999\n", "outside"),
    "turned": ("2026-11-20,9,4\n", "above"),
    "twice": ("2026-11-02,3,4\n", "already on line"),
}


@pytest.mark.parametrize("junk", JUNK)
@pytest.mark.parametrize("head", ["date,tmin_c,tmax_c\n", "date,min,max\n"])
def test_one_junk_line_is_left_out_and_named_and_the_rest_kept(read, junk, head):
    row, words = JUNK[junk]
    got = read(table(head, lambda i, a, b: f"{iso(i)},{a},{b}\n") + row)
    assert isinstance(got, ImportedWeather), got
    # Of two lines with other figures for one day, neither counts.
    assert len(got.daily.days) == len(got.lines) == len(DAYS) - (junk == "twice")
    assert all(each.startswith(f"line {len(DAYS) + 2}: ") for each in got.daily.bad)
    assert words in got.daily.bad[0]


def test_a_table_of_junk_is_refused_whole(read):
    good = "".join(f"2026-11-{d:02d},3,{d}.5\n" for d in range(3, 23))
    bad = "".join(f"2026-12-{d:02d},3,200\n" for d in range(1, 7))
    assert len(read("date,tmin_c,tmax_c\n" + good + bad[: len(bad) // 6 * 5]).daily.bad) == 5
    with pytest.raises(DataError) as caught:
        read("date,tmin_c,tmax_c\n" + good + bad)
    assert len(caught.value.problems) == 6
    with pytest.raises(DataError):
        read("date,tmin_c,tmax_c\n2026-11-01,3,200\n")
