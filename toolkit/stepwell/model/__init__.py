"""The vocabulary of the files as frozen data: rigs, procedures, rules, units. Reads nothing, decides nothing."""
