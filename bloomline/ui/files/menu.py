"""The menu of files that were open lately."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from bloomline.ui.files.recent import RecentFiles
from bloomline.ui.hands.plain import shown
from bloomline.words import tr


class RecentMenu(QMenu):
    """Filled anew whenever it opens; files that are missing are listed as such."""

    chosen = Signal(str)

    def __init__(self, recent: RecentFiles, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("menu_recent")
        self.setTitle(tr("Open &recent"))
        self.menuAction().setObjectName("action_open_recent")
        self.setToolTipsVisible(True)
        self._recent = recent
        self.aboutToShow.connect(self.fill)
        self.triggered.connect(self._take)
        self.fill()

    @Slot()
    def fill(self) -> None:
        """List the files as they are now."""
        self.clear()
        paths = self._recent.paths()
        names = [path.name for path in paths]
        for number, path in enumerate(paths, start=1):
            # Two files of one name are told apart by their folder.
            text = path.name if names.count(path.name) == 1 else f"{path.name} – {path.parent}"
            text = shown(text).replace("&", "&&")
            missing = not path.exists()
            if missing:
                text = tr("{name} (missing)", name=text)
            lead = f"&{number}  " if number < 10 else ""
            action = self.addAction(lead + text)
            action.setData(str(path))
            action.setToolTip(shown(str(path)))
            action.setEnabled(not missing)
        if not paths:
            none = self.addAction(tr("No yard has been opened yet"))
            none.setEnabled(False)
            return
        self.addSeparator()
        forget = self.addAction(tr("&Forget these"))
        forget.setObjectName("action_forget_recent")
        forget.setData("")

    @Slot(QAction)
    def _take(self, action: QAction) -> None:
        path = action.data()
        if path:
            self.chosen.emit(path)
        elif path == "":
            self._recent.clear()
            self.fill()
