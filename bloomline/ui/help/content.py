"""The words of the help page, section by section."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QAction, QKeySequence

from bloomline.reference.rules import load_rules
from bloomline.words import tr

translate = QCoreApplication.translate


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and paragraphs of rich text."""

    id: str
    title: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KeyLine:
    """A command, its keys, and what more there is to say."""

    name: str
    keys: str
    more: str = ""


@dataclass(frozen=True, slots=True)
class KeyGroup:
    """Commands that stand together, in a menu or on a page."""

    title: str
    lines: tuple[KeyLine, ...]


def key_line(action: QAction) -> KeyLine:
    """What the help says of an action."""
    name = plain_text(action)
    keys = " / ".join(
        each.toString(QKeySequence.SequenceFormat.NativeText) for each in action.shortcuts()
    )
    return KeyLine(name, keys, action.toolTip() if action.toolTip() not in ("", name) else "")


def sections(groups: Sequence[KeyGroup]) -> list[Section]:
    """All of the help, in order."""
    return [_first_steps(), _keys(groups), _dates(), _cautions(), _sources()]


def _first_steps() -> Section:
    return Section(
        "first-steps",
        tr("First steps"),
        (
            tr(
                "<b>Begin a yard.</b> File, New yard asks for your town and how high it lies, your "
                "pots and your wishes, and shows whole pots of layers to choose from. It takes "
                "under a minute.",
            ),
            tr(
                "<b>Plant.</b> Drag a kind from the shelf onto a pot; a mark shows how deep it "
                "will lie and how many fit. By keyboard: select the pot, choose the kind on the "
                "shelf, press Enter.",
            ),
            tr(
                "<b>Find a kind.</b> Type words in any order: a name as you write it, a kind, a "
                "colour, scented, a month, a height, such as “scented tulip under 40 cm” or “white "
                "april”. Filters show what flowers when the yard is bare, and what lies in the "
                "cupboard: F2 on a kind counts it, and while that filter is on, Enter plants no "
                "more than are left. The menu of a kind (right mouse button or the menu key) has "
                "its facts.",
            ),
            tr(
                "<b>Look at the season.</b> Each layer has a bar from first flower to the end. "
                "Hatched days are bare, bracketed ones crowded. Move the day line and the pots "
                "grow and fade with it.",
            ),
            tr(
                "<b>Fill a gap.</b> Click a bare stretch under the strip, drag over days of the "
                "axis with Shift held, or press B and Enter: the shelf lists what would fill those "
                "days, in which pot, for how much. Enter plants it. The page Plan chooses for many "
                "pots at once, and keeps what every season should keep.",
            ),
            tr(
                "<b>Use a pot twice.</b> The filter Companions on the shelf shows plants that are "
                "set on top of the bulbs, such as winter pansies: their season goes by date, and "
                "how many fit by the surface. Bulbs that leave the pot get a day of lifting in "
                "their details, and the next planting may follow. Where one is due while others "
                "still flower, are in leaf or lie where it should go, its row is marked and the "
                "details of the pot offer ways out, each with what it costs.",
            ),
            tr(
                "<b>Try what if.</b> Slide the place from earliest to latest spring, the planting "
                "day, and the weather from the coldest to the warmest year.",
            ),
            tr(
                "<b>Set the stage.</b> On the page Stage make the places where pots are seen, "
                "rest or winter: the rota says which pot stands where in each week, and Work "
                "which to carry when. Drag a pot to a place on a day and it stays there until its "
                "next move (with Shift for the rest of the season); the rest follows. By place "
                "(F7) arranges the yard so, Places (F6) shows it under the season.",
            ),
            tr(
                "<b>Note what you see.</b> Ctrl+R notes a first flower, full flower or the end of "
                "the selected layer, and holds the day against the forecast. From such records "
                "the yard learns how many days it is earlier or later than the model; the page "
                "Records shows what it learned. An entry that can hardly be right is questioned "
                "and left out until you correct or confirm it.",
            ),
            tr(
                "<b>Keep it.</b> Save the yard; export the chart as a picture or print it. Every "
                "change can be undone, and work that was not saved is offered again after a crash.",
            ),
        ),
    )


def _keys(groups: Sequence[KeyGroup]) -> Section:
    tables = []
    for group in (*groups, _selecting(), _places()):
        rows = "".join(
            "<tr><td width='40%'>{name}</td><td width='24%'><b>{keys}</b></td>"
            "<td width='36%'>{more}</td></tr>".format(
                name=escape(line.name), keys=escape(line.keys or "–"), more=escape(line.more)
            )
            for line in group.lines
            if line.name
        )
        tables += [
            f"<b>{escape(group.title)}</b>",
            f"<table width='100%' cellspacing='4'>{rows}</table>",
        ]
    return Section(
        "keys",
        tr("Keys"),
        (
            tr(
                "Tab goes from part to part, the arrow keys within one. Everything that the "
                "mouse does can be done with these:",
            ),
            *tables,
        ),
    )


def _selecting() -> KeyGroup:
    return KeyGroup(
        tr("Several pots or layers at once"),
        (
            KeyLine(tr("All up to this one"), tr("Shift+click / Shift+arrow key")),
            KeyLine(tr("This one besides the others"), tr("Ctrl+click")),
            KeyLine(
                tr("Go on without selecting"),
                tr("Ctrl+Shift+arrow key"),
                tr("In the season and its table Ctrl+Up and Ctrl+Down"),
            ),
            KeyLine(tr("Select where the keyboard is, or no more"), tr("Ctrl+Space")),
            KeyLine(tr("Back to one, to its pot, to none"), tr("Esc")),
        ),
    )


def _places() -> KeyGroup:
    return KeyGroup(
        tr("Places over the season"),
        (
            KeyLine(tr("Next stay, or the one before"), tr("Up / Down")),
            KeyLine(tr("Next day, or the one before"), tr("Left / Right")),
            KeyLine(
                tr("Carry the pot elsewhere from the day on"),
                tr("M / Enter"),
                tr("In the yard by place: M, arrow keys, Enter"),
            ),
            KeyLine(tr("Leave it to the rota again"), tr("Delete")),
            KeyLine(tr("Fewer days, more, the whole rota"), "+ / − / F"),
        ),
    )


def plain_text(action: QAction) -> str:
    """An action's words without the marks of a menu."""
    return action.text().replace("&&", "\0").replace("&", "").replace("\0", "&").rstrip("…").strip()


def _dates() -> Section:
    return Section(
        "dates",
        tr("How a date is worked out"),
        (
            tr(
                "<b>Weather.</b> The normal months of the weather stations around give the usual "
                "year of your place: the nearer a station, in height and to the sea too, the more "
                "it counts. They are corrected for your height by 6.5 °C a kilometre. The "
                "departures of 21 real seasons are laid over it, so that there are cold springs "
                "and warm ones.",
            ),
            tr(
                "<b>The pot.</b> Compost follows the air more slowly in a large pot than in a "
                "small one, and a wall, a frame, a shed or a garage changes what the roots feel. "
                "A bulb that lies deeper than its kind usually does opens a few days later.",
            ),
            tr(
                "<b>Cold, then warmth.</b> From the planting day, days near 0 to 9 °C at the roots "
                "count as cold; the kind needs so many weeks of it. Warmth counts all the more the "
                "further that need is met, and the longer the days. When the sum is reached, the "
                "flower opens. The sum is set so that the kind opens on its known date near "
                "London.",
            ),
            tr(
                "<b>What the band means.</b> Each date has three figures. In one year of ten the "
                "flower is earlier than the first, in half of the years earlier than the middle "
                "one, in one of ten later than the last: eight years of ten lie in the band. It "
                "holds the spread of the weather and what is not known of the kind and of your "
                "garden.",
            ),
            tr(
                "<b>Bare and crowded.</b> Bare days are counted in each weather year, between that "
                "year's first flower and its last; the figure is their mean, with the range of "
                "eight years in ten. A year without any flower counts the whole usual season. "
                "Hatched are the days of the usual season on which colour is less likely than you "
                "set, half as a rule: bare days that fall differently each year are counted but "
                "not hatched. A day is crowded when more layers than you set flower at once.",
            ),
            tr("A forecast is not a promise: real weather, pots and bulbs differ."),
        ),
    )


def _cautions() -> Section:
    own = (
        tr(
            "Rules and advice of your own place come first: local codes, the word of a vet, a "
            "poisons line, a building engineer. What stands here is a general guide.",
        ),
        tr(
            "<b>Gloves.</b> Tulip, hyacinth and narcissus bulbs irritate the skin. Wash hands "
            "after planting.",
        ),
        tr(
            "<b>Pets and children.</b> Many bulbs are poisonous if eaten. Keep bulbs and cut "
            "flowers out of reach; after any swallowing call a vet, a doctor or a poisons line at "
            "once, with the label at hand.",
        ),
        tr(
            "<b>Heavy pots.</b> A wet pot of 40 cm may weigh over 50 kg. Set it in place before "
            "filling, use a trolley, or lift with two people, knees bent. On a balcony or roof ask "
            "what the floor may carry.",
        ),
        tr(
            "<b>Frost.</b> Clay that drinks water splits in frost; stand such pots on feet, out of "
            "the rain, or under cover. A split pot falls apart without warning: do not lift it by "
            "the rim. In a pot bulbs freeze through sooner than in the ground.",
        ),
    )
    rules = tuple(
        tr(
            "{told} <i>({source})</i>",
            told=escape(tr(caution.message)),
            source=escape(caution.source),
        )
        for caution in load_rules().cautions()
    )
    return Section("cautions", tr("Cautions"), (*own, *rules))


def _sources() -> Section:
    return Section(
        "sources",
        tr("Sources"),
        (
            tr(
                "<b>Climate.</b> WMO Climatological Standard Normals for 1991–2020, NOAA National "
                "Centers for Environmental Information, doi:10.25921/800j-vn07 (CC0 1.0).",
            ),
            tr(
                "<b>Towns.</b> GeoNames, geonames.org (CC BY 4.0), shortened; the note beside the "
                "data tells how.",
            ),
            tr(
                "<b>Weather years.</b> Daily data of De Bilt, station 260, Royal Netherlands "
                "Meteorological Institute, KNMI (CC BY 4.0), as departures from its usual year.",
            ),
            tr(
                "<b>Hours of a day.</b> Linvill, D. E. (1990), HortScience 25, 14–16. "
                "<b>Height.</b> Standard atmosphere, ISO 2533.",
            ),
            tr(
                "<b>Dates and needs of the kinds.</b> The catalogue marks each as published, "
                "relative to a published one, typical of its class, or from memory; the details "
                "of a layer show which.",
            ),
        ),
    )
