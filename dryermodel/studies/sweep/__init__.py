"""Many cycles of one scenario over ranges of its values."""
