"""Reads from files what a board, a station or an order is made from, and what a manifest says of those files."""
