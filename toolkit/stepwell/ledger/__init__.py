"""Approvals, releases, withdrawals and recalls: a chain of small files that shows when it was altered."""
