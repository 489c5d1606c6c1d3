"""The selector of a strip: one or two relays that join both conductors to the bus or keep them off it."""
