"""The window's language: the system's or the one chosen, for our words, Qt's, days and numbers."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator

from bloomline.words import ENGLISH, use_language


def install_words(app: QCoreApplication, chosen: str | None = None) -> str:
    """Speak the language chosen, else the system's; return the one there is for it.

    Qt's own boxes, and what is typed and shown in spin boxes, follow our words: a window that
    speaks English has no German months.
    """
    code = use_language(chosen or QLocale.system().name())
    # British, as the words are: day before month, metric unless the system says otherwise.
    QLocale.setDefault(QLocale("en_GB" if code == ENGLISH else code))
    if code != ENGLISH:
        translator = QTranslator(app)
        theirs = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
        if translator.load(QLocale(code), "qtbase", "_", theirs):
            app.installTranslator(translator)
    return code
