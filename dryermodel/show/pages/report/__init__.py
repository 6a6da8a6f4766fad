"""A visit as a page to keep: what was found, what was done, and what it changed."""
