"""What this program is, whose work it stands on, and what to mind."""

from __future__ import annotations

from html import escape
from importlib import metadata

from PySide6.QtCore import QSize, Qt, qVersion
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from bloomline import __version__
from bloomline.ui import theme
from bloomline.ui.icons import icon
from bloomline.words import tr

LICENCES = (
    # name, package (None: no package), licence, address
    ("Qt for Python, PySide6", "PySide6-Essentials", "LGPL-3.0", "https://www.qt.io/licensing"),
    ("pyqtgraph", "pyqtgraph", "MIT", "https://www.pyqtgraph.org"),
    ("NumPy", "numpy", "BSD-3-Clause", "https://numpy.org"),
    ("SciPy", "scipy", "BSD-3-Clause", "https://scipy.org"),
    ("pydantic", "pydantic", "MIT", "https://docs.pydantic.dev"),
    ("icalendar", "icalendar", "BSD-2-Clause", "https://icalendar.readthedocs.io"),
    ("platformdirs", "platformdirs", "MIT", "https://platformdirs.readthedocs.io"),
    ("Babel", "babel", "BSD-3-Clause", "https://babel.pocoo.org"),
    ("segno", "segno", "BSD-3-Clause", "https://segno.readthedocs.io"),
    ("Source Sans 3", None, "OFL-1.1", "https://openfontlicense.org"),
)


class AboutBox(QDialog):
    """Version, licences, data and the safety note."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("about")
        self.setWindowTitle(tr("About bloomline"))
        em = theme.em()
        picture = QLabel(self)
        side = round(4 * em)
        picture.setPixmap(icon("bloomline").pixmap(QSize(side, side), self.devicePixelRatioF()))
        picture.setAccessibleName(tr("A pot with layered bulbs and one flower"))
        head = QLabel(
            tr("bloomline {version}", version=__version__)
            + "\n"
            + tr("Plans a yard of layered bulb pots from climate, pots and dates."),
            self,
        )
        head.setWordWrap(True)
        self.text = QTextBrowser(self)
        self.text.setObjectName("about_text")
        self.text.setOpenExternalLinks(True)
        self.text.setTabChangesFocus(True)
        self.text.setAccessibleName(tr("Licences, data and safety"))
        self.text.setHtml(self.html())
        close = QPushButton(tr("Close"), self)
        close.setObjectName("about_close")
        close.setDefault(True)
        close.clicked.connect(self.accept)
        top = QHBoxLayout()
        top.addWidget(picture, 0, Qt.AlignmentFlag.AlignTop)
        top.addWidget(head, 1)
        bottom = QHBoxLayout()
        bottom.addStretch(1)
        bottom.addWidget(close)
        layout = QVBoxLayout(self)
        layout.addLayout(top)
        layout.addWidget(self.text, 1)
        layout.addLayout(bottom)
        wanted = QSize(round(34 * em), round(30 * em))
        self.resize(wanted.boundedTo(self.screen().availableSize() * 0.95))
        close.setFocus(Qt.FocusReason.OtherFocusReason)

    def html(self) -> str:
        """The long text."""
        rows = []
        for name, package, licence, address in LICENCES:
            version = qVersion() if name.startswith("Qt") else _version(package)
            rows.append(
                f"<tr><td style='padding-right:14px'>{escape(name)} {escape(version)}</td>"
                f"<td style='padding-right:14px'>{escape(licence)}</td>"
                f"<td><a href='{address}'>{escape(address.removeprefix('https://'))}</a></td></tr>"
            )
        parts = (
            f"<h4>{tr('Safety')}</h4>",
            "<p>"
            + tr(
                "Dates are forecasts, not promises. Many bulbs are poisonous to people and pets "
                "or irritate the skin; wet pots are heavy; frost splits pots. Warnings here are a "
                "general guide and not complete: local rules, vets, doctors and building "
                "engineers have the last word."
            )
            + "</p>",
            f"<h4>{tr('Licence')}</h4>",
            "<p>"
            + tr(
                "bloomline is free software under the MIT licence, copyright 2026 bloomline "
                "contributors. It comes without any warranty."
            )
            + "</p>",
            f"<h4>{tr('Built with')}</h4>",
            "<table cellspacing='3'>{rows}</table>".format(rows="".join(rows)),
            "<p>"
            + tr(
                "Qt and PySide6 are used as separate libraries under the GNU Lesser General "
                "Public License, version 3: you may replace them with versions of your own."
            )
            + "</p>",
            f"<h4>{tr('Data')}</h4>",
            "<p>"
            + tr(
                "Climate normals 1991–2020: WMO member services, published by NOAA National "
                "Centers for Environmental Information, CC0 1.0."
            )
            + "<br>"
            + tr("Towns: GeoNames, geonames.org, CC BY 4.0, shortened.")
            + "<br>"
            + tr(
                "Weather years: station De Bilt, Royal Netherlands Meteorological Institute "
                "(KNMI), CC BY 4.0, used as departures from its usual year."
            )
            + "</p>",
        )
        return "".join(parts)


def _version(package: str | None) -> str:
    if package is None:
        return ""
    try:
        return metadata.version(package)
    except metadata.PackageNotFoundError:
        return ""
