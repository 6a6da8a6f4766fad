"""One offline page for the laundry room, with the engine inside."""
