"""What a library of faults says, as frozen values, and the one fault tree with its evaluator."""
