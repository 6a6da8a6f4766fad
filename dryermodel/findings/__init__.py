"""Every judgement of numbers: findings, cautions, what they rest on, what sets a fault apart."""
