"""Small open networks that a package ships, run as foreign models through the program's own inference.

Networks: `asia` (Lauritzen and Spiegelhalter 1988), `cancer` and `earthquake` (Korb and Nicholson, Bayesian
Artificial Intelligence), as bundled with pgmpy 1.1.2; reference: that package's variable elimination. Each
joint state of the nodes is a hypothesis, and each node can be looked at. The numbers for `asia` were computed
by enumerating its 256 states; the row with two findings agrees with pyagrum 3.3.1 to six digits.
"""

from __future__ import annotations

import gzip
import importlib.util
import warnings
from functools import cache
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from kickover.core.ids import CheckId, EventId
from kickover.inference.belief import Belief, Evidence
from kickover.inference.compiled_model import EngineState, Model
from kickover.inference.hypotheses import UNLISTED, Hypotheses
from kickover.model.library import Library, Machine
from kickover.model.truth import CompiledTree

if TYPE_CHECKING:
    from pgmpy.models import DiscreteBayesianNetwork

NOW = EngineState(frozenset())
NETWORKS = ("asia", "cancer", "earthquake")
ROWS = {
    (): (0.010400, 0.055000, 0.450000, 0.064828, 0.110290, 0.5),
    (("dysp", "yes"),): (0.018845, 0.102759, 0.833967, 0.120536, 0.162098, 0.633997),
    (("asia", "yes"), ("dysp", "yes")): (0.087751, 0.099525, 0.811402, 0.182300, 0.219539, 0.625920),
    (("dysp", "yes"), ("xray", "yes")): (0.113933, 0.621253, 0.681869, 0.728725, 1.0, 0.785610),
}


@cache
def package() -> tuple[Any, Any]:
    """How the package eliminates variables and reads files; it is large and imported for its tests alone."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the package warns of its own next version
        from pgmpy.inference import VariableElimination
        from pgmpy.readwrite import BIFReader
    return VariableElimination, BIFReader


@cache
def network(name: str) -> DiscreteBayesianNetwork:
    found = importlib.util.find_spec("pgmpy")
    assert found is not None
    assert found.origin is not None
    path = Path(found.origin).parent / "utils" / "example_models" / f"{name}.bif.gz"
    _, reader = package()
    return reader(string=gzip.decompress(path.read_bytes()).decode()).get_model()


def foreign_model(net: DiscreteBayesianNetwork, library: Library, machine: Machine) -> Model:
    """Every joint state as a hypothesis: its members are the nodes that are in their first state."""
    nodes = sorted(net.nodes())
    states = {node: net.get_cpds(node).state_names[node] for node in nodes}
    assert all(len(state) == 2 for state in states.values())
    joint = list(product((0, 1), repeat=len(nodes)))
    prior = np.array([_chance(net, nodes, states, row) for row in joint])
    members = np.array([[place if one == 0 else -1 for place, one in enumerate(row)] for row in joint])
    nothing = np.full((UNLISTED, len(nodes)), -1)
    structure = CompiledTree((), tuple(EventId(node) for node in nodes), (), (), {})
    hypotheses = Hypotheses(
        structure=structure,
        complaints=(),
        houses=frozenset(),
        members=np.vstack([members, nothing]),
        open_links=np.zeros((0, (len(joint) + UNLISTED + 7) // 8), dtype=np.uint8),
        remaining=np.tile(np.arange(len(joint) + UNLISTED)[:, None], (1, 2 ** len(nodes))),
        prior=np.append(prior, np.zeros(UNLISTED)),
        scale=1.0,
        undeveloped=np.zeros(len(nodes), dtype=bool),
    )
    seen = np.array([[1.0, 0.0, 0.5], [0.0, 1.0, 0.5]])
    model = Model(library, machine, hypotheses, {}, {}, {CheckId(node): seen for node in nodes}, {})
    for place, node in enumerate(nodes):
        lines = np.array([row[place] for row in joint] + [0, 2], dtype=np.uint8)
        model._positions[(CheckId(node), NOW.houses)] = lines
    return model


def _chance(
    net: DiscreteBayesianNetwork, nodes: list[str], states: dict[str, list[str]], row: tuple[int, ...]
) -> float:
    taken = {node: states[node][one] for node, one in zip(nodes, row, strict=True)}
    result = 1.0
    for node in nodes:
        table = net.get_cpds(node)
        result *= float(table.get_value(**{variable: taken[variable] for variable in table.variables}))
    return result


def ours(model: Model, answers: dict[str, tuple[float, float]]) -> dict[str, float]:
    belief = Belief(model, model.hypotheses.prior)
    for node, weights in answers.items():
        belief = belief.after(Evidence(CheckId(node), weights, NOW))
    return {str(node): chance for node, chance in belief.marginals().items()}


@pytest.mark.parametrize("name", NETWORKS)
def test_every_posterior_is_that_of_the_package(name: str, shipped: Library) -> None:
    net = network(name)
    model = foreign_model(net, shipped, next(iter(shipped.machines.values())))
    nodes = sorted(net.nodes())
    theirs = package()[0](net)
    for observed in [(), *((node,) for node in nodes), *zip(nodes, nodes[2:], strict=False)]:
        for values in product((0, 1), repeat=len(observed)):
            given = {
                node: net.get_cpds(node).state_names[node][one]
                for node, one in zip(observed, values, strict=True)
            }
            answers = {
                node: (float(one == 0), float(one == 1)) for node, one in zip(observed, values, strict=True)
            }
            found = ours(model, answers)
            for node in nodes:
                if node in given:
                    continue
                first = theirs.query([node], evidence=given, show_progress=False).values[0]
                assert found[node] == pytest.approx(float(first), abs=1e-9)


@pytest.mark.parametrize("evidence", list(ROWS))
def test_the_chest_clinic_comes_out_as_enumerated(
    evidence: tuple[tuple[str, str], ...], shipped: Library
) -> None:
    net = network("asia")
    model = foreign_model(net, shipped, next(iter(shipped.machines.values())))
    answers = {
        node: (1.0, 0.0) if net.get_cpds(node).state_names[node][0] == value else (0.0, 1.0)
        for node, value in evidence
    }
    found = ours(model, answers)
    names = ("tub", "lung", "bronc", "either", "xray", "smoke")
    assert [found[name] for name in names] == pytest.approx(ROWS[evidence], abs=1e-6)


def test_an_unsure_finding_weighs_as_virtual_evidence(shipped: Library) -> None:
    """Trouble breathing, and an x-ray of which 0.8 to 0.1 speaks for yes."""
    model = foreign_model(network("asia"), shipped, next(iter(shipped.machines.values())))
    found = ours(model, {"dysp": (1.0, 0.0), "xray": (0.8, 0.1)})
    expected = (0.069389, 0.378363, 0.753120, 0.443817, 0.607483, 0.714587)
    names = ("tub", "lung", "bronc", "either", "xray", "smoke")
    assert [found[name] for name in names] == pytest.approx(expected, abs=1e-6)
