"""The colours of every drawing and plot: ink on paper, accents sparingly and never alone to carry a meaning."""

INK, SOFT, HAIR, PAPER, PANEL = "#1D2A33", "#5A6872", "#C9CFCB", "#FBFAF7", "#F1EFE8"
BLUE, OCHRE = "#2B5C8A", "#A8701C"
