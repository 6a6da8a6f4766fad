"""The engine proper: parameters and state in, rates, switchings and sums out."""
