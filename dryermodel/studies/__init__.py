"""Many cycles with a purpose: sweeps, sensitivities, spreads, comparisons and repairs."""
