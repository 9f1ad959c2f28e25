"""From a library and answers to a posterior over hypotheses. Pure: no input, no output, no clock."""
