"""Pages for people: plain blocks go in, one file of HTML comes out that reads on a phone and on paper."""
