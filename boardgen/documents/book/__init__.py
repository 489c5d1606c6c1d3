"""The build book: one page that takes a person from the files to a working box in the field. One module a section."""
