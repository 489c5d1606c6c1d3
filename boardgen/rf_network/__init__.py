"""Networks of radio-frequency elements: what an element is, its admittance, and blocks of them reduced to their ports.

It knows nothing of boards or parts. numpy is loaded only with `device_models`, `block` and `terminated_block`.
"""
