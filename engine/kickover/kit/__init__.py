"""Going out prepared: what to carry, what to change beforehand, and the service that keeps faults away."""
