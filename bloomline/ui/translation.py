"""Puts our words, and Qt's own, into the language of the system."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator

from bloomline.data import data_root


def install_words(app: QCoreApplication, locale: QLocale | None = None) -> list[QTranslator]:
    """Install what there is for a language (the system's), over the English plurals.

    The words in the code are English; only the forms after a number ("1 layer", "2 layers") are
    in a file, and hold wherever a language has none of its own.
    """
    wanted = locale or QLocale.system()
    ours = str(data_root("resources").joinpath("translations"))
    theirs = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    english = QLocale(QLocale.Language.English)
    installed = []
    for language, name, folder in (
        (english, "bloomline", ours),
        (wanted, "qtbase", theirs),
        (wanted, "bloomline", ours),
    ):
        if language is wanted and wanted.language() == english.language():
            continue
        translator = QTranslator(app)
        # The one installed last is asked first.
        if translator.load(language, name, "_", folder):
            app.installTranslator(translator)
            installed.append(translator)
    return installed
