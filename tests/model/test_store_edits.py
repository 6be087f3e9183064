from __future__ import annotations

import json
from datetime import date

import jsonschema
import pytest
from pydantic import ValidationError

from bloomline.errors import EditRefusedError, UnknownNameError
from bloomline.files.yardfile import dump_yard, parse_yard
from bloomline.model import edits, store_edits
from bloomline.model.schema import yard_schema
from bloomline.model.store import InStock, Price
from bloomline.model.yard import Layer, PlaceChoice, Pot, Yard


def price(pack=10, amount=4.95, **fields):
    return Price(**{"cultivar_id": "tulipa-shirley", "pack": pack, "price": amount, **fields})


@pytest.fixture
def yard() -> Yard:
    def layer(number, cover_cm):
        return Layer(
            id=f"layer-{number}",
            cultivar_id="tulipa-shirley",
            count=9,
            cover_cm=cover_cm,
            planted=date(2026, 11, 7),
        )

    pot = Pot(
        id="pot-1",
        name="Tub",
        top_width_cm=40,
        bottom_width_cm=30,
        inside_height_cm=35,
        layers=(layer(1, 20), layer(2, 12), layer(3, 5)),
    )
    place = PlaceChoice(name="Ottermere", latitude_deg=52.4, longitude_deg=-1.3)
    return Yard(name="Small", place=place, season_year=2027, pots=(pot,))


def test_a_yard_of_before_is_saved_as_it_was(yard: Yard):
    keys = json.loads(dump_yard(yard))
    assert not {"cupboard", "prices", "supplies"} & set(keys)
    assert not {"compost_recipe", "to_buy"} & set(keys["pots"][0])


def test_all_of_it_survives_a_file_and_fulfils_the_schema(yard: Yard):
    yard = store_edits.set_stock(yard, "tulipa-shirley", 7, note="from last year")
    yard = store_edits.set_price(yard, price(note="=1+1"))
    yard = store_edits.change_supplies(yard, recipe="loam-grit", bag_l=40.0)
    yard = store_edits.set_bag_price(yard, "grit-20", 5.5)
    yard = edits.change_pot(yard, "pot-1", compost_recipe="multipurpose", to_buy=True)
    data = dump_yard(yard)
    assert parse_yard(data, name="y") == yard
    jsonschema.validate(json.loads(data), yard_schema())
    assert json.loads(data)["version"] == "1.0"


def test_the_cupboard(yard: Yard):
    yard = store_edits.set_stock(yard, "tulipa-shirley", 7, note="a")
    yard = store_edits.set_stock(yard, "tulipa-shirley", 3)
    assert yard.cupboard == (InStock(cultivar_id="tulipa-shirley", count=3, note="a"),)
    assert store_edits.set_stock(yard, "tulipa-shirley", 0).cupboard == ()
    with pytest.raises(EditRefusedError, match="-1 bulbs"):
        store_edits.set_stock(yard, "tulipa-shirley", -1)
    with pytest.raises(EditRefusedError, match="cultivar_id"):
        store_edits.set_stock(yard, "No Slug", 1)
    with pytest.raises(EditRefusedError, match="twice"):
        store_edits.set_cupboard(yard, yard.cupboard * 2)


def test_prices(yard: Yard):
    yard = store_edits.set_price(yard, price(10, 4.95))
    yard = store_edits.set_price(yard, price(25, 9.5))
    yard = store_edits.set_price(yard, price(10, 5.25))
    assert [(p.pack, p.price) for p in yard.prices] == [(10, 5.25), (25, 9.5)]
    assert [p.pack for p in store_edits.remove_price(yard, "tulipa-shirley", 10).prices] == [25]
    with pytest.raises(UnknownNameError, match="25 × tulipa-shirley"):
        store_edits.remove_price(yard, "tulipa-shirley", 26)
    with pytest.raises(EditRefusedError, match="two prices for 10 bulbs"):
        store_edits.set_prices(yard, [price(), price()])
    with pytest.raises(EditRefusedError, match="more than 20 packs"):
        store_edits.set_prices(yard, [price(pack) for pack in range(1, 22)])


@pytest.mark.parametrize("amount", [-1, 1e7, float("nan"), 0.12345, "4.95"])
def test_odd_amounts_are_refused(amount):
    with pytest.raises(ValidationError):
        price(amount=amount)


def test_bag_prices_come_and_go(yard: Yard):
    with_price = store_edits.set_bag_price(yard, "grit-20", 5.5)
    assert with_price.supplies.bag_prices == {"grit-20": 5.5}
    assert store_edits.set_bag_price(with_price, "grit-20", None) == yard


def test_covers_order_the_layers_anew(yard: Yard):
    laid = store_edits.set_covers(yard, "pot-1", {"layer-1": 6.0, "layer-3": 18.0})
    layers = laid.pot("pot-1").layers
    assert [(each.id, each.cover_cm) for each in layers] == [
        ("layer-3", 18.0),
        ("layer-2", 12.0),
        ("layer-1", 6.0),
    ]
    even = store_edits.set_covers(yard, "pot-1", {"layer-2": 20.0, "layer-1": 20.0})
    assert [each.id for each in even.pot("pot-1").layers] == ["layer-2", "layer-1", "layer-3"]
    assert store_edits.set_covers(yard, "pot-1", {}) is yard
    with pytest.raises(UnknownNameError, match="layer-9"):
        store_edits.set_covers(yard, "pot-1", {"layer-9": 5.0})
