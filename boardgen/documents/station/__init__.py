"""What a station is written up as: drawings, tables, its book."""
