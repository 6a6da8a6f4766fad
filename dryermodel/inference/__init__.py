"""From what was measured to what is wrong: priors, a bank of simulated machines, likelihood, posterior."""
