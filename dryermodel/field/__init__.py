"""What was measured and seen on a visit, with each instrument's accuracy."""
