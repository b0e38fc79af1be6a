"""Starch and iodine on a white plate: whether the mash is converted, and whether the reading holds."""

from dataclasses import dataclass
from xml.etree.ElementTree import Element

from assessments.calculations.cautions import GLASS, HOT_LIQUOR, IODINE
from assessments.inspection.drawing import PRINT, add, mm, sheet, text
from assessments.inspection.draws import Draws, Zone
from assessments.inspection.frame import Fault, Held, Inspection, Measure, Planned, Sentence, Specimen
from assessments.vocabulary import gettext_noop

STARCH, DEXTRIN, HOT, HUSK, BLANK = "starch", "dextrin", "hot", "husk", "blank"

#: Hot starch gives no colour; the figure is the plant's, for "cooled to the temperature of the room".
MOST_DEGC = 25
MOST = {"most": str(MOST_DEGC)}
TEMPERATURES = {
    Zone.WELL_WITHIN: (17, 22),
    Zone.JUST_WITHIN: (23, 25),
    Zone.JUST_OUTSIDE: (28, 34),
    Zone.WELL_OUTSIDE: (52, 68),
}

YELLOW, RED, VIOLET = gettext_noop("yellow-brown"), gettext_noop("red"), gettext_noop("violet")
BLACK, NONE = gettext_noop("blue-black"), gettext_noop("no colour")
#: Still converted, and the nearest to red.
BROWN = gettext_noop("light brown")
COLOURS = {YELLOW: "#c58a2c", BROWN: "#a9692f", RED: "#a8352a", VIOLET: "#6a2f77", BLACK: "#15142e", NONE: "#f1ede0"}
CLEAR, WITH_HUSK = gettext_noop("clear drop"), gettext_noop("husk in the drop")

WIDTH_MM, HEIGHT_MM, WELL_MM, DROP_MM = 126, 106, 15.0, 11.0
PLACES = (
    gettext_noop("iodine alone"),
    gettext_noop("top of the mash"),
    gettext_noop("middle"),
    gettext_noop("bottom"),
    gettext_noop("by the wall"),
    gettext_noop("by the rake"),
)


@dataclass(frozen=True, slots=True)
class Drop:
    """A drop on the plate: where it was taken, its colour by name, and what is written beside it."""

    number: int
    place: str
    colour: str
    temp_c: int
    remark: str


def _specimen(draws: Draws, planned: Planned) -> Specimen:
    blank, *places = PLACES
    turned = _turned(draws, planned, len(places))
    drops = [Drop(1, blank, NONE if planned.fault == BLANK else YELLOW, draws.whole("blank", 17, 22), CLEAR)]
    marked = draws.below("marked", len(places))
    for index, place in enumerate(places):
        colour = turned.get(index, YELLOW)
        least, most = TEMPERATURES[planned.zone_of(HOT) if index == marked else Zone.WELL_WITHIN]
        remark = WITH_HUSK if planned.fault == HUSK and index == marked else CLEAR
        drops.append(Drop(index + 2, place, colour, draws.whole(f"temp {index}", least, most), remark))
    return Specimen(
        drawing=_drawn(drops, marked + 2 if planned.fault == HUSK else 0),
        specified=_specified(),
        measures=tuple(measure for drop in drops for measure in _measures(drop)),
        held=_held(drops),
    )


def _turned(draws: Draws, planned: Planned, count: int) -> dict[int, str]:
    """Return which drops have another colour than iodine alone; near the limit it is a single one."""
    if planned.about not in {STARCH, DEXTRIN} or planned.zone is Zone.WELL_WITHIN:
        return {}
    first = draws.below("first", count)
    if planned.zone is Zone.JUST_WITHIN:
        return {first: BROWN}
    indexes = [first] if planned.is_close else [index for index in range(count) if index != first]
    if planned.fault == STARCH:
        return dict.fromkeys(indexes, BLACK)
    return {index: draws.pick(f"dextrin {index}", (RED, VIOLET)) for index in indexes}


def _specified() -> tuple[Sentence, ...]:
    return (
        Sentence(gettext_noop("Drop 1 is iodine alone and stays yellow-brown; otherwise the iodine is spent.")),
        Sentence(gettext_noop("A drop is read at %(most)s °C or below, and without husk."), MOST),
        Sentence(gettext_noop("Converted: every drop of mash stays yellow-brown or light brown.")),
    )


def _measures(drop: Drop) -> tuple[Measure, ...]:
    number = {"number": str(drop.number), "place": drop.place}
    return (
        Measure(gettext_noop("Drop %(number)s, %(place)s"), drop.colour, params=number),
        Measure(gettext_noop("Drop %(number)s, temperature"), str(drop.temp_c), "°C", number),
        Measure(gettext_noop("Drop %(number)s, beside it"), drop.remark, params=number),
    )


def _held(drops: list[Drop]) -> tuple[Held, ...]:
    blank, *mash = drops
    done, cool = (
        Sentence(gettext_noop("yellow-brown or light brown")),
        Sentence(gettext_noop("%(most)s °C or below"), MOST),
    )
    held = [Held(_measures(blank)[0], Sentence(YELLOW), blank.colour == YELLOW, BLANK)]
    for drop in mash:
        colour, temp, remark = _measures(drop)
        held.append(Held(temp, cool, drop.temp_c <= MOST_DEGC, HOT))
        held.append(Held(remark, Sentence(CLEAR), drop.remark == CLEAR, HUSK))
        name = STARCH if drop.colour == BLACK else DEXTRIN
        held.append(Held(colour, done, drop.colour in {YELLOW, BROWN}, name))
    return tuple(held)


def _drawn(drops: list[Drop], with_husk: int) -> Element:
    drawing = sheet(WIDTH_MM, HEIGHT_MM)
    add(
        drawing,
        "rect",
        x=0.5,
        y=0.5,
        width=WIDTH_MM - 1,
        height=HEIGHT_MM - 1,
        rx=3,
        fill="#fdfdfb",
        stroke="#8a8f8c",
        stroke_width=0.5,
    )
    for index, drop in enumerate(drops):
        x, y = 22.0 + 41.0 * (index % 3), 21.0 + 50.0 * (index // 3)
        add(drawing, "circle", cx=x, cy=y, r=WELL_MM, fill="#f3f3ef", stroke="#b7bcb9", stroke_width=0.4)
        add(
            drawing,
            "circle",
            id=f"drop-{drop.number}",
            cx=x,
            cy=y,
            r=DROP_MM,
            fill=COLOURS[drop.colour],
            stroke="#8a8f8c",
            stroke_width=0.2,
        )
        if drop.number == with_husk:
            _husk(drawing, x, y)
        text(drawing, x - 17, y - 13, str(drop.number), font_size=5, fill=PRINT)
        for line, words in enumerate((f"{drop.temp_c} °C", drop.remark)):
            below = y + 20.5 + 5.5 * line
            text(drawing, x, below, words, font_size=4.6, text_anchor="middle", fill=PRINT)
    return drawing


def _husk(drawing: Element, x: float, y: float) -> None:
    """Draw a piece of husk: it holds starch of its own and colours dark whatever the mash does."""
    piece = f"M{mm(x - 4)} {mm(y + 2)}q3 -6 8 -3q-2 5 -8 3Z"
    add(drawing, "path", d=piece, fill=COLOURS[BLACK], stroke="#5d4a22", stroke_width=0.5)


SPOT_PLATE = Inspection(
    code="spot_plate",
    title=gettext_noop("Iodine test on the spot plate"),
    asks=gettext_noop("Is the mash converted, and can this plate be trusted?"),
    faults=(
        Fault(
            STARCH,
            gettext_noop("starch is left"),
            gettext_noop("An unconverted mash turns the drop blue-black; one dark place is enough. Go on resting."),
        ),
        Fault(
            DEXTRIN,
            gettext_noop("large dextrins are left"),
            gettext_noop("Red and violet are not yet done. Go on with the rest and test again."),
        ),
        Fault(
            HOT,
            gettext_noop("a drop was read hot"),
            gettext_noop("Hot starch gives no colour, so a hot drop passes falsely. Cool it and test again."),
        ),
        Fault(
            HUSK,
            gettext_noop("husk is in a drop"),
            gettext_noop("Husk colours dark by itself. Take a fresh drop without it."),
            is_graded=False,
        ),
        Fault(
            BLANK,
            gettext_noop("the iodine is spent"),
            gettext_noop("When iodine alone shows no colour, no drop on the plate says anything. Use fresh iodine."),
            is_graded=False,
        ),
    ),
    sources=("MEBAK-IODINE", "PRACTICE", "PLANT"),
    cautions=(HOT_LIQUOR, IODINE, GLASS),
    makes=_specimen,
)
