"""Physical constants that more than one subject needs.

Source: CODATA 2018 recommended values (recalled).
"""

from typing import Final

MAGNETIC_CONSTANT_H_PER_M: Final = 1.25663706212e-6
ELECTRIC_CONSTANT_F_PER_M: Final = 8.8541878128e-12
