"""Which complaints each cause of compression, starting gear, mounts and drive hangs under: common practice.

As `cause_table`, whose families are those of ignition and fuel.
"""

from __future__ import annotations

from faults.cause_table import Family

FAMILIES = (
    Family(
        "mounts, frame and masses that shake",
        "What is slack or cracked shakes and shakes itself loose; the engine itself runs as ever.",
        "vibrates comes-loose",
        "crank-out-of-true balance-unsuitable flywheel-out-of-balance fitting-loose carburettor-unstayed "
        "mount-pulled-to-fit front-mount-slack rear-mount-slack mount-stud-sheared mount-thread-stripped "
        "mount-clamp-misfit mount-shim-flowed mount-rubber-perished mount-bracket-cracked frame-cracked "
        "fork-or-bar-cracked wheel-nuts-slack spokes-slack",
    ),
    Family(
        "what should lock and does not",
        "It is felt only in what comes off; a joint that still holds does not shake.",
        "comes-loose",
        "no-locking compound-spoiled locknut-reused washer-wrong bolts-never-torqued bolt-grade-wrong "
        "paint-under-mount compound-grade-wrong lock-wire-slack stud-turns-with-nut",
    ),
    Family(
        "play in a bearing or the chain drive",
        "Heard and felt, long before it costs power or stops the engine.",
        "vibrates drive-noise",
        "big-end-worn small-end-worn main-bearings-worn chain-slack chain-stiff sprocket-off-centre "
        "wheel-bearing-slack",
    ),
    Family(
        "locked",
        "A locked engine neither starts nor turns; nothing of a running engine can be told of it.",
        "start* hard-to-turn",
        "bearing-seized liquid-in-cylinder flywheel-jammed starter-jammed piston-seized rusted-tight",
    ),
    Family(
        "a drive that grinds",
        "Heard and not felt; it passes the power on until it breaks or comes off.",
        "drive-noise",
        "chain-misaligned chain-worn guard-rubs roller-bearing-dry tyre-crown-worn reduction-dry",
    ),
    Family(
        "a leak at the head",
        "Weak everywhere, more so when hot; it leaks outward, so that it neither smokes nor races.",
        "start* starts-then-dies dies-when-hot will-not-idle no-power bogs runs-rough",
        "head-gasket-leaks head-stud-pulled head-warped plug-loose plug-thread-stripped",
    ),
    Family(
        "a valve that does not close",
        "As a leak, and it spits: gas goes where it should not. Four-strokes alone, so that no false air "
        "races.",
        "start* starts-then-dies dies-when-hot will-not-idle no-power bogs backfires runs-rough",
        "exhaust-valve-tight intake-valve-tight exhaust-valve-burnt intake-valve-leaks valve-timing-wrong",
    ),
    Family(
        "a drive that slips",
        "The engine speeds up and the machine does not; it squeals or skips. No engine complaint hangs on "
        "it.",
        "no-power drive-noise",
        "belt-oily belt-slack pulley-weights-worn sprocket-teeth-worn freewheel-worn",
    ),
    Family(
        "fixings of drive and exhaust",
        "Heard, felt, and lost in the end.",
        "vibrates comes-loose drive-noise",
        "sprocket-bolts-slack tensioner-adrift exhaust-bracket-broken mount-rubber-added roller-pivot-worn",
    ),
    Family(
        "shakes with the wheel or in one band",
        "Felt alone: nothing is loose yet and nothing grinds.",
        "vibrates",
        "part-resonates exhaust-touches wheel-buckled tyre-out-of-round headset-slack",
    ),
    Family(
        "parted from the starter, or broken",
        "Nothing fires at all; it is no state of a running engine.",
        "start*",
        "rod-broken recoil-rope-or-spring-broken starter-motor-dead starter-relay-dead",
    ),
    Family(
        "false air into the crankcase",
        "Lean everywhere, races, weak, hot. It draws air and no oil, so that it does not smoke.",
        "start* starts-then-dies dies-when-hot will-not-idle races no-power bogs backfires overheats "
        "runs-rough",
        "flywheel-side-seal-leaks base-gasket-leaks case-joint-leaks stud-thread-leaks",
    ),
    Family(
        "choked at the end",
        "Breathes badly: weak, hot, smoky. Idle asks for little and stays.",
        "start* starts-then-dies no-power bogs smokes overheats runs-rough",
        "exhaust-port-carboned silencer-blocked arrestor-blocked exhaust-nest",
    ),
    Family(
        "the starter slips",
        "Only the start needs it; pawls that slip lie still in a running engine and make no noise.",
        "start* starter-turns-engine-does-not",
        "clutch-left-latched recoil-pawls-slip kick-gear-slips one-way-clutch-slips",
    ),
    Family(
        "worn past the piston",
        "Weak at all speeds, and in a four-stroke it burns oil. It takes no air in, so that it does not "
        "race.",
        "start* starts-then-dies dies-when-hot will-not-idle no-power bogs smokes runs-rough",
        "rings-worn rings-stuck ring-broken piston-scored",
    ),
    Family(
        "a brake that does not hold",
        "Felt at the lever; it lets the wheel run, so that it costs no power.",
        "brakes-drag",
        "brake-reach-long brake-linings-worn brake-linings-oily brake-cable-stiff",
    ),
    Family(
        "gearing and tyre",
        "The engine is well; only the road speed is not.",
        "no-power",
        "gearing-wrong roller-pressure-low roller-pressed-hard tyre-low",
    ),
    Family(
        "oil where it burns",
        "Smokes; it starts, idles and pulls until the plug is fouled, which is a cause of its own.",
        "smokes",
        "breather-blocked valve-stem-seals-worn",
    ),
    Family(
        "too much oil",
        "It burns and smokes, and the crank beats it to froth, which costs power.",
        "smokes no-power",
        "oil-overfull",
    ),
    Family(
        "hardly any pressure",
        "Staggers on for minutes at best; then it does not start. It does not idle or miss now and then.",
        "start* starts-then-dies no-power",
        "piston-holed valve-stuck-open decompressor-not-closing",
    ),
    Family(
        "the exhaust hangs loose",
        "Puffs, bangs on the overrun, rattles and shakes; the engine pulls as ever.",
        "backfires vibrates comes-loose drive-noise",
        "exhaust-nuts-loose exhaust-stud-stripped",
    ),
    Family(
        "the exhaust puffs",
        "Heard, and it bangs on the overrun; what is tight does not shake.",
        "backfires drive-noise",
        "exhaust-gasket-leaks exhaust-pipe-cracked",
    ),
    Family(
        "breathes badly at speed",
        "Start and idle ask for little; wide open it is missed.",
        "no-power bogs",
        "exhaust-wrong-pipe valve-spring-weak",
    ),
    Family(
        "cooling lost, with a noise",
        "Hot, then weak; too hot an engine runs on at OFF. Cold it is as ever.",
        "dies-when-hot no-power overheats drive-noise will-not-stop",
        "fan-broken oil-level-low",
    ),
    Family(
        "turned too slowly",
        "A matter of the start; below a certain speed a magneto makes no spark, and it kicks.",
        "start* no-spark-seen kicks-back",
        "cranked-too-gently starter-motor-tired",
    ),
    Family(
        "a worn belt or roller",
        "Slips, sounds and is felt at each turn.",
        "no-power vibrates drive-noise",
        "belt-worn roller-worn",
    ),
    Family(
        "the clutch does not let go",
        "Heavy to turn in gear; running it only creeps.",
        "hard-to-turn clutch-slips-or-drags",
        "clutch-too-much-play clutch-plates-stuck",
    ),
    Family(
        "false air, or gear oil",
        "As false air; on the side of the gear case it draws oil and smokes as well.",
        "start* starts-then-dies dies-when-hot will-not-idle races no-power bogs smokes backfires "
        "overheats runs-rough",
        "drive-side-seal-leaks",
    ),
    Family(
        "cooling lost",
        "Hot, then weak; no noise of its own.",
        "dies-when-hot no-power overheats will-not-stop",
        "fins-blocked",
    ),
    Family(
        "used beyond itself",
        "No fault of the engine; alone it is felt as heat, a second one stops it, which is then named.",
        "overheats",
        "worked-too-hard",
    ),
    Family(
        "thick oil in the cold",
        "Drags only in a cold engine; it thins as it runs.",
        "will-not-start-cold will-not-start-after-storage will-not-start-after-work",
        "oil-too-thick",
    ),
    Family(
        "too little play",
        "Binds with heat and turns hard. It seals well, so that cold it starts and pulls.",
        "dies-when-hot hard-to-turn overheats",
        "rebuilt-too-tight",
    ),
    Family(
        "a leak at the head that is loose",
        "As a leak at the head; loose nuts come off.",
        "start* starts-then-dies dies-when-hot will-not-idle no-power bogs comes-loose runs-rough",
        "head-nuts-loose",
    ),
    Family(
        "carbon that glows",
        "Lights the mixture by itself: bangs, kicks, runs on, heats. Start and idle do not ask it.",
        "backfires overheats kicks-back will-not-stop",
        "carbon-in-head",
    ),
    Family(
        "valves that open late",
        "Ticks and breathes badly; where the decompressor works through them it is turned too slowly.",
        "start* no-spark-seen no-power bogs hard-to-turn kicks-back drive-noise",
        "valve-clearance-wide",
    ),
    Family(
        "a valve that does not open",
        "It spits back and does not run.",
        "start* backfires",
        "pushrod-bent",
    ),
    Family(
        "a valve that does not open, heard",
        "As the valve that does not open, with a tick.",
        "start* backfires drive-noise",
        "rocker-loose",
    ),
    Family(
        "the decompressor stays shut",
        "Too hard to turn fast enough; once it runs it is not missed.",
        "start* no-spark-seen hard-to-turn kicks-back",
        "decompressor-not-opening",
    ),
    Family(
        "a chain too tight",
        "Holds the wheel and grinds; worst when pedalled.",
        "no-power hard-to-turn drive-noise",
        "chain-tight",
    ),
    Family(
        "the small sprocket slack",
        "Knocks and comes off; too light to be felt.",
        "comes-loose drive-noise",
        "engine-sprocket-slack",
    ),
    Family(
        "the drive jammed",
        "Stands still, engine and all; nothing else can be asked of it.",
        "hard-to-turn",
        "drive-jammed",
    ),
    Family(
        "the clutch slips",
        "The start by pedals, and the power; held up it makes no noise.",
        "start* no-power starter-turns-engine-does-not clutch-slips-or-drags",
        "clutch-no-free-play",
    ),
    Family(
        "the clutch slips and scrapes",
        "As a clutch that slips, with a scrape.",
        "start* no-power drive-noise starter-turns-engine-does-not clutch-slips-or-drags",
        "clutch-linings-worn",
    ),
    Family(
        "the clutch slips and grabs",
        "As a clutch that slips, and judders as it takes.",
        "start* no-power vibrates starter-turns-engine-does-not clutch-slips-or-drags",
        "clutch-oily",
    ),
    Family(
        "slips once it is hot",
        "Cold it holds; it grabs, squeals and then slips.",
        "will-not-start-hot vibrates drive-noise clutch-slips-or-drags",
        "clutch-glazed",
    ),
    Family(
        "a clutch spring broken",
        "Drags and rattles; the other springs still hold it.",
        "hard-to-turn drive-noise clutch-slips-or-drags",
        "clutch-spring-broken",
    ),
    Family(
        "a flat tyre",
        "Felt and heavy; the engine is well.",
        "no-power vibrates",
        "tyre-punctured",
    ),
    Family(
        "a wheel that does not run free",
        "Heavy to push; felt as a brake that drags.",
        "no-power hard-to-turn brakes-drag",
        "wheel-bearing-tight",
    ),
    Family(
        "a brake that drags",
        "Heavy, warm, and heard.",
        "no-power hard-to-turn drive-noise brakes-drag",
        "brake-drags",
    ),
)
