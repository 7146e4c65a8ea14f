"""Approvals and releases. Holds its place; empty until release is written."""
