"""The specification as a form and its board as it takes shape, in the browser: a local server above the public face."""
