"""Pots and layers on the clipboard: a parcel of our own beside plain text for everybody."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QMimeData
from PySide6.QtGui import QGuiApplication

from bloomline.ui.document import Document
from bloomline.ui.units import units_of
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.model.parcel import Parcel

MIME_TYPE = "application/vnd.bloomline.parts.v1+json"


def put(parcel: Parcel, document: Document) -> None:
    """Put a parcel onto the clipboard. Raises FileProblemError for one that is too large."""
    from bloomline.files.parcels import dump_parcel
    from bloomline.plan.carry.parcels import parcel_text

    data = QMimeData()
    data.setData(MIME_TYPE, QByteArray(dump_parcel(parcel)))
    words = parcel_text(parcel, cultivar_of=document.cultivar, units=units_of(document.yard))
    data.setText(words)
    QGuiApplication.clipboard().setMimeData(data)


def leave_text() -> None:
    """Leave on the clipboard only the text of a parcel of ours, as the program ends.

    Data made in Python would go after Python does, and take the program down (PySide6 6.10).
    """
    board = QGuiApplication.clipboard()
    if has_parcel():
        text = board.text()
        board.clear()
        board.setText(text)


def has_parcel() -> bool:
    """Whether a parcel lies on the clipboard, from this window or another."""
    data = _lying_there()
    return data is not None and data.hasFormat(MIME_TYPE)


def parcel() -> Parcel:
    """The parcel on the clipboard. Raises FileProblemError, DataError when it is damaged."""
    from bloomline.files.parcels import parse_parcel

    data = _lying_there()
    raw = b"" if data is None else bytes(data.data(MIME_TYPE).data())
    return parse_parcel(raw, name=tr("The clipboard"))


def _lying_there() -> QMimeData | None:
    # None while another program holds it, whatever the signature says.
    return QGuiApplication.clipboard().mimeData()
