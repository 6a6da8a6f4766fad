"""Scenarios side by side: the cases, their figures and the notes that keep them honest."""
