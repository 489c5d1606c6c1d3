"""What to order, from whom, how many, and what it costs. Pure: prices come in as text, a bill goes out."""
