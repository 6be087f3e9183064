"""A mixture: its name, and kinds with bulbs or shares of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QStringListModel, Qt, Slot
from PySide6.QtWidgets import (
    QCompleter,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QGridLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import BloomlineError, UnknownNameError
from bloomline.model.cultivar import MAX_PARTS, Cultivar
from bloomline.model.yard import OwnCultivar
from bloomline.plan.kinds.mixtures import mixture_from
from bloomline.plan.season.outlook import Outlook
from bloomline.reference.catalogue import Catalogue
from bloomline.ui.dressed import say_as
from bloomline.ui.theme import em
from bloomline.ui.units import QuietDoubleSpinBox
from bloomline.words import listed, percent_words, tr

_FIRST_ROWS = 3
_EVEN_SHARE = 10.0


@dataclass(slots=True)
class _Row:
    kind: QLineEdit
    share: QuietDoubleSpinBox
    percent: QLabel
    remove: QToolButton


class _ShareBox(QuietDoubleSpinBox):
    """Bulbs, or per cent: "12", and "33.3" where it is no whole number."""

    def textFromValue(self, value: float) -> str:
        whole = value == int(value)
        return self.locale().toString(int(value)) if whole else super().textFromValue(value)


class MixtureDialog(QDialog):
    """Rows of kinds and shares; `made` is the mixture once it is accepted."""

    def __init__(
        self,
        outlook: Outlook,
        *,
        kept: OwnCultivar | None = None,
        begin_with: Cultivar | None = None,
        name: str = "",
        parent: QWidget | None = None,
    ) -> None:
        """kept : the mixture that is edited. begin_with : the first kind of a new one."""
        super().__init__(parent)
        self.setObjectName("mixture")
        self.setWindowTitle(tr("Change a mixture") if kept else tr("A mixture"))
        self.made: OwnCultivar | None = None
        self._kept = kept
        self._taken = [kind.id for kind in outlook.kinds]
        # The kinds inside come first: they may be in no other list any more.
        inside = [kind for kind, _ in kept.shares] if kept else []
        self._kinds = Catalogue(
            {kind.id: kind for kind in (*outlook.kinds, *inside) if not kind.parts}.values()
        )
        self._names = QStringListModel(sorted(kind.name for kind in self._kinds), self)
        self._rows: list[_Row] = []
        self._build()
        parts: Sequence[tuple[Cultivar, float]] = (
            [(part.kind, part.share) for part in kept.parts] if kept else []
        )
        if begin_with is not None and not parts:
            parts = [(begin_with, _EVEN_SHARE)]
        for kind, share in parts:
            self._add_row(kind.name, share)
        while len(self._rows) < _FIRST_ROWS:
            self._add_row()
        self.name.setText(_bare_name(kept) if kept else name)
        self._follow()
        self.name.setFocus()

    @property
    def rows(self) -> list[tuple[QLineEdit, QuietDoubleSpinBox]]:
        """The fields of each kind: its name and its share."""
        return [(row.kind, row.share) for row in self._rows]

    def _build(self) -> None:
        self.name = QLineEdit(self)
        self.name.setPlaceholderText(tr("as on the packet"))
        self.name.setAccessibleName(tr("Name of the mixture"))
        form = QFormLayout()
        form.addRow(tr("&Name"), self.name)
        about = QLabel(
            tr("Which kinds, and how many bulbs or per cent of each; 40, 30 and 30, or 12 and 8."),
            self,
        )
        say_as(about, "muted")
        about.setWordWrap(True)
        self._grid = QGridLayout()
        self._grid.setColumnStretch(0, 1)
        self.add = QPushButton(tr("&Another kind"), self)
        self.add.setObjectName("mixture_add")
        self.add.clicked.connect(self._add_empty)
        self.problem = QLabel(self)
        say_as(self.problem, "caution")
        self.problem.setWordWrap(True)
        self.problem.setTextFormat(Qt.TextFormat.PlainText)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel, self)
        words = tr("Change it") if self._kept else tr("&Mix them")
        self.ok = self.buttons.addButton(words, QDialogButtonBox.ButtonRole.AcceptRole)
        self.ok.setObjectName("mixture_ok")
        self.ok.setDefault(True)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addLayout(form)
        column.addWidget(about)
        column.addLayout(self._grid)
        column.addWidget(self.add, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.problem)
        column.addStretch(1)
        column.addWidget(self.buttons)
        self.setMinimumWidth(round(em() * 32))
        self.name.textChanged.connect(self._follow)

    @Slot()
    def _add_empty(self) -> None:
        self._add_row()
        self._rows[-1].kind.setFocus()

    def _add_row(self, name: str = "", share: float = _EVEN_SHARE) -> None:
        if len(self._rows) >= MAX_PARTS:
            return
        number = len(self._rows) + 1
        kind = QLineEdit(name, self)
        kind.setPlaceholderText(tr("a kind"))
        kind.setAccessibleName(tr("Kind {n}", n=number))
        completer = QCompleter(self._names, kind)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        kind.setCompleter(completer)
        kind.textChanged.connect(self._follow)
        box = _ShareBox(self)
        box.setGroupSeparatorShown(False)
        box.setRange(0.1, 10_000.0)
        box.setDecimals(1)
        box.setValue(share)
        box.setAccessibleName(tr("Bulbs or share of kind {n}", n=number))
        box.valueChanged.connect(self._follow)
        percent = QLabel(self)
        say_as(percent, "muted")
        percent.setMinimumWidth(round(em() * 3))
        remove = QToolButton(self)
        remove.setText("×")
        remove.setToolTip(tr("Take this kind out"))
        remove.setAccessibleName(tr("Take kind {n} out", n=number))
        row = _Row(kind, box, percent, remove)
        remove.clicked.connect(lambda: self._remove(row))
        for column, widget in enumerate((kind, box, percent, remove)):
            self._grid.addWidget(widget, number, column)
        QWidget.setTabOrder(kind, box)
        QWidget.setTabOrder(box, remove)
        self._rows.append(row)
        self.add.setEnabled(len(self._rows) < MAX_PARTS)

    def _remove(self, row: _Row) -> None:
        row.kind.clear()
        if len(self._rows) > 1:
            self._rows.remove(row)
            for widget in (row.kind, row.share, row.percent, row.remove):
                self._grid.removeWidget(widget)
                widget.deleteLater()
        self.add.setEnabled(True)
        self._follow()

    def _mixed(self) -> tuple[OwnCultivar | None, str]:
        """The mixture as it stands, or what is wrong with it."""
        given = [row for row in self._rows if row.kind.text().strip()]
        try:
            parts = [(self._kinds.find(row.kind.text()), row.share.value()) for row in given]
            return (
                mixture_from(self.name.text(), parts, taken=self._taken, kept=self._kept),
                "",
            )
        except UnknownNameError as error:
            if error.near:
                told = tr(
                    "No kind is called “{name}”; did you mean {names}?",
                    name=error.name,
                    names=listed(error.near[:3]),
                )
            else:
                told = tr("No kind is called “{name}”.", name=error.name)
            return None, told
        except BloomlineError as error:
            return None, str(error)

    @Slot()
    def _follow(self, *_: object) -> None:
        given = [row for row in self._rows if row.kind.text().strip()]
        whole = sum(row.share.value() for row in given)
        for row in self._rows:
            row.percent.setText(percent_words(row.share.value() / whole) if row in given else "")
        # While nothing is typed yet there is nothing to complain of.
        begun = bool(given) and bool(self.name.text().strip())
        self.problem.setText(self._mixed()[1] if begun else "")

    def accept(self) -> None:
        mixture, problem = self._mixed()
        if mixture is None:
            self.problem.setText(problem)
            empty = not self.name.text().strip()
            (self.name if empty else self._rows[0].kind).setFocus()
            return
        self.made = mixture
        super().accept()


def _bare_name(kept: OwnCultivar) -> str:
    rest = kept.name.removeprefix(f"{kept.genus} ")
    return rest[1:-1] if rest.startswith("(") and rest.endswith(")") else kept.name
