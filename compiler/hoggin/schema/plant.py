"""The checked plant: what the check phase gives and every later phase reads.

Everything here has passed the language's checks: names are resolved, templates expanded, units
converted (each field says its unit in its name), machine classes turned into the coefficients of
process models. Nothing here knows how a plant is balanced or drawn.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import fsum
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from hoggin.schema.frozen import Frozen
from hoggin.schema.kinds import KINDS


class Place(Frozen):
    """Where a thing is declared: project-relative file, line and column from 1."""

    file: str
    line: int
    column: int


# Facts of every material that breakage models may ask for.
BREAKING_FACTS = ("work_index_kwh_t", "solid_density_t_m3", "bulk_density_t_m3")


class Material(Frozen):
    name: str
    solid_density_t_m3: float
    bulk_density_t_m3: float
    work_index_kwh_t: float
    abrasion_index: float | None = None
    moisture: float = 0.0  # water over dry solids, of feeds that state none
    clay: float = 0.0  # that sticks, over dry solids, of feeds that state none
    absorption: float | None = None  # water that it takes up, over its mass
    compressive_strength_mpa: float | None = None
    # Coefficients of breakage that the rock states in the class's place, in the catalog's units.
    breakage: Mapping[str, float] = Field(default_factory=dict)
    about: str = ""
    sources: Mapping[str, str] = Field(default_factory=dict)  # of its figures, by the fact's name
    # Ranges that its figures are stated to lie in, in the fact's unit; figures that are those of
    # the standard library, typical of a rock of this name.
    ranges: Mapping[str, tuple[float, float]] = Field(default_factory=dict)
    typical: tuple[str, ...] = ()

    @property
    def breaking(self) -> Mapping[str, float]:
        """All that a breakage model may ask of the rock, by the model's name for it."""
        own = {name: getattr(self, name) for name in BREAKING_FACTS}
        return {**self.breakage, **own}


class Project(Frozen):
    """What the title block of a document says of the project: free texts of the plant's writer, ""
    where it does not say. A date of issue is that of a revision."""

    name: str = ""
    client: str = ""
    owner: str = ""
    document_number: str = ""
    status: str = ""
    drawn: str = ""
    checked: str = ""
    approved: str = ""


class Listed(Frozen):
    """What documents call a feed, machine or product. `tag` is its name, which routes use;
    `item_tag` is the site's own, as `20-CR-101`, unique within a plant. No result depends on the
    other texts. `sheet` is the drawing sheet it is on. Texts are "" where nothing is stated."""

    tag: str
    title: str = ""
    item_tag: str = ""
    sheet: str = ""
    notes: tuple[str, ...] = ()


class Feed(Listed):
    """Material entering the plant. `grading` is (size mm, fraction passing), coarse to fine;
    `flakiness` is (size mm, flaky share), where one point holds for all sizes, None if unknown;
    `flat_elongated` is alike."""

    material: str
    rate_t_h: float  # dry solids
    grading: tuple[tuple[float, float], ...]
    moisture: float | None = None  # water over dry solids; None where its material says
    clay: float | None = None
    place: Place
    flakiness: tuple[tuple[float, float], ...] | None = None
    flat_elongated: tuple[tuple[float, float], ...] | None = None
    loading_h: tuple[tuple[float, float], ...] = ()  # hours of the day (start, end); () for all
    tramp_mm: float | None = None  # of what a magnet holds
    tramp_every_h: float | None = None  # mean hours between two pieces
    nonmagnetic_tramp_mm: float | None = None  # that no magnet holds
    nonmagnetic_tramp_every_h: float | None = None


class TableRow(Frozen):
    """A row of a model's table: (size mm, fraction passing) coarse to fine, or one range of t/h."""

    setting_mm: float
    points: tuple[tuple[float, float], ...]


class ModelUse(Frozen):
    """A process model with numbers for every coefficient, in the units the catalog names, and the
    rows of its table, by rising setting, where it takes one."""

    model: str
    coefficients: Mapping[str, float]
    table: tuple[TableRow, ...] = ()

    @property
    def tables(self) -> Mapping[str, Sequence[tuple[float, tuple[tuple[float, float], ...]]]]:
        """What its functions take beside the coefficients."""
        if not self.table:
            return {}
        return {"rows": tuple((row.setting_mm, row.points) for row in self.table)}


class Setting(Frozen):
    """One setting of a machine as the schedule shows it: `css`, `32 mm` or `chamber`, `coarse`."""

    name: str
    text: str
    value: float | None = None  # in `unit`; None for a choice
    unit: str = ""


class Size(Frozen):
    """A parameter of a machine's class: its value and the ends of its range, in `unit`."""

    value: float
    low: float
    high: float
    unit: str


class Spread(Frozen):
    """The range of a measured figure over the computed one, and its source."""

    low: float
    high: float
    source: str = ""


class Deck(Frozen):
    """A screen deck. Decks of a machine are listed top to bottom."""

    name: str
    aperture_mm: float
    shape: Literal["square", "round", "slotted"]
    open_area: float | None = None  # fraction; None: that usual for the aperture
    spray_m3_h: float = 0.0
    slot_ratio: float | None = None  # length of a slot over its width, where it is stated
    place: Place


class MachineOperation(Frozen):
    """How a machine is run over time. Hours are of shift time."""

    availability: float = 1.0  # uptime over uptime and repair, while it is wanted
    repair_h: float | None = None  # mean; None where it never fails
    pace: float | None = None  # most of the balance's rates its section is run at
    stops_h: tuple[tuple[float, float], ...] = ()  # planned: (every, lasting)
    campaign_h: float | None = None  # of a splitter: a round of all its outlets, one at a time
    changeover_h: float = 0.0  # from one outlet to the next


def _known(kind: str) -> str:
    if kind not in KINDS:
        raise ValueError(f"there is no kind of machine `{kind}`")
    return kind


MachineKind = Annotated[str, AfterValidator(_known), Field(json_schema_extra={"enum": [*KINDS]})]


class Machine(Listed):
    """A machine after its class has been applied.

    `models` maps a role (breakage, capacity, power, partition, area ...) to the model in use.
    `facts` are the class's numbers, in the trade unit its name ends with (feed_opening_mm,
    installed_power_kw, max_reduction_ratio, relief_stroke_mm, width_mm, length_mm ...).
    Outlets: most kinds have `product`; a screen has
    `<deck>.over` for each deck and `under`; a classifier has `coarse` and `fine`, a thickener
    `underflow` and `overflow`; a splitter has
    one per `out`; a bin or stockpile with a `draw` has `draw` and `overflow`.
    Every machine has the one inlet `feed`; streams that meet there are blended.
    """

    kind: MachineKind
    class_name: str = ""  # as tables show it; "" for a splitter, blend, bin or stockpile
    about: str = ""
    settings: tuple[Setting, ...] = ()
    facts: Mapping[str, float] = Field(default_factory=dict)
    spreads: Mapping[str, Spread] = Field(default_factory=dict)  # by fact, `capacity_spread` ...
    traits: Mapping[str, str] = Field(default_factory=dict)  # action, pivot, setting_method ...
    models: Mapping[str, ModelUse] = Field(default_factory=dict)
    decks: tuple[Deck, ...] = ()
    shares: Mapping[str, float] = Field(default_factory=dict)  # splitter outlet -> fraction
    # Outlet -> t/h asked of it, of a splitter by tonnage or a store with a `draw`; the one outlet
    # that is not named takes the rest. It has no shares then.
    asked_t_h: Mapping[str, float] = Field(default_factory=dict)
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    outlets: tuple[str, ...] = ("product",)
    place: Place
    class_path: str = ""  # of its ClassRecord
    operation: MachineOperation | None = None
    existing: bool = False  # it stands already, and is not to be bought
    # Equal machines in parallel, a whole number; all else that is stated holds for each of them.
    count: float = 1.0

    def share_of_little(self, outlet: str) -> float:
        """What an outlet takes of the least that is fed: tonnages are served first."""
        if not self.asked_t_h:
            return self.shares.get(outlet, 1.0)
        asked = fsum(self.asked_t_h.values())
        if asked == 0.0:
            return float(outlet not in self.asked_t_h)
        return self.asked_t_h.get(outlet, 0.0) / asked

    @property
    def deck_area_m2(self) -> float | None:
        """Area of one deck of a screen: as its class states it, or width times length."""
        if "area_m2" in self.facts:
            return self.facts["area_m2"]
        if "width_mm" in self.facts and "length_mm" in self.facts:
            return self.facts["width_mm"] * self.facts["length_mm"] / 1e6
        return None


class ClassRecord(Frozen):
    """What a machine class says, line by line, as it was when the plant was checked.

    A class is known by its name and by what it says, wherever it is and whatever it was
    imported as: `path` is `jaw`, `std.cones.high_speed` in the compiler's own library, and `jaw_2`
    for the second of two classes of one name. `lines` maps a line's name (`feed_opening`,
    `breakage matrix.k2`, `setting css`) to its words with single spaces, sorted by name: two
    revisions of a library compare by what they say.
    """

    path: str
    name: str  # its own; `path` but for the number
    lines: Mapping[str, str]


class Stream(Frozen):
    """A route from one outlet to one inlet, or to a product. `outlet` is "" for a feed."""

    source: str
    outlet: str
    target: str

    @property
    def name(self) -> str:
        """`sizing.top.over -> secondary`, unique in a plant."""
        port = f"{self.source}.{self.outlet}" if self.outlet not in ("", "product") else self.source
        return f"{port} -> {self.target}"


class Product(Listed):
    place: Place


class BandPoint(Frozen):
    size_mm: float
    low: float  # fraction passing
    high: float


class Band(Frozen):
    """A grading specification: limits of fraction passing, coarse to fine."""

    name: str
    about: str
    source: str
    points: tuple[BandPoint, ...]


class Constant(Frozen):
    kind: Literal["constant"] = "constant"
    value: float  # in the requirement's unit, or a pure number


class Reading(Frozen):
    """A result asked for by name: `chips.rate`, `secondary.load`, `chips.passing(5 mm)`."""

    kind: Literal["reading"] = "reading"
    subject: str  # tag of a product, feed, machine, or "tag.deck"; "" is the plant
    quantity: str
    size_mm: float | None = None


class Combination(Frozen):
    kind: Literal["combination"] = "combination"
    operator: Literal["+", "-", "*", "/"]
    left: Expression
    right: Expression


Expression = Annotated[Constant | Reading | Combination, Field(discriminator="kind")]


class Limit(Frozen):
    """`require EXPRESSION within low to high`; one side may be absent.

    `low` and `high` are in `unit`; readings and constants of the expression are in trade units
    (mm, t/h, kW, fractions ...), of which one `unit` holds `unit_size`.
    """

    kind: Literal["limit"] = "limit"
    text: str
    expression: Expression
    low: float | None
    high: float | None
    unit: str
    unit_size: float = 1.0
    place: Place


class Meets(Frozen):
    """`require PRODUCT meets BAND`."""

    kind: Literal["meets"] = "meets"
    text: str
    product: str
    band: Band
    place: Place

    @property
    def unit(self) -> str:
        """Of its margin, as a limit has one."""
        return "% passing"


Requirement = Annotated[Limit | Meets, Field(discriminator="kind")]


class Aim(Frozen):
    """`maximize EXPRESSION` or `minimize EXPRESSION`: what the free settings are chosen for.

    The expression is in trade units and fractions, as a requirement's, of which one `unit` holds
    `unit_size`.
    """

    text: str
    direction: Literal["most", "least"]
    expression: Expression
    unit: str
    unit_size: float = 1.0
    weight: float = 1.0  # against the plant's other aims
    place: Place


class Revision(Frozen):
    """A line of the revision table. `date` is that of its issue, as in ISO 8601; "" where the plant
    states none."""

    mark: str
    text: str
    date: str = ""
    drawn: str = ""
    checked: str = ""
    approved: str = ""


class Shift(Frozen):
    """Hours of the day the plant is run; one that runs past midnight ends after 24 h."""

    name: str
    start_h: float
    end_h: float


class Open(Frozen):
    """A number or choice that the plant leaves open, or that is uncertain: the plant is balanced at
    its start. `options` are the words of each option of a choice."""

    name: str
    text: str  # "range 10 mm to 25 mm", "normal 450 t/h, 22.5 t/h", "medium"
    options: Mapping[str, str] = Field(default_factory=dict)


class Case(Frozen):
    """Another state of the plant: what it states otherwise than the plant as it is written, or than
    the case that it begins from."""

    name: str
    of: str = ""
    hours: float | None = None  # of the year; None where it does not say
    lines: Mapping[str, str] = Field(default_factory=dict)  # words by what is stated
    asked: tuple[str, ...] = ()  # what is required in it alone


class Prices(Frozen):
    """What the plant states of money and carbon, in its currency; None where it does not say."""

    energy_money_kwh: float | None = None
    labour_money_h: float | None = None  # of all who run the plant
    carbon_g_kwh: float | None = None  # carbon dioxide of the energy that motors take


class Plant(Frozen):
    """A checked plant. Feeds are by name; machines, streams, products and requirements in the
    order in which material reaches them; what is left by name. So the order of statements, lines
    and files makes no difference to anything that is computed from it."""

    title: str
    revision: str
    project: Project = Project()
    sieves_mm: tuple[float, ...]  # reporting sieves, coarse to fine
    materials: Mapping[str, Material]
    feeds: tuple[Feed, ...]
    machines: tuple[Machine, ...]
    streams: tuple[Stream, ...]
    products: tuple[Product, ...]
    requirements: tuple[Requirement, ...]
    place: Place
    hours_per_year: float | None = None  # that it is manned to run
    availability: float = 1.0  # share of them in which it runs at the balance's rates
    classes: tuple[ClassRecord, ...] = ()  # of its machines, by path
    edition: int | None = None  # of the language, where the file states one
    revisions: tuple[Revision, ...] = ()  # as the plant's `history` lists them
    currency: str = ""  # that its prices are in
    prices: Prices = Prices()
    elongation_ratio: float | None = None  # length over thickness of what counts as elongated
    aims: tuple[Aim, ...] = ()
    shifts: tuple[Shift, ...] = ()  # () where it does not say
    days_per_week: int | None = None
    open: tuple[Open, ...] = ()  # by name
    case: str = ""  # that this plant is; "" as it is written
    cases: tuple[Case, ...] = ()  # by name, of the plant as it is written
    checks: tuple[str, ...] = ()  # of other packages, by name
    # Units that the plant is written in, by the unit of results each stands for.
    units: Mapping[str, str] = Field(default_factory=dict)

    @property
    def running_h(self) -> float | None:
        """Hours a year at the balance's rates; None where the plant states none."""
        return None if self.hours_per_year is None else self.hours_per_year * self.availability

    def called(self, case: str) -> Plant:
        """The plant, called the case that it is of another; itself where none is named."""
        if not case:
            return self
        return self.model_copy(update={"case": case, "title": f"{self.title}, case {case}"})
