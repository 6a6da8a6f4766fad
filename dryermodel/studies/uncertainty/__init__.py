"""What is not known, how far it spreads results, and which of it matters."""
