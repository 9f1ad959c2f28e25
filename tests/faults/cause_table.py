"""Which complaints each cause of ignition and fuel hangs under, and why under no other: common practice.

One family for all causes that show alike. `start*` stands for the five complaints that it will not start. A
complaint that is not named is one that the family does not bring about by itself, for the reason given.
"""

from __future__ import annotations

from dataclasses import dataclass

STARTING = (
    "will-not-start",
    "will-not-start-cold",
    "will-not-start-hot",
    "will-not-start-after-storage",
    "will-not-start-after-work",
)

KNOWN = frozenset(
    {
        *STARTING,
        "no-spark-seen",
        "starts-then-dies",
        "dies-when-hot",
        "will-not-idle",
        "races",
        "no-power",
        "bogs",
        "smokes",
        "backfires",
        "hard-to-turn",
        "overheats",
        "kicks-back",
        "vibrates",
        "comes-loose",
        "leaks-fuel",
        "drive-noise",
        "runs-rough",
        "will-not-stop",
        "charging-or-lamps-dead",
        "starter-turns-engine-does-not",
        "clutch-slips-or-drags",
        "brakes-drag",
    }
)
"""The complaints that were walked through when the table was written."""


@dataclass(frozen=True)
class Family:
    """Causes that show alike: what they have in common, why only there, and where."""

    what: str
    why: str
    under: str
    causes: str

    @property
    def complaints(self) -> frozenset[str]:
        """The complaints, `start*` written out."""
        named = self.under.split()
        return frozenset(one for name in named for one in (STARTING if name == "start*" else (name,)))


FAMILIES = (
    Family(
        "dead or held off for good: no spark at all",
        "An engine that runs has a spark; these give none, running or not.",
        "start* no-spark-seen",
        "condenser-shorted source-coil-open charge-coil-open trigger-coil-open ignition-unit-dead "
        "coil-block-dead coil-primary-open coil-secondary-open low-power-lead-earthed plug-fouled-wet "
        "plug-gap-closed points-wire-shorted kill-switch-off key-switch-off stand-left-down",
    ),
    Family(
        "a contact that breaks off for moments",
        "At a start it is missing or not; in a running engine it drops beats, mostly when shaken or "
        "wet. It mistimes nothing, so that it neither kicks back nor overheats.",
        "start* no-spark-seen starts-then-dies dies-when-hot will-not-idle no-power bogs smokes "
        "backfires vibrates runs-rough",
        "engine-earth-poor ignition-connector-corroded ignition-wire-broken-inside water-in-ignition "
        "plug-cap-open lead-loose-in-cap lead-broken plug-cap-not-home kill-switch-shorted "
        "kill-wire-chafed ignition-lock-worn stand-switch-faulty oil-low-cut-out oil-switch-faulty "
        "stop-switch-open",
    ),
    Family(
        "too lean with load",
        "Leaves idle and start to the other circuit unless both fail; lean burns hot and pops. Lean "
        "does not smoke or race.",
        "start* starts-then-dies dies-when-hot will-not-idle no-power bogs backfires overheats runs-rough",
        "air-filter-missing metering-diaphragm-stiff metering-lever-low main-screw-lean "
        "float-level-low main-jet-blocked carburettor-gummed jets-lean-for-engine slide-needle-low "
        "carburettor-touches-frame",
    ),
    Family(
        "the bowl runs dry after minutes",
        "A thin flow fills a bowl while it stands: it starts, runs, fades under load. It idles on a trickle.",
        "start* starts-then-dies dies-when-hot no-power bogs runs-rough",
        "tank-strainer-clogged fuel-filter-clogged filter-wrong-kind hose-too-narrow fuel-hose-kinked "
        "fuel-hose-airlocked tank-vent-blocked breather-shut hose-swollen-inside filter-backwards",
    ),
    Family(
        "lamps alone",
        "Nothing of the ignition hangs on it.",
        "charging-or-lamps-dead",
        "regulator-overcharges bulb-burnt lamp-earth-poor lamp-switch-worn lamp-wire-broken "
        "lighting-coil-dead own-lamp-flat own-lamp-broken",
    ),
    Family(
        "the bowl runs over",
        "Floods, runs rich, drips. Rich runs cool and does not race.",
        "start* starts-then-dies will-not-idle no-power bogs smokes backfires leaks-fuel runs-rough",
        "metering-lever-high inlet-needle-leaks pump-membrane-leaks float-needle-leaks float-holed "
        "float-level-high vacuum-tap-leaks",
    ),
    Family(
        "a pump or tap that gives too little",
        "As a thin flow, from the first minute on; an idling engine asks for little.",
        "start* starts-then-dies no-power bogs runs-rough",
        "pump-diaphragm-worn inlet-screen-blocked pulse-line-leaks tap-blocked fuel-pump-worn "
        "vacuum-tap-dead",
    ),
    Family(
        "nothing comes at all, or the start itself was wrong",
        "Runs out or never starts; while it still runs it runs well.",
        "start* starts-then-dies",
        "primer-not-used tank-empty tap-shut float-needle-stuck-shut choke-not-used choke-stuck-open",
    ),
    Family(
        "only while it is hot",
        "Cold it is sound; hot it stops, and starts again when cool.",
        "will-not-start-hot dies-when-hot",
        "fuel-line-near-heat carburettor-insulator-missing condenser-weak-hot unit-breaks-down-hot "
        "coil-breaks-down-hot flywheel-coil-opens-hot",
    ),
    Family(
        "the throttle stays open",
        "It races at once; it starts and pulls as ever.",
        "races",
        "throttle-spring-weak cable-adapter-loose throttle-slide-sticks throttle-cable-frayed "
        "throttle-cable-tight idle-speed-high",
    ),
    Family(
        "a thin spark",
        "A thin spark fails under pressure: at starts and with load. In the open it is still seen, so "
        "that it is not taken for none.",
        "start* will-not-idle no-power bogs smokes backfires vibrates runs-rough",
        "coil-leaks-inside plug-cap-tracking lead-leaking source-coil-leaks low-power-lead-loaded "
        "plug-gap-wide",
    ),
    Family(
        "false air behind the carburettor",
        "Lean everywhere, and the idle hangs high or is lost.",
        "start* starts-then-dies dies-when-hot will-not-idle races no-power bogs backfires overheats "
        "runs-rough",
        "intake-gasket-leaks intake-stub-cracked flange-warped pump-vacuum-hose-off intake-stub-ill-fitting",
    ),
    Family(
        "the spark comes at the wrong moment",
        "A spark is there: it kicks, bangs, is weak and hot. Out far enough it does not start.",
        "start* will-not-idle no-power bogs backfires overheats kicks-back vibrates runs-rough",
        "ignition-unit-mistimed points-gap-wide flywheel-key-sheared timing-plate-moved "
        "rotor-wrong-way-round",
    ),
    Family(
        "too little oil",
        "It starts and runs well until it is hot.",
        "dies-when-hot no-power overheats",
        "premix-lean-in-oil premix-no-oil oil-tank-empty oil-pump-fails",
    ),
    Family(
        "a thin spark or none",
        "As a thin spark; at cranking speed it may be missing altogether.",
        "start* no-spark-seen will-not-idle no-power bogs smokes backfires vibrates runs-rough",
        "condenser-open magnet-gap-wide magnets-lost points-dirty",
    ),
    Family(
        "the stop circuit is open",
        "Then nothing but the stop fails.",
        "will-not-stop",
        "stop-wire-parted stop-switch-does-not-close stop-switch-earth-poor stop-switch-bridged",
    ),
    Family(
        "draws too rich",
        "Rich smokes, stumbles and fouls. It does not run hot and does not race.",
        "start* starts-then-dies will-not-idle no-power bogs smokes backfires runs-rough",
        "air-filter-blocked jets-rich-for-height needle-jet-worn",
    ),
    Family(
        "drips outside",
        "What drips outside is missing nowhere else.",
        "leaks-fuel",
        "tap-leaks tank-leaks bowl-gasket-leaks",
    ),
    Family(
        "the choke stays on",
        "As too rich, and worse when hot.",
        "start* starts-then-dies dies-when-hot will-not-idle no-power bogs smokes backfires runs-rough",
        "choke-left-on choke-stuck-closed automatic-choke-dead",
    ),
    Family(
        "the plug leaks or is fouled",
        "No spark while fouled; while it runs it drops beats.",
        "start* no-spark-seen starts-then-dies will-not-idle no-power bogs smokes backfires vibrates "
        "runs-rough",
        "plug-fouled-oil plug-fouled-carbon plug-insulator-cracked",
    ),
    Family(
        "the intake does not close",
        "The charge is blown back: weak everywhere, weakest at idle and start.",
        "start* starts-then-dies will-not-idle no-power bogs backfires runs-rough",
        "reed-broken reed-not-sealing",
    ),
    Family(
        "drips, or draws air where a pump sucks",
        "A leak, and a thin flow.",
        "start* starts-then-dies dies-when-hot no-power bogs leaks-fuel runs-rough",
        "primer-bulb-cracked fuel-hose-cracked",
    ),
    Family(
        "too much oil",
        "Smokes and wets the plug; it does not overheat by itself.",
        "start* will-not-idle no-power smokes runs-rough",
        "premix-too-oily oil-pump-overdelivers",
    ),
    Family(
        "the vacuum slide stays down",
        "Start and idle do not need the slide.",
        "no-power bogs",
        "slide-diaphragm-torn vacuum-slide-sticks",
    ),
    Family(
        "the throttle opens too little",
        "Only full throttle is missing.",
        "no-power",
        "throttle-housing-slips throttle-cable-slack",
    ),
    Family(
        "no feed to a battery ignition, or to lamps",
        "Once it runs, it charges; a blown fuse stops it for good.",
        "start* no-spark-seen charging-or-lamps-dead",
        "battery-worn-out ignition-fuse-blown",
    ),
    Family(
        "false air, and shaking",
        "As false air; what is loose shakes and falls off.",
        "start* starts-then-dies dies-when-hot will-not-idle races no-power bogs backfires overheats "
        "vibrates comes-loose runs-rough",
        "carburettor-loose",
    ),
    Family(
        "ice in a running engine",
        "It needs minutes of running in damp cold; it melts as it stands.",
        "starts-then-dies dies-when-hot will-not-idle no-power bogs runs-rough",
        "carburettor-ices",
    ),
    Family(
        "the idle circuit",
        "Starts on choke only, will not idle, pops; wide open it pulls.",
        "start* starts-then-dies will-not-idle bogs backfires",
        "idle-passages-blocked",
    ),
    Family(
        "fuel that does not burn well",
        "Worst at a cold start; it does not change the idle speed or the smoke.",
        "start* starts-then-dies will-not-idle no-power runs-rough",
        "fuel-stale",
    ),
    Family(
        "water in the jets",
        "Stops, stumbles and steams by turns.",
        "start* starts-then-dies will-not-idle no-power smokes runs-rough",
        "water-in-fuel",
    ),
    Family(
        "a fuel of another kind",
        "Hard to start, weak, smoky and hot.",
        "start* starts-then-dies will-not-idle no-power smokes overheats runs-rough",
        "wrong-fuel",
    ),
    Family(
        "the governor lags",
        "Hunts and lacks power; it starts.",
        "races no-power bogs",
        "governor-linkage-sticks",
    ),
    Family(
        "the governor has lost its spring",
        "Races, or is held shut.",
        "races no-power",
        "governor-spring-off",
    ),
    Family(
        "too many tries",
        "A state of the start, gone once it runs.",
        "start* backfires",
        "engine-flooded",
    ),
    Family(
        "the throttle stays shut",
        "Hard to start and no power; it idles.",
        "start* no-power",
        "throttle-cable-broken",
    ),
    Family(
        "the slide hangs open",
        "Too lean to start, or races.",
        "start* races",
        "slide-fitted-wrong",
    ),
    Family(
        "the idle stop",
        "Dies when let go; nothing else.",
        "starts-then-dies will-not-idle",
        "idle-speed-low",
    ),
    Family(
        "the idle mixture",
        "Idle, start and the first opening; not full throttle.",
        "start* starts-then-dies will-not-idle races bogs",
        "mixture-screw-off",
    ),
    Family(
        "no feed, or hardly any",
        "The start above all; a running engine feeds itself, rarely not. Slow cranking kicks back.",
        "start* no-spark-seen starts-then-dies will-not-idle no-power bogs smokes backfires "
        "kicks-back vibrates runs-rough charging-or-lamps-dead",
        "battery-flat",
    ),
    Family(
        "the battery is eaten up while it rides",
        "As a low feed after a while, then none.",
        "start* no-spark-seen starts-then-dies will-not-idle no-power bogs smokes backfires vibrates "
        "runs-rough charging-or-lamps-dead",
        "charging-dead",
    ),
    Family(
        "the feed breaks off",
        "As a contact that breaks off, and as a low feed.",
        "start* no-spark-seen starts-then-dies dies-when-hot will-not-idle no-power bogs smokes "
        "backfires kicks-back vibrates runs-rough charging-or-lamps-dead",
        "battery-terminal-loose",
    ),
    Family(
        "the coil rocks",
        "Breaks off while shaken; it stands still at a start.",
        "starts-then-dies dies-when-hot will-not-idle no-power bogs smokes backfires vibrates runs-rough",
        "ignition-coil-loose",
    ),
    Family(
        "the starter is not let go",
        "Only the electric starter waits for it; what runs, runs.",
        "start*",
        "lever-switch-faulty",
    ),
    Family(
        "a plug that never burns itself clean",
        "Fouls before it is warm; a hot engine starts with it.",
        "will-not-start-cold will-not-start-after-storage will-not-start-after-work starts-then-dies "
        "will-not-idle no-power bogs smokes backfires vibrates runs-rough",
        "plug-too-cold",
    ),
    Family(
        "a plug that glows",
        "Only once it is hot; then it lights the mixture by itself, even at OFF.",
        "dies-when-hot overheats will-not-stop",
        "plug-too-hot",
    ),
    Family(
        "late and thin spark",
        "As a thin spark and as a late one.",
        "start* no-spark-seen will-not-idle no-power bogs smokes backfires overheats kicks-back "
        "vibrates runs-rough",
        "points-closed-up",
    ),
    Family(
        "the points float at speed",
        "At cranking speed they close well.",
        "will-not-idle no-power bogs smokes backfires vibrates runs-rough",
        "points-spring-weak",
    ),
    Family(
        "wires joined the wrong way",
        "Held off, or without a stop: by which wire sits on which.",
        "start* no-spark-seen will-not-stop",
        "kill-lead-wrongly-joined",
    ),
    Family(
        "the flywheel rocks",
        "Mistimes, and hammers: heard and felt.",
        "start* will-not-idle no-power bogs backfires overheats kicks-back vibrates comes-loose "
        "drive-noise runs-rough",
        "flywheel-nut-loose",
    ),
)
