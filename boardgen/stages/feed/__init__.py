"""The DC feed of a strip: chokes that carry it to the coax and capacitors that keep it out of the rest."""
