"""The hybrid automaton: smooth equations between switchings that are located, never stepped over."""
