"""Running the engine: one cycle, many cycles, compiled."""
