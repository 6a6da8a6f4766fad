"""Pages that open by tapping one file: everything in it, nothing fetched."""
