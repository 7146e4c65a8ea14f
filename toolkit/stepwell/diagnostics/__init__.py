"""Findings, spans, severities and traces: frozen data that every layer may return."""
