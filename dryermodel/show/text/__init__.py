"""Pages and tables to read."""
