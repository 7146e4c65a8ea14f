"""What a change means: typed edits between two versions of a unit, weakenings, verdicts, slips, times, cards."""
