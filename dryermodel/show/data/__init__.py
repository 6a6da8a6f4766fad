"""Results as plain data, one contract for every command."""
