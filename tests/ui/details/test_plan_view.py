"""The layer from above in the details."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot

from bloomline.draw.base.petals import LIGHT
from bloomline.plan.pot.fitting import bulb_positions_cm, fit_pot
from bloomline.ui.details.panel import DetailsPanel
from bloomline.ui.details.plan_view import PlanView
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import palette_of


def test_every_bulb_is_painted_where_it_lies(document: Document, qtbot: QtBot, qapp) -> None:
    qapp.setPalette(palette_of(LIGHT))
    pot, layer = document.yard.layer("layer-2")
    fit = next(
        each
        for each in fit_pot(pot, cultivar_of=document.cultivar).layers
        if each.layer_id == layer.id
    )
    view = PlanView()
    qtbot.addWidget(view)
    view.resize(400, 300)
    view.show_fit(fit)
    image = view.grab().toImage()
    places = bulb_positions_cm(fit)
    assert len(places) == layer.count
    for x, y in places:
        at = (round(200 + y * view.scale()), round(150 + x * view.scale()))
        assert QColor(image.pixel(*at)).name() == "#d9b97c"


def test_the_details_show_the_plan_of_the_layer(
    document: Document, service: SeasonService, qtbot: QtBot
) -> None:
    panel = DetailsPanel(document, service)
    qtbot.addWidget(panel)
    document.select(layer_id="layer-2")
    plan = panel.layer_page.plan
    count = document.yard.layer("layer-2")[1].count
    assert f"{count} of {count} bulbs" in plan.accessibleDescription()
    panel.stop()


@pytest.mark.parametrize("size", [(120, 90), (500, 140)])
def test_the_plan_fits_its_widget(document: Document, qtbot: QtBot, size) -> None:
    pot = document.yard.pots[3]  # a trough: much longer than wide
    fit = fit_pot(pot, cultivar_of=document.cultivar).layers[0]
    view = PlanView()
    qtbot.addWidget(view)
    view.resize(*size)
    view.show_fit(fit)
    assert fit.section.length_cm * view.scale() <= size[0]
    assert fit.section.width_cm * view.scale() <= size[1]
