from __future__ import annotations

import csv
import io
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.errors import DataError, UnknownNameError
from bloomline.files.prices_csv import (
    plain_text,
    price_table,
    read_prices,
    safe_text,
    write_prices,
)
from bloomline.model.store import Price

SHIRLEY = Price(cultivar_id="tulipa-shirley", pack=10, price=4.95, note="")


@pytest.fixture
def read(tmp_path: Path):
    def read_text(text, **options):
        path = tmp_path / "prices.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_prices(path, **{"currency": "GBP", **options})

    return read_text


def test_the_table_is_rfc_4180_as_pythons_csv_reads_it():
    text = price_table(
        [Price(cultivar_id="a", pack=5, price=1234.5, note='half "price", 2026')],
        currency="GBP",
        name_of=lambda cultivar_id: f"Tulipa '{cultivar_id.upper()}'",
    )
    assert text.count("\r\n") == 2
    assert "\n" not in text.replace("\r\n", "")
    assert list(csv.reader(io.StringIO(text, newline=""), strict=True)) == [
        ["cultivar_id", "name", "pack", "price", "currency", "note"],
        ["a", "Tulipa 'A'", "5", "1234.50", "GBP", 'half "price", 2026'],
    ]


@pytest.mark.parametrize("text", ["=1+1", "+44", "-2", "@SUM(A1)", "'=1", "''-x", "＝1"])
def test_no_cell_begins_like_a_formula(text):
    assert safe_text(text).startswith("'")
    assert plain_text(safe_text(text)) == text


@pytest.mark.parametrize("text", ["", "Red", "'quoted'", "'", "a=b", "' =1"])
def test_other_text_stays_as_it_is(text):
    assert safe_text(text) == text == plain_text(text)


_note = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\u2028\u2029")
    | st.sampled_from("'=+-@\",;"),
    max_size=12,
).map(str.strip)


@given(
    st.lists(
        st.builds(
            Price,
            cultivar_id=st.from_regex(r"\A[a-z0-9][a-z0-9_-]{0,20}\Z"),
            pack=st.integers(1, 10_000),
            price=st.integers(0, 10**9).map(lambda n: float(Decimal(n).scaleb(-4))),
            note=_note,
        ),
        max_size=6,
        unique_by=lambda price: (price.cultivar_id, price.pack),
    ),
    st.sampled_from(["GBP", "JPY", "KWD"]),
)
def test_what_is_written_is_read_back_without_loss(tmp_path_factory, prices, currency):
    path = tmp_path_factory.mktemp("prices") / "list.csv"
    write_prices(path, prices, currency=currency, name_of=lambda _: "=name")
    assert list(read_prices(path, currency=currency).prices) == prices
    for row in csv.reader(io.StringIO(path.read_bytes().decode(), newline=""), strict=True):
        assert not any(cell[:1] in {"=", "+", "-", "@"} for cell in row)


def test_a_list_from_a_spreadsheet_elsewhere(read):
    table = read("﻿Cultivar;Size;Price;Supplier\r\ntulipa-shirley;10;4,95;x\r\n".encode())
    assert table.prices == (SHIRLEY,)
    assert table.warnings == ("the column “supplier” is not known and left out",)


def test_each_bad_row_is_told_with_its_line_and_spoils_no_other(read):
    table = read(
        "cultivar_id,pack,price,currency\n"
        "tulipa-shirley,10,4.95,\n"
        "tulipa-shirley,10,4.50,GBP\n"
        "tulipa-shirley,25,9.50,EUR\n"
        "tulipa-shirley,2.5,9.50,GBP\n"
        "tulipa-shirley,25,cheap,GBP\n"
        "tulipa-shirley,25,-1,GBP\n"
        "tulipa-shirley,25,nan,GBP\n"
        ",25,1,GBP\n"
        "tulipa-shirley,25,1,GBP,more\n"
        "Tulipa Shirley,25,1,GBP\n"
        "tulipa-shirley,50,15,gbp\n"
    )
    assert [price.pack for price in table.prices] == [10, 50]
    told = {bad.line: bad.problem for bad in table.bad}
    assert sorted(told) == [3, 4, 5, 6, 7, 8, 9, 10, 11]
    assert "line 2" in told[3]
    assert "not converted" in told[4]
    assert "whole number" in told[5]
    assert "4.95" in told[6]
    assert "price" in told[7]
    assert "price" in told[8]
    assert "empty" in told[9]
    assert "5 cells" in told[10]
    assert "cultivar_id" in told[11]


def test_names_are_looked_up(read):
    def id_of(text):
        if text == "Shirley":
            return "tulipa-shirley"
        raise UnknownNameError("cultivar", text, near=["Shirley"])

    table = read("name,pack,price\nShirley,10,4.95\nShirly,5,2\n", id_of=id_of)
    assert table.prices == (SHIRLEY,)
    assert "did you mean Shirley" in table.bad[0].problem


def test_a_table_that_is_no_price_list_is_refused(read):
    with pytest.raises(DataError, match="no column cultivar_id, price"):
        read("pack,colour\n1,red\n")
