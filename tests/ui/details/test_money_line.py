"""Prices and budget on the yard's page: the sums of the shopping list, also where that is slow."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel

from bloomline.model import edits
from bloomline.model.edits import remove_layer, remove_pot
from bloomline.model.money import written
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.part_price import money_words, price_between


def planned_layer(document):
    """A layer that is to be bought, planted with the rule of a drop."""
    pot = document.yard.pots[1]
    layer = pot.layers[0].model_copy(
        update={"id": "layer-new", "cultivar_id": "narcissus-thalia", "state": "planned"}
    )
    document.edit("Plant", lambda yard: edits.add_layer(yard, pot.id, layer))
    return layer


def test_the_yard_tells_the_list_against_the_budget_as_buy_does(details, document, qtbot):
    shopping = shopping_list(document.outlook)
    line = details.yard_page.money
    qtbot.waitUntil(lambda: line.text() == money_words(shopping), timeout=10_000)
    assert written(shopping.total, currency=shopping.currency) in line.text()
    document.edit("Budget", lambda yard: edits.change_money(yard, budget=5.0))
    over = shopping_list(document.outlook)
    assert over.over > 0
    told = f"▲ £{over.over} over the budget"
    qtbot.waitUntil(lambda: told in line.text(), timeout=10_000)
    assert line.objectName() == "warning"
    document.edit("Budget", lambda yard: edits.change_money(yard, budget=None))
    qtbot.waitUntil(lambda: "no budget is set" in line.text(), timeout=10_000)
    assert line.objectName() == "muted"


def test_a_layer_and_a_pot_tell_what_the_list_would_be_less_without_them(details, document, qtbot):
    layer = planned_layer(document)
    pot = document.yard.pots[1]
    outlook = document.outlook
    for part, without, page in (
        (layer.id, remove_layer(document.yard, layer.id), details.layer_page),
        (pot.id, remove_pot(document.yard, pot.id), details.pot_page),
    ):
        if part == pot.id:
            document.select(pot_id=part)
        else:
            document.select(layer_id=part)
        price = price_between(shopping_list(outlook.with_(yard=without)), shopping_list(outlook))
        assert price.cost > 0
        line, amount = page.money, written(price.cost, currency="GBP")
        qtbot.waitUntil(lambda line=line, told=amount: told in line.text(), timeout=10_000)
        assert money_words(shopping_list(outlook)) in page.money.text()
        assert page.money.isVisible()


def test_what_is_planted_already_costs_nothing_more(details, document, qtbot):
    done = next(layer for _, layer in document.yard.layers() if layer.state != "planned")
    document.select(layer_id=done.id)
    line = details.layer_page.money
    told = "Price: nothing more to buy."
    qtbot.waitUntil(lambda: line.text().startswith(told), timeout=10_000)


def test_the_list_is_worked_out_beside_the_window_and_grey_until_then(details, document, qtbot):
    line = details.yard_page.money
    qtbot.waitUntil(line.isEnabled, timeout=10_000)
    document.edit("Budget", lambda yard: edits.change_money(yard, budget=77.0))
    assert "£77.00" not in line.text() and not line.isEnabled()
    qtbot.waitUntil(lambda: "£77.00" in line.text(), timeout=10_000)
    assert line.isEnabled()


def test_every_label_of_the_details_says_what_it_means(details, document):
    document.select(layer_id=document.yard.pots[0].layers[0].id)
    for page in (details.yard_page, details.pot_page, details.layer_page, details.companion_page):
        for key, field in page.form.fields.items():
            assert field.editor.toolTip(), key
            label = page.form._labels.get(key)
            assert label is None or label.toolTip() == field.editor.toolTip(), key
        shown = [each for each in page.form.findChildren(QLabel) if each.buddy() is not None]
        assert shown and all(each.toolTip() for each in shown)
