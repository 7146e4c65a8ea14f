"""One module per verb: what a person can do to the circuit."""
