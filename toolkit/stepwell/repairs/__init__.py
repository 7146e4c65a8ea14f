"""The smallest change to a procedure that mends what was found, re-checked against everything else."""
