"""Shows what becomes of every layer before next year's yard is made."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.yard import Yard
from bloomline.plan.carry.rollover import Action, RollOver
from bloomline.ui.details.cards import wrapping
from bloomline.ui.theme import em
from bloomline.words import tr


class RollOverDialog(QDialog):
    """A list of layers by what is done about them, and one button to go on."""

    def __init__(self, yard: Yard, rolled: RollOver, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("roll_over")
        self.setWindowTitle(tr("Make next year's yard"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        head = tr(
            "The yard moves on to the season of {year}. Pots, records and ticks "
            "stay; one undo takes it all back.",
            year=rolled.yard.season_year,
        )
        self.layers = QTreeWidget(self)
        self.layers.setObjectName("roll_over_layers")
        self.layers.setAccessibleName(tr("What becomes of every layer"))
        self.layers.setHeaderLabels([tr("Layer"), tr("Pot"), tr("What becomes of it")])
        self.layers.setRootIsDecorated(False)
        self.layers.setItemsExpandable(False)
        names = {pot.id: pot.name for pot in yard.pots}
        titles: dict[Action, str] = {
            "stays": tr("Stays"),
            "replaced": tr("Is replaced"),
            "rests": tr("Rests until planting time"),
            "planned anew": tr("Planned anew"),
            "as planned": tr("As planned"),
        }
        for action, title in titles.items():
            found = rolled.only(action)
            if not found:
                continue
            group = QTreeWidgetItem(self.layers, [f"{title} ({len(found)})"])
            font = group.font(0)
            font.setBold(True)
            group.setFont(0, font)
            group.setFirstColumnSpanned(True)
            for each in found:
                row = QTreeWidgetItem(group, [each.name, names[each.pot_id], each.words])
                row.setToolTip(2, each.words)
            group.setExpanded(True)
        for column in range(2):
            self.layers.resizeColumnToContents(column)
        buttons = QDialogButtonBox(self)
        self.go = buttons.addButton(
            tr("&Make next year's yard"), QDialogButtonBox.ButtonRole.AcceptRole
        )
        self.go.setObjectName("roll_over_go")
        buttons.addButton(tr("Cancel"), QDialogButtonBox.ButtonRole.RejectRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        across = QVBoxLayout(self)
        across.addWidget(wrapping(head, "", self))
        across.addWidget(self.layers, 1)
        across.addWidget(buttons)
        self.resize(round(58 * em()), round(30 * em()))
