"""Going out prepared: what to carry, what to change beforehand, the service that keeps faults away."""
