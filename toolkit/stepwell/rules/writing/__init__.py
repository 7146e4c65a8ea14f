"""What published guidance asks of the wording of a procedure card: one rule per module."""
