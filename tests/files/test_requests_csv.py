from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from bloomline.errors import DataError, FileProblemError
from bloomline.files.requests_csv import BadRow, RequestRow, RequestTable, read_requests


@pytest.fixture
def read(tmp_path: Path):
    def read_text(text: str | bytes) -> RequestTable:
        path = tmp_path / "requests.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_requests(path)

    return read_text


def test_columns_stand_in_any_order_and_their_names_are_forgiven(read) -> None:
    table = read("CULTIVAR, Latitude deg ,longitude-deg,ID\nThalia,52.1,5.2,a\n")
    assert table.warnings == ()
    assert table.rows == (RequestRow(2, "a", None, 52.1, 5.2, None, "Thalia", None, "pot", 0.0),)


@pytest.mark.parametrize(
    ("separator", "number"), [(",", "52.1"), (";", "52,1"), ("\t", "52,1"), (";", "52.1")]
)
def test_separators_byte_order_mark_and_line_ends_of_spreadsheets(read, separator, number) -> None:
    lines = ["id,latitude_deg,longitude_deg,cultivar,planted", f"a#{number}#5#Thalia#2024-11-1"]
    text = "\r\n".join(lines).replace(",", separator, 4).replace("#", separator)
    (row,) = read(b"\xef\xbb\xbf" + text.encode()).rows
    assert isinstance(row, RequestRow)
    assert (row.latitude_deg, row.planted) == (52.1, date(2024, 11, 1))


def test_a_bad_row_is_told_with_its_line_and_spoils_no_other(read) -> None:
    table = read(
        "id,place,cultivar,planted,where,prechill_weeks,elevation_m,latitude_deg\n"
        "a,De Bilt,Thalia,,,,,\n"
        "\n"
        "b,De Bilt,Thalia,2024-02-30,,,,\n"
        "c,De Bilt,Thalia,,roof,nan,1e9,\n"
        "d,,Thalia,,,,,\n"
        "e,De Bilt,,,,,,\n"
        "f,De Bilt,Thalia,,,,,52\n"
        "g,De Bilt,Thalia,,ground,6,12,,extra\n"
        ",De Bilt,Thalia,,Ground,6,12\n"
    )
    told = {row.id: row.problem for row in table.rows if isinstance(row, BadRow)}
    assert told == {
        "b": "planted: “2024-02-30” is not a date like 2025-11-01",
        "c": "elevation_m: 1e9 is outside -450 to 6000; prechill_weeks: nan is outside 0 to 40; "
        "where: “roof” is neither pot nor ground",
        "d": "no place: give place, or latitude_deg and longitude_deg",
        "e": "cultivar: empty",
        "f": "latitude_deg and longitude_deg go together; one is empty",
        "g": "9 cells, but 8 columns",
    }
    assert [row.line for row in table.rows] == [2, 4, 5, 6, 7, 8, 9, 10]
    last = table.rows[-1]
    assert isinstance(last, RequestRow)
    assert (last.id, last.where, last.prechill_weeks) == ("line-10", "ground", 6.0)


def test_unknown_columns_and_ids_that_come_twice_are_told(read) -> None:
    table = read("id,plase,cultivar,place\na,x,Thalia,De Bilt\na,x,Thalia,De Bilt\n")
    assert table.warnings == (
        "the column “plase” is not known and left out; is “place” meant?",
        "line 3: id “a” is already on line 2",
    )


def test_without_a_column_of_cultivars_the_table_is_refused(read) -> None:
    with pytest.raises(DataError, match="no column “cultivar”; is “cultivars” meant"):
        read("id,place,cultivars\na,De Bilt,Thalia\n")


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "is empty"),
        (b"\n \n", "is empty"),
        (b"\xff\xfei\x00d\x00", "UTF-16"),
        (b"cultivar,place\nThalia,\xe9\n", "line 2: is not UTF-8"),
        (b"cultivar,place\nTha\0lia,x\n", "line 2: holds zero bytes"),
        (b'cultivar,place\n"Thalia,x\n', "line 2: is not a well-formed table"),
        (b"cultivar,place\n" + b"x" * 200_000 + b",y\n", "line 2: is not a well-formed table"),
        (b"x" * (33 * 1024**2), "larger than"),
    ],
)
def test_what_is_no_table_is_refused(read, data: bytes, told: str) -> None:
    with pytest.raises(FileProblemError, match=told):
        read(data)


def test_doubled_columns_and_missing_rows_are_refused(read) -> None:
    with pytest.raises(DataError, match="place is there twice"):
        read("cultivar,place,Place\na,b,c\n")
    with pytest.raises(DataError, match="no row below"):
        read("cultivar,place\n")
