"""boardgen: relay switch boards for low-band receive antennas, from one small specification."""

__version__ = "0.1.0"
