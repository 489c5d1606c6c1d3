"""The built board, measured: sweeps of a network analyser held against the prediction of the very state."""
