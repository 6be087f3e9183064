"""What a tooltip says of a pot, a layer or companions in the yard's picture."""

from __future__ import annotations

from PySide6.QtCore import QPointF

from bloomline.plan.words.benches import pot_words, times_words
from bloomline.ui.yard.canvas import YardCanvas
from bloomline.ui.yard.top_words import companion_tip
from bloomline.ui.yard.words import layer_tip


def tip_at(canvas: YardCanvas, point: QPointF) -> str:
    """What a tooltip says at a point of the canvas."""
    spot, document = canvas.spot_at(point), canvas.document
    if spot.pot_id is None:
        return ""
    pot = document.yard.pot(spot.pot_id)
    planting = next((each for each in pot.companions if each.id == spot.companion_id), None)
    if planting is not None:
        return companion_tip(document, planting, canvas.companion_forecast(planting.id))
    layer = next((each for each in pot.layers if each.id == spot.layer_id), None)
    if layer is not None:
        return layer_tip(
            document,
            pot,
            layer,
            canvas.forecast(layer.id),
            canvas.growths().get(layer.id),
            canvas.flaws.words_of(pot, layer.id),
        )
    report = canvas.service.report
    pots = report.pots if report is not None else ()
    told = [
        f"{times_words(each.name, each.copies)}: {each.summary}"
        for each in pots
        if each.pot_id == pot.id
    ]
    return "\n".join([*(told or [pot_words(pot)]), *canvas.flaws.words_of(pot)])
