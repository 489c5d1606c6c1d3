"""What is said and written of an order: the summary, the tables, the request for quotation."""
