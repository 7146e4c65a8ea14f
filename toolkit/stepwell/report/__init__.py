"""From a workspace to verdicts and findings: the check as one function of values."""
