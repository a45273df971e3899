"""Constants of the reasoning: priors, meter behaviour, spreads, costs in minutes, rank words, sentences."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from .entry import Closed, Id, PowerNeed, Text

Share = Annotated[float, Field(ge=0.0, le=1.0)]
Positive = Annotated[float, Field(gt=0.0)]


class Priors(Closed):
    """Probability before anything is known. Single faults share what is left, by their own weights."""

    healthy: Share
    unknown: Share
    """Something the knowledge does not hold."""
    pairs: Share
    """All pairs of two independent faults together."""
    breaker_first: Share
    """Where a fault current flows: probability that the breaker trips before a fuse opens."""
    unnoticed: Positive = 0.05
    """What is left of the prior of a fault that is noticed by other complaints than the one told."""
    most_pairs: Annotated[int, Field(gt=0)]
    """The likeliest pairs kept; those of two faults in the wiring are kept in any case."""
    severities: dict[Literal["capacitor", "resistive"], tuple[Positive, ...]]
    """Branches of a single fault. capacitor: factors on the lost share; resistive: factors on the ohms."""
    severity_weights: dict[Literal["capacitor", "resistive"], tuple[Share, ...]]


class Meter(Closed):
    """How a common digital multimeter behaves."""

    input_ohm: Positive
    over_limit_ohm: Positive
    """Above this the display shows OL."""
    open_from_ohm: Positive
    """A reported value above this counts as open."""
    dead_circuit_v: Positive
    """Test points that read less than this in a good unit are not compared as live and dead."""


class Physics(Closed):
    frequency_hz: Positive
    leak_ohm: Positive
    """Stray insulation of every node to ground; keeps floating parts solvable."""
    open_ohm: Positive
    """What an open contact or broken conductor still is."""
    energised_share: Share
    """Motor winding counts as energised above this share of rated voltage."""
    hum_share: Share
    """A standing motor is heard humming above this share of rated current."""
    slow_share: Share
    """A running fan below this share of full torque turns slowly."""
    slow_sure: Share
    """Probability that such a fan is seen to be slow."""


class Spread(Closed):
    """How far a good reading may lie from the model."""

    pct: Positive
    """Component spread between units, one standard deviation, percent of the value."""
    floor: Positive
    """Least standard deviation, in the unit of the quantity."""
    top: Positive
    """Largest value a gross error may give."""


class Errors(Closed):
    gross: Share
    """Share of readings that are simply wrong: other terminals, other range, misread."""
    repeated: Share
    """Factor on ``gross`` and ``sense`` when two takes agree."""
    nothing: Share
    """Share of gross errors of volts, amps and microfarads that read nothing."""
    sense: Share
    """Share of looks and answers that are misjudged."""
    weak_spread: Positive
    """Relative spread of a weak part around its branch, natural logarithm."""
    ghost_share: Share
    """Width of a floating reading as share of the largest voltage that check can show."""
    ghost_chance: Share
    """Probability that a fully floating point shows a ghost voltage."""
    ghost_ohm: Positive
    """Source impedance at which a reading begins to float."""
    odd_spread: Share
    """Extra relative spread of volts and amps between nothing and what a good unit gives."""
    odd_from: Share
    odd_to: Share
    """What counts as between, as shares of the good reading; from ``odd_over`` up as well."""
    odd_over: Positive
    unknown_uniform: Share
    """Part of the unknown hypothesis that is flat; the rest follows the average of what is known."""
    spreads: dict[Literal["volts", "amps", "ohms", "microfarad"], Spread]


class Timing(Closed):
    active_floor: Share
    """Least probability that a slow consequence is not there at the moment of the check (reset, just restarted)."""
    flip: Share
    """Probability that a check meets the unit in the other state (settled or active) than the checks before."""
    dead_after_min: Positive
    """Typical minutes between power off and an ohms reading."""
    dead_floor: Share
    """Least probability of either: still open, or already reset, when ohms are taken."""


class MotorFact(Closed):
    kind: Literal["motor"]
    motor: Id
    running: Id
    slow: Id
    humming: Id
    silent: Id
    heard: Share
    """Probability that the hum of a standing, fed motor is noticed."""
    protector: Id | None = None
    """Its own overload: opened by heat it resets and tries again."""
    retrying: Share = 0.0
    """Probability that such a try is what is heard: a hum that cuts out."""
    drags: Text | None = None
    """Flag (fact.value) under which a running motor turns slowly: worn bearings."""


class CoilFact(Closed):
    kind: Literal["coil"]
    coil: Id
    pulled_in: Id
    out: Id
    chattering: Id


class RotationFact(Closed):
    """Which way a three-phase motor turns, heard and felt; nothing to tell while it stands."""

    kind: Literal["rotation"]
    motor: Id
    forwards: Id
    backwards: Id
    sure: Share
    """Probability that turning backwards is noticed."""


class LoadFact(Closed):
    kind: Literal["load"]
    load: Id
    on: Id
    off: Id


class ElementsFact(Closed):
    kind: Literal["elements"]
    elements: tuple[Id, ...]
    closed: Id
    open: Id
    """Outcome when all the elements are open."""


class HeatFact(Closed):
    kind: Literal["heat"]
    opened: tuple[Id, ...]
    """Protectors that open on a hot compressor; one of them open by what went before makes it hot."""
    hot: Id
    cool: Id
    sure: Share
    """Probability that the compressor is still hot when it is felt."""


class DeadFact(Closed):
    """What is seen where no voltage feeds it: a display without batteries goes blank."""

    between: tuple[Text, Text]
    """Nodes that feed it."""
    below_v: Positive
    """Volts between them below which it is dead."""
    shows: Id
    share: Share
    """How many are fed from there and have no batteries."""


class FlagFact(Closed):
    kind: Literal["flag"]
    flag: Id
    default: Id
    dead: DeadFact | None = None


FactRule = Annotated[
    MotorFact | RotationFact | CoilFact | LoadFact | ElementsFact | HeatFact | FlagFact, Field(discriminator="kind")
]


class PlateScale(Closed):
    """Which plate value scales which checks."""

    plate: Id
    base: Positive
    """The plate value that the unit kind's own values stand for."""
    unknown_spread: Share
    """Extra relative spread (natural logarithm) while the plate value is not known."""
    checks: tuple[Id, ...]


class Costs(Closed):
    """All in minutes; money and risk are expressed as minutes too."""

    price: dict[Literal["none", "low", "medium", "high"], float]
    setup: dict[Id, float]
    """Minutes to get into a set-up group from another one."""
    power: dict[PowerNeed, float]
    """Minutes to bring the unit into that power state from another one."""
    care: dict[PowerNeed, float]
    """Risk of the state, as minutes on top of every check in it."""
    return_visit: float
    """A repair that does not cure: restart, look again."""
    refer: float
    """When everything known has been tried."""


class Deciding(Closed):
    least_bits: float
    """Below this a check tells nothing worth its time."""
    unknown_least_bits: float
    """The same where the fault is probably none of the known ones."""
    again_least_bits: float
    """The same for taking something again when nothing new is left."""
    confirm_ratio: float
    """A confirming reading is at least this many times likelier under the fault than in a good unit."""
    specific_ratio: float
    """... and than under the other faults on average."""
    confirm_trust: Share
    """Hedged readings below this trust do not confirm."""
    pivotal_minutes: float
    pivotal_fall: Share
    """A reading that moves a repair by less than this is not what it hangs on, however near to its floor it stands."""
    pivotal_below: Share
    look_twice_from_minutes: float
    """A look that carries a repair alone is taken again where the repair with its price costs at least this."""
    pivotal_prices: tuple[Literal["none", "low", "medium", "high"], ...]
    second_opinion_prices: tuple[Literal["none", "low", "medium", "high"], ...]
    """Repairs of these prices need two readings on the part itself."""
    last_resort: dict[Literal["none", "low", "medium", "high"], Share]
    """Price -> probability from which a confirmed repair may be tried where no check tells more."""
    verify_from: Share
    """Where nothing tells known faults apart, a repair this likely is verified on its part before giving up."""
    stopped_floor: Share
    """Floor of a repair whose part stopped the work by a reading that two takes agree on: nothing else is asked."""
    third_from: Share
    """A check whose two takes disagree is taken a third time where the last may be wrong with this probability."""
    unknown_dominant: Share
    no_fault: Share
    no_fault_at_last: Share
    """The same where no check tells more: then what is not ruled out is named along with it."""
    no_fault_needs: dict[Id, tuple[Id, ...]]
    """check id -> outcomes that must have been seen before a unit is called healthy."""
    repair_fails: Share
    """Share of repairs that do not take."""
    doubt: Share
    """A reading that is a gross error with at least this probability is taken again."""
    both_right: Share
    """Two readings contradict each other where both are right with less than this probability."""
    in_vain: float
    """A repair in vain weighs this many times its minutes and price, where another take of a reading may prevent it."""
    third_look: float
    """A third take of a look must prevent this many times its own minutes."""
    check_first_gain: float
    """Minutes that a further check must save before a confirmed repair waits for it."""
    check_first_chance: Share
    """... and least probability that it takes the repair below its floor."""
    restart_ground_below: Share
    """The unit is not started for a test while a winding to ground is likelier than this."""
    pair_leads: float
    """A pair of faults is named when it is this many times likelier than its best single fault."""


class RankWord(Closed):
    word: Text
    at_least: Share


class PointWording(Closed):
    """How a reading between two test points, or in a conductor, is called and asked, see ``knowledge/points.py``."""

    points: Text
    """The two points; ``{a}`` and ``{b}`` are their names."""
    name: Text
    say: Text
    spoken: Text
    amps_name: Text
    """``{lead}``: the conductor that a clamp is put around."""
    amps_say: Text
    amps_spoken: Text
    amps_tools: tuple[Id, ...]
    amps_error_pct: float
    """Meter, and what motors of one size differ by, one standard deviation, percent of reading."""
    why: Text
    minutes: float
    setup: Id
    tools: tuple[Id, ...]
    source: str


class ReasoningSettings(Closed):
    priors: Priors
    meter: Meter
    physics: Physics
    errors: Errors
    timing: Timing
    facts: dict[Id, FactRule]
    plate_scales: tuple[PlateScale, ...]
    costs: Costs
    deciding: Deciding
    ranks: tuple[RankWord, ...]
    hedged_trust: Share
    """Trust in a reading or finding that the technician was unsure of."""
    points: PointWording
    names: dict[Id, Text]
    """What a technician calls motors and relays."""
    sentences: dict[Id, Text]
    source: str


class ReasoningFile(Closed):
    reasoning: ReasoningSettings
