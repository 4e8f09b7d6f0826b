"""What a person reads: the plan as text."""
