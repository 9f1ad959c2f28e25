"""Several repairs before one proof: where the proof is a long ride or a cold start, it may wait.

What is lost is to know which of them helped, and a repair that was not needed (Ottosen and Jensen 2010).
"""

from __future__ import annotations

from collections.abc import Sequence

from kickover.core.ids import RepairId
from kickover.inference.belief import Belief
from kickover.planning.job_state import Job, proof_needs, step_cost
from kickover.planning.plan import Plan, Step, StepKind

MOST_UNPROVEN = 3
"""So many repairs may wait for one proof: of more it would take too long to find out which one helped."""


def minutes_saved(belief: Belief, job: Job, made: Sequence[RepairId], step: Step) -> float:
    """What it saves on average to make the repair `step` before the proof of those in `made`.

    Where they failed, a proof is spared; where they worked, the repair was made for nothing. `belief` is that
    before the repairs, `job` the state after them.
    """
    model = belief.model
    complaint = model.library.complaints[model.hypotheses.complaints[0]]
    proof = step_cost(model.library, job, proof_needs(model.library, job, complaint))
    if proof is None:
        return 0.0
    failed = 1.0
    for repair in made:
        belief = belief.after_repair(repair)
        failed *= belief.evidence_probability
    return failed * proof.minutes - (1.0 - failed) * step.step_cost.minutes


def pays_before_proof(belief: Belief, job: Job, made: Sequence[RepairId], supposed: Plan) -> Step | None:
    """The repair that comes next if those in `made` failed, where making it before their proof saves minutes.

    `supposed` is the plan for that case from `job`, the state before the proof. Repairs that are meant as a
    test are proven by themselves.
    """
    repairs = belief.model.repairs
    step = supposed.next
    if len(made) not in range(1, MOST_UNPROVEN) or step.kind is not StepKind.REPAIR:
        return None
    if any(repairs[one].test for one in (*made, RepairId(step.id))):
        return None
    return step if minutes_saved(belief, job, made, step) > 0.0 else None
