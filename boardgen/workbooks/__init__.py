"""The workbooks that a buyer is handed: written, and read when they come back."""
