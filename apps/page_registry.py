"""The pages of the program: server, top bar, storyboard and links read them here alone."""

from dataclasses import dataclass
from typing import Literal

Keys = tuple[tuple[str, str], ...]  # key, and what it does
StepPart = Literal["scene", "bearing", "limit", "curve", "shaft", "review"]

TIME_KEYS: Keys = (
    ("Space", "play or pause"),
    ("← →", "1° back or forward"),
    ("Shift ← →", "10° back or forward"),
    ("Home, End", "start or end of the cycle"),
    (", and .", "slower, faster"),
    ("press or drag on a curve", "the crank angle there"),
)
CURVE_KEYS: Keys = (*TIME_KEYS, ("1 … 9", "select a cylinder"))
TRAIN_KEYS: Keys = (*CURVE_KEYS, ("drag in the view from the front", "turn the crank"))

SOLID_KEYS: Keys = (
    ("d", "3-D or 2-D"),
    ("in 3-D: f, s, t, o", "view from the front, side, three-quarter, top"),
    ("in 3-D: [ ] ↑ ↓, + −", "turn, tilt, zoom"),
    ("in 3-D: b, c, x, u", "block, section, exploded, use of allowable"),
)


@dataclass(frozen=True, slots=True)
class PageEntry:
    """What the program knows of a page.

    `purpose` says in a sentence what the page is for; `maker` names its module in apps/pages and
    its class, which is imported by the server alone.
    `step_part` says what a storyboard step shows of it: angle, cylinder and forces alone
    ("scene"), or beside them the selected bearing, limit or curve, the chart of the open tab
    ("shaft"), the card or the variants ("review"); None for a page of which no step is made.
    `former_label` and `former_address` are those of old files and links.
    """

    label: str
    address: str
    purpose: str
    maker: str
    keys: Keys
    step_part: StepPart | None = "scene"
    former_label: str = ""
    former_address: str = ""

    @property
    def href(self) -> str:
        """The address as the other pages link to it."""
        return self.address or "./"


FRONT = PageEntry(
    "Start",
    "",
    "The way in: a moving crank train, and where to go from it.",
    "front_page:FrontPage",
    TRAIN_KEYS,
    step_part=None,
)
CRANK_TRAIN = PageEntry(
    "Crank train",
    "train",
    "Motion, forces and bearing loads of all cylinders over the crank angle, at any speed.",
    "crank_train_page:CrankTrainPage",
    (*TRAIN_KEYS, *SOLID_KEYS),
)
BEARINGS = PageEntry(
    "Bearings",
    "bearings",
    "Oil films of all bearings: orbit, minimum film, pressure, heat and oil flow.",
    "bearings_page:BearingsPage",
    (
        *TIME_KEYS,
        ("[ and ]", "select the previous or next bearing"),
        ("↑ ↓ on the bearings", "the same"),
    ),
    step_part="bearing",
)
SHAFT = PageEntry(
    "Shaft",
    "shaft",
    "The shaft's shape, counterweights, balancing and tolerances.",
    "shaft_page:ShaftPage",
    (
        ("Space, on the drawing", "play or pause"),
        ("← →, on the drawing", "turn the shaft 5° back or forward"),
        ("↑ ↓, on the drawing", "select the previous or next part"),
        ("Home, End, on the drawing", "select the first or last part"),
        ("← →, on the trade-off", "select the previous or next point"),
    ),
    step_part="shaft",
)
LIMITS = PageEntry(
    "Limits",
    "limits",
    "The speed at which each part reaches what it is allowed; the lowest governs.",
    "limits_page:LimitsPage",
    (
        ("↑ ↓", "select the rung above or below"),
        ("Home, End", "select the first or last rung"),
    ),
    step_part="limit",
)
COMPARE = PageEntry(
    "Compare",
    "compare",
    "Two designs over one another: curves, numbers, limits and inputs.",
    "compare_page:ComparePage",
    CURVE_KEYS,
    step_part="curve",
)
REVIEW = PageEntry(
    "Review",
    "review",
    "A question to a proposal, its answer, and what each difference does.",
    "review_page:ReviewPage",
    (),
    step_part="review",
)
STORYBOARD = PageEntry(
    "Storyboard",
    "storyboard",
    "Views of all pages as steps, to present and to print.",
    "storyboard_page:StoryboardPage",
    (
        ("→ Space PageDown", "next step, while presenting"),
        ("← PageUp", "previous step"),
        ("Home, End", "first, last step"),
        ("n", "speaker notes below the slide"),
        ("Esc", "end the presentation"),
    ),
    step_part=None,
    former_address="present",
)
LESSONS = PageEntry(
    "Lessons",
    "lessons",
    "A question, a prediction, an experiment, why, and a check.",
    "lessons_page:LessonsPage",
    (
        ("Space", "play or pause"),
        ("← →", "1° back or forward"),
        ("Shift ← →", "10° back or forward"),
        ("Home, End", "start or end of the cycle"),
        ("1 … 9", "select a cylinder"),
        ("on a point of the drawing: ← →", "previous or next point"),
        ("on a point of the drawing: ↑ ↓, Page Up, Page Down", "higher or lower, fine or coarse"),
        ("Escape", "hide an explanation"),
    ),
)
REV_LIMIT = PageEntry(
    "Rev limit",
    "rev-limit",
    "What holds the speed down, in plain sentences, and what it would take to raise it.",
    "rev_limit_page:RevLimitPage",
    (
        ("← →", "50 rpm less, more"),
        ("Shift ← →", "500 rpm less, more"),
        ("Home, End", "lowest, highest speed"),
        ("R, L, F", "rated speed, red line, governing limit"),
        ("P", "presentation: full screen and back"),
    ),
    step_part="limit",
    former_label="Sales talk",
    former_address="talk",
)
DATA_SHEET = PageEntry(
    "Data sheet",
    "data-sheet",
    "Every entry of the design with its range, origin and note.",
    "data_sheet_page:DataSheetPage",
    (
        ("Enter, ↓", "take the value and go to the row below"),
        ("Shift Enter, ↑", "the same, to the row above"),
        ("Escape", "take back what is typed"),
        ("Ctrl V", "paste a column or a block of cells from here down"),
    ),
    step_part=None,
)
PAGES = (
    FRONT,
    CRANK_TRAIN,
    BEARINGS,
    SHAFT,
    LIMITS,
    COMPARE,
    REVIEW,
    STORYBOARD,
    LESSONS,
    REV_LIMIT,
    DATA_SHEET,
)
BAR_PAGES = tuple(page for page in PAGES if page is not FRONT)
STEP_PAGES = tuple(page for page in PAGES if page.step_part is not None)
_BY_LABEL = {page.label: page for page in PAGES}
_BY_FORMER_LABEL = {page.former_label: page for page in PAGES if page.former_label}


def page_labelled(label: str) -> PageEntry | None:
    """Return the page of a label, or of the label that it had in old files; None for no label."""
    return _BY_LABEL.get(label) or _BY_FORMER_LABEL.get(label)
