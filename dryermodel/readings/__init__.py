"""What can be read off a cycle: one vocabulary, and how each reading is got."""
