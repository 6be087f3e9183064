from __future__ import annotations

import csv
import io
import json
from decimal import Decimal
from pathlib import Path

import pytest

from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard, save_yard
from bloomline.model import edits


@pytest.fixture
def yard_file(checkout: Path, tmp_path: Path):
    """The demo yard as it was before planting, within an ample budget."""
    yard = load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard
    for _, layer in list(yard.layers())[:12]:
        yard = edits.change_layer(yard, layer.id, state="planned")

    def write(**money) -> str:
        path = tmp_path / "yard.bloomline"
        save_yard(path, edits.change_money(yard, **{"budget": 900.0, **money}), seen=None)
        return str(path)

    return write


def json_of(capsys, *args):
    code = main(["buy", *args, "--format", "json"])
    return code, json.loads(capsys.readouterr().out)


def test_the_table_fits_the_page_and_its_total_adds_up(capsys, yard_file) -> None:
    path = yard_file()
    code, found = json_of(capsys, path)
    assert code == 0
    lines = [Decimal(each["cost"]) for each in found["bulbs"] + found["bags"]]
    assert sum(lines) == Decimal(found["total"])
    assert found["changes"] is None
    for fill in found["fills"]:
        assert fill["dry_kg"][0] <= fill["dry_kg"][1] < fill["wet_kg"][1]
        assert fill["loose_l"] > fill["compost_l"]
    assert main(["buy", path, "--today", "2026-07-01"]) == 0
    out = capsys.readouterr().out
    assert max(len(line) for line in out.splitlines()) <= 100
    assert f"Total £{found['total']}" in out
    assert "~ typical price, from memory" in out
    assert "order now" not in out
    assert "local rules and your own" in " ".join(out.split())
    assert "engineer" in out


def test_over_the_budget_changes_are_named(capsys, yard_file) -> None:
    path = yard_file(budget=180.0)
    code, found = json_of(capsys, path)
    assert code == 1
    assert Decimal(found["over"]) == Decimal(found["total"]) - 180
    changes = found["changes"]
    assert changes["enough"]
    saved = sum(Decimal(step["saved"]) for step in changes["steps"])
    assert Decimal(found["total"]) - saved == Decimal(changes["total_after"]) <= 180
    assert main(["buy", path]) == 1
    out = capsys.readouterr().out
    assert "To come under the budget" in out
    assert max(len(line) for line in out.splitlines()) <= 100


def test_csv_is_one_row_a_thing(capsys, yard_file) -> None:
    assert main(["buy", yard_file(), "--format", "csv"]) == 0
    text = capsys.readouterr().out
    rows = list(csv.DictReader(io.StringIO(text, newline=""), strict=True))
    assert {row["kind"] for row in rows} == {"bulbs", "bags"}
    for row in rows:
        if row["kind"] == "bulbs":
            assert int(row["bought"]) >= int(row["to_buy"])
            assert row["order_by"] < row["plant_to"]


def test_a_price_list_goes_out_is_edited_and_comes_in(capsys, yard_file, tmp_path: Path) -> None:
    path, prices = yard_file(), tmp_path / "prices.csv"
    assert main(["buy", path, "--write-prices", str(prices)]) == 0
    with prices.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file, strict=True))
    assert len(rows) == 13
    assert {row["note"] for row in rows} == {"typical, from memory"}
    _, before = json_of(capsys, path)
    code, same = json_of(capsys, path, "--prices", str(prices))
    assert code == 0
    assert same["total"] == before["total"]
    assert {each["price_basis"] for each in same["bulbs"]} == {"own"}
    text = prices.read_text("utf-8").replace("5.00", "6.25", 1)
    prices.write_text(text + "tulipa-shirley,,x,1,GBP,\n", "utf-8")
    code = main(["buy", path, "--prices", str(prices), "--format", "json"])
    captured = capsys.readouterr()
    assert code == 1
    assert "prices.csv: line 15: pack: “x” is not a whole number" in captured.err
    assert Decimal(json.loads(captured.out)["total"]) > Decimal(before["total"])


def test_other_money_is_never_converted(capsys, yard_file, tmp_path: Path) -> None:
    path, prices = yard_file(currency="EUR"), tmp_path / "prices.csv"
    code, found = json_of(capsys, path)
    assert (code, found["total"]) == (0, "0.00")
    assert len(found["without_a_price"]) == 15
    assert main(["buy", path]) == 0
    assert "? no price known" in capsys.readouterr().out
    assert main(["buy", path, "--write-prices", str(prices)]) == 0
    assert "13 prices are not known" in capsys.readouterr().err


def test_the_answer_goes_to_a_file(capsys, yard_file, tmp_path: Path) -> None:
    out = tmp_path / "list.csv"
    path = yard_file()
    assert main(["buy", path, "--format", "csv", "--out", str(out)]) == 0
    assert capsys.readouterr().out == ""
    assert out.read_bytes().count(b"\r\n") == 16
    assert main(["buy", path, "--out", str(tmp_path / "no" / "list.txt")]) == 3
    assert "list.txt" in capsys.readouterr().err


def test_nothing_to_buy_and_bad_files(capsys, tmp_path: Path, yard_file) -> None:
    yard = load_yard(Path(yard_file())).yard
    for pot in yard.pots:
        yard = edits.remove_pot(yard, pot.id)
    empty = tmp_path / "empty.bloomline"
    save_yard(empty, yard, seen=None)
    assert main(["buy", str(empty)]) == 0
    assert "Nothing to buy" in capsys.readouterr().out
    assert main(["buy", str(tmp_path / "none.bloomline")]) == 3
    assert "no such file" in capsys.readouterr().err
