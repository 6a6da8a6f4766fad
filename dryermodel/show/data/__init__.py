"""What programs read: one JSON contract for every command, with the unit in each number's key."""
