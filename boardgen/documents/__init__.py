"""What people and programs read of a design: values, summaries, comparisons, as tables and as JSON."""
