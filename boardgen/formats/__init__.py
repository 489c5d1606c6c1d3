"""Writers and readers of file formats, and the folder they are written to; nothing here knows of money."""
