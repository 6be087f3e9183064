"""The photo of a record: where it is kept, whether it is still there, a small preview."""

from __future__ import annotations

import os
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QByteArray, QSize, Qt, Slot
from PySide6.QtGui import QImage, QImageReader, QPixmap
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bloomline.ui.dressed import say_as
from bloomline.ui.season_service import Beside
from bloomline.ui.theme import em
from bloomline.words import tr

MOST_BYTES = 64 * 1024**2
MOST_PIXELS = 120_000_000
_MOST_DECODED_MIB = 256

# How files of pictures made of pixels begin (the formats' own specifications). No vector
# graphics: a few kilobytes of them can keep the program busy for hours.
_BEGINNINGS = (
    (b"\xff\xd8\xff", "jpeg"),
    (b"\x89PNG\r\n\x1a\n", "png"),
    (b"GIF8", "gif"),
    (b"II*\0", "tiff"),
    (b"MM\0*", "tiff"),
    (b"BM", "bmp"),
)
KINDS = ("jpg", "jpeg", "png", "webp", "gif", "tif", "tiff", "bmp")


def kind_of(begin: bytes) -> str | None:
    """Which kind of picture a file is by how it begins; None for anything else."""
    if begin[:4] == b"RIFF" and begin[8:12] == b"WEBP":
        return "webp"
    return next((kind for sign, kind in _BEGINNINGS if begin.startswith(sign)), None)


def is_on_network(kept: str) -> bool:
    """Whether a path names another computer, which looking for the file would call up."""
    return kept.replace("\\", "/").startswith("//")


def kept_path(photo: Path, yard_file: Path | None) -> str:
    """How a photo's path is written down: from the yard's file on, where it lies beside it."""
    if yard_file is not None:
        folder = yard_file.resolve().parent
        try:
            return photo.resolve().relative_to(folder).as_posix()
        except ValueError:
            pass
    return str(photo)


def found_path(kept: str, yard_file: Path | None) -> Path | None:
    """Where a photo lies now; None when it isn't there any more."""
    if is_on_network(kept):
        return None
    path = Path(kept)
    if not path.is_absolute():
        if yard_file is None:
            return None
        path = yard_file.resolve().parent / path
    try:
        return path if path.is_file() else None
    except OSError:
        return None


@dataclass(frozen=True, slots=True)
class PhotoPreview:
    """A photo made small. image : None when it can't be shown; `why` then says why."""

    kept: str
    image: QImage | None
    why: Literal["", "gone", "network", "large", "no picture"] = ""


def preview_of(kept: str, *, yard_file: Path | None, size: QSize) -> PhotoPreview:
    """Read a photo, no larger than is shown."""
    if is_on_network(kept):
        return PhotoPreview(kept, None, "network")
    path = found_path(kept, yard_file)
    if path is None:
        return PhotoPreview(kept, None, "gone")
    try:
        with path.open("rb") as file:
            kind = kind_of(file.read(16))
            size_bytes = os.fstat(file.fileno()).st_size
    except OSError:
        return PhotoPreview(kept, None, "gone")
    if kind is None:
        return PhotoPreview(kept, None, "no picture")
    QImageReader.setAllocationLimit(_MOST_DECODED_MIB)
    reader = QImageReader(str(path), QByteArray(kind.encode()))
    reader.setAutoDetectImageFormat(False)  # the name may say something else
    reader.setAutoTransform(True)
    whole = reader.size()
    if size_bytes > MOST_BYTES or whole.width() * whole.height() > MOST_PIXELS:
        return PhotoPreview(kept, None, "large")
    if whole.isValid() and (whole.width() > size.width() or whole.height() > size.height()):
        reader.setScaledSize(whole.scaled(size, Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    return (
        PhotoPreview(kept, image) if not image.isNull() else PhotoPreview(kept, None, "no picture")
    )


class PhotoField(QWidget):
    """Chooses a photo and shows it small."""

    def __init__(self, yard_file: Path | None, start: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._yard_file, self._start = yard_file, start
        self._kept: str | None = None
        self._beside: Beside | None = None
        self.choose = QPushButton(tr("&Photo…"), self)
        self.choose.setObjectName("entry_photo")
        self.choose.setAutoDefault(False)
        self.choose.clicked.connect(self.ask)
        self.clear = QPushButton(tr("Without photo"), self)
        self.clear.setObjectName("entry_no_photo")
        self.clear.setAutoDefault(False)
        self.clear.clicked.connect(self._forget)
        self.name = QLabel(self)
        say_as(self.name, "muted")
        self.name.setWordWrap(True)
        self.name.setTextFormat(Qt.TextFormat.PlainText)
        self.picture = QLabel(self)
        self.picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        words = QVBoxLayout()
        buttons = QHBoxLayout()
        buttons.addWidget(self.choose)
        buttons.addWidget(self.clear)
        buttons.addStretch(1)
        words.addLayout(buttons)
        words.addWidget(self.name)
        words.addStretch(1)
        row.addLayout(words, 1)
        row.addWidget(self.picture)
        self.show_photo(None)

    @property
    def kept(self) -> str | None:
        """The photo's path as it is to be kept; None without one."""
        return self._kept

    @Slot()
    def ask(self) -> None:
        """Ask for a picture file."""
        kinds = " ".join(f"*.{each}" for each in KINDS)
        chosen, _ = QFileDialog.getOpenFileName(
            self,
            tr("Choose a photo"),
            str(self._start),
            tr("Pictures ({kinds})", kinds=kinds) + ";;" + tr("All files (*)"),
            options=QFileDialog.Option.ReadOnly,  # no deleting or renaming from there
        )
        if chosen:
            self.show_photo(kept_path(Path(chosen), self._yard_file))

    @Slot()
    def _forget(self) -> None:
        self.show_photo(None)

    def show_photo(self, kept: str | None) -> None:
        """Show another photo, or none."""
        self._kept = kept
        self.clear.setVisible(kept is not None)
        self.picture.setVisible(False)
        self._tell(kept or "")
        self.name.setVisible(kept is not None)
        if kept is None:
            return
        if self._beside is None:
            self._beside = Beside(self)
            self._beside.answered.connect(self._take)
        side = round(6 * em() * self.devicePixelRatioF())
        self._beside.ask(
            partial(preview_of, kept, yard_file=self._yard_file, size=QSize(side * 4 // 3, side))
        )

    def _tell(self, words: str, *, kind: str = "muted") -> None:
        self.name.setText(words)
        if self.name.objectName() != kind:
            say_as(self.name, kind)

    @Slot(object)
    def _take(self, answer: object) -> None:
        if not isinstance(answer, PhotoPreview) or answer.kept != self._kept:
            return
        if answer.image is None:
            words = {
                "gone": tr("This photo isn't there any more: {name}"),
                "network": tr("Photos on another computer are not opened: {name}"),
                "large": tr("This photo is too large to be shown: {name}"),
            }.get(answer.why, tr("This file can't be shown as a picture: {name}"))
            self._tell(words.format(name=answer.kept), kind="caution")
        else:
            pixmap = QPixmap.fromImage(answer.image)
            pixmap.setDevicePixelRatio(self.devicePixelRatioF())
            self.picture.setPixmap(pixmap)
            self.picture.setAccessibleName(tr("Photo: {name}", name=answer.kept))
            self.picture.setVisible(True)

    def stop(self) -> None:
        """End the reading beside the window; safe to call twice."""
        if self._beside is not None:
            self._beside.stop()
            self._beside = None
