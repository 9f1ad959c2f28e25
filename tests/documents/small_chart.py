"""Invented charts with every kind of step: a clip-on engine of the hill-town courier co-op, no spark."""

from __future__ import annotations

from dataclasses import replace

from kickover.documents.charts.chart import (
    Branch,
    Caution,
    Chart,
    ChartReading,
    LimitRow,
    Node,
    NodeKind,
    UnitChoice,
)

KILOHMS = ChartReading(
    "kΩ", (UnitChoice("kΩ", 1.0), UnitChoice("Ω", 0.001), UnitChoice("MΩ", 1000.0)), 0.0, 500.0
)


def after(proof: str) -> tuple[Branch, ...]:
    return (Branch("", 1.0, proof),)


def proved(chance: float, otherwise: str) -> tuple[Branch, ...]:
    return (Branch("Yes, it runs", chance, None), Branch("No", round(1 - chance, 4), otherwise))


def spark_chart() -> Chart:
    proof = Node(
        "",
        NodeKind.PROOF,
        "Does it start now, and keep running for a minute?",
        2,
        lines=("Put back everything that was taken off.", "Start it as usual, out of doors."),
        cautions=("moving-parts", "exhaust-gas"),
    )
    nodes = (
        Node(
            "switch",
            NodeKind.CHECK,
            "Is the stop switch in RUN, and does it click freely?",
            0.5,
            (Branch("Yes", 0.72, "plug-out"), Branch("No", 0.28, "switch-run")),
            ("Look at the switch on the bars.", "Move it to and fro three times."),
        ),
        Node(
            "switch-run",
            NodeKind.REPAIR,
            "Put the stop switch to RUN and work it free",
            1,
            after("proof-1"),
            ("Work it to and fro twenty times.", "Blow dust out of it from the side."),
            ("Screwdriver",),
        ),
        replace(proof, id="proof-1", branches=proved(0.9, "plug-out")),
        Node(
            "plug-out",
            NodeKind.SETUP,
            "Take the plug out",
            3,
            after("spark"),
            ("Pull the cap off by the cap, not by the lead.", "Unscrew the plug with the plug socket."),
            ("Plug socket",),
            ("hot-parts",),
        ),
        Node(
            "spark",
            NodeKind.CHECK,
            "Does a spark jump at the spare plug while you crank?",
            4,
            (
                Branch("A fat, snapping, bluish spark every time", 0.35, "give-up", stop=""),
                Branch("Thin, orange, or only now and then", 0.2, "cap"),
                Branch("No spark at all", 0.45, "cap"),
            ),
            (
                "Fit the spare plug in the cap.",
                "Clamp its body to bare engine metal, well away from the plug hole.",
                "Crank briskly and watch the gap in the shade.",
            ),
            ("Spare plug", "Clip lead"),
            ("high-voltage", "fuel-vapour-fire"),
            sketch=" cap >--[ plug ]--+\n                  |\n   engine metal  =+=",
        ),
        Node(
            "cap",
            NodeKind.CHECK,
            "What is the resistance of the plug cap?",
            3,
            (
                Branch("As it should be", 0.55, "wire", 3.5, 6.5),
                Branch("Too high, or no reading", 0.4, "swap-cap", 6.5),
                Branch("Too low", 0.05, "swap-cap", None, 3.5),
            ),
            ("Unscrew the cap from the lead.", "Touch one probe to each end."),
            ("Multimeter",),
            reading=KILOHMS,
            note="cap off the lead",
        ),
        Node(
            "swap-cap",
            NodeKind.REPAIR,
            "Fit a known good plug cap",
            5,
            after("proof-2"),
            ("Cut 5 mm (0.2 in) off the end of the lead.", "Screw the cap on until it stops."),
            ("Side cutters",),
            ("high-voltage",),
        ),
        replace(proof, id="proof-2", branches=proved(0.85, "wire")),
        Node(
            "wire",
            NodeKind.CHECK,
            "Does the spark come back with the stop wire unplugged?",
            4,
            (
                Branch("It comes back", 0.6, "mend-wire"),
                Branch(
                    "Still none", 0.4, "give-up", stop="Do not ride: a coil that fails hot strands you again."
                ),
            ),
            ("Find the stop wire where it leaves the engine.", "Unplug it and look for the spark again."),
            ("Clip lead",),
            ("high-voltage", "fuel-vapour-fire"),
        ),
        Node(
            "mend-wire",
            NodeKind.REPAIR,
            "Wrap the stop wire where it is rubbed through, and tie it clear of all else",
            12,
            after("proof-3"),
            ("Find the bare place.", "Wrap it with tape.", "Tie it where nothing rubs it."),
            ("Insulating tape", "Cable ties"),
        ),
        replace(proof, id="proof-3", branches=proved(0.8, "give-up")),
        Node(
            "give-up",
            NodeKind.GIVE_UP,
            "Push it home, or call a mechanic",
            0,
            lines=("Say what you have found: it saves the mechanic time.",),
        ),
    )
    return Chart(
        "There is no spark",
        "Two-stroke clip-on cargo bike of the co-op",
        "Invented library, version 1.0",
        "switch",
        nodes,
        (
            Caution(
                "high-voltage",
                "High voltage",
                "The lead carries thousands of volts. Hold neither plug nor lead "
                "while it cranks. Stay away if you have a pacemaker.",
            ),
            Caution(
                "fuel-vapour-fire",
                "Fuel vapour",
                "Petrol vapour catches fire from one spark. Wipe up spills, "
                "move cans and rags 3 m (10 ft) away, wait 5 minutes, extinguisher in reach.",
            ),
            Caution("hot-parts", "Hot parts", "Exhaust and cylinder burn skin for half an hour after a run."),
            Caution(
                "moving-parts", "Moving parts", "Keep fingers, sleeves and hair away from chain and flywheel."
            ),
            Caution("exhaust-gas", "Exhaust gas", "Run it out of doors only; an open door is not enough."),
        ),
        (LimitRow("Resistance of the plug cap", "3.5 to 6.5 kΩ", "common practice, no source"),),
        ("Made for practice; all data are invented.",),
    )


def hostile_chart() -> Chart:
    """The same chart with words that try to break out of whatever holds them, or to overflow it."""
    nasty = '"</script><img src=x onerror=alert(1)> \\N &amp; жук Ω ≥ ' + "Unbreakable" * 12 + " \x07\u202e"
    base = spark_chart()
    nodes = tuple(
        replace(
            node,
            title=f"{node.title} {nasty}",
            lines=(*node.lines, nasty),
            tools=(*node.tools, nasty),
            branches=tuple(
                replace(branch, label=f"{branch.label} {nasty}" if branch.label else "")
                for branch in node.branches
            ),
        )
        for node in base.nodes
    )
    cautions = tuple(replace(caution, title=nasty[:60], words=nasty) for caution in base.cautions)
    return replace(
        base,
        complaint=nasty,
        machine=nasty,
        nodes=nodes,
        cautions=cautions,
        notes=(nasty,),
        limits=(LimitRow(nasty, nasty, nasty),),
    )


def long_chart(checks: int) -> Chart:
    """A chain of checks, each with a repair, a proof and two further ways on."""
    nodes: list[Node] = []
    for one in range(checks):
        following = f"check-{one + 1}" if one + 1 < checks else "give-up"
        far = f"check-{min(one + 5, checks - 1)}" if one + 5 < checks else "give-up"
        nodes += [
            Node(
                f"check-{one}",
                NodeKind.CHECK,
                f"Is part {one} of the invented engine as it should be?",
                2,
                (
                    Branch("Yes", 0.5, following),
                    Branch("No", 0.3, f"repair-{one}"),
                    Branch("Cannot tell", 0.2, far),
                ),
                ("Look at it closely.", "Feel it with clean fingers."),
                ("Lamp",),
                ("hot-parts",),
            ),
            Node(
                f"repair-{one}",
                NodeKind.REPAIR,
                f"Put part {one} right",
                6,
                after(f"proof-{one}"),
                ("Take it off.", "Clean it.", "Put it back."),
                ("Spanner set",),
                ("moving-parts",),
            ),
            Node(
                f"proof-{one}",
                NodeKind.PROOF,
                "Does it start now?",
                2,
                proved(0.7, following),
                cautions=("exhaust-gas",),
            ),
        ]
    nodes.append(Node("give-up", NodeKind.GIVE_UP, "Push it home, or call a mechanic", 0))
    return replace(spark_chart(), start="check-0", nodes=tuple(nodes), complaint="It will not start")
