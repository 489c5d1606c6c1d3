"""The predicted response as arrays with units in their names, and as S parameters."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from boardgen.model.problem import InputError, Place, Problem
from boardgen.rf.prediction import FIRST, Prediction
from boardgen.rf.quantities import QUANTITIES

if TYPE_CHECKING:
    import pandas

Array = npt.NDArray[Any]
Curves = dict[tuple[str, str], Array]


class SParameters(Struct, frozen=True):
    """The board with one antenna selected.

    Parameters
    ----------
    frequency_hz : (points,) float array, hertz.
    s : (points, ports, ports) complex array; entry (i, j) is the wave out of port i for one into port j.
    ports : what each port is: the strip, and "differential" (centre against braid) or "common" (braid against 0V).
    impedance_ohm : to which every port is referred.
    selected : the label of the antenna that is selected, None for none.

    """

    frequency_hz: Array
    s: Array
    ports: tuple[str, ...]
    impedance_ohm: float
    selected: str | None

    def __repr__(self) -> str:
        return f"<SParameters {len(self.ports)} ports, {self.frequency_hz.size} points, {self.selected} selected>"


class Response(Struct, frozen=True):
    """Every quantity over the band and beyond.

    Each quantity is a mapping from (selected antenna, port) to a float array of shape (points,).

    Parameters
    ----------
    frequency_hz : (points,) float array, hertz, that all curves share.
    insertion_loss_db : from the selected antenna to the output, both matched.
    return_loss_db : at a port of the selected path, the other end matched.
    isolation_db : from an idle antenna to the output, both differential.
    idle_common_mode_db : from the common mode on an idle coax to the output.
    common_mode_impedance_ohm : from the braid of a coax to 0V, magnitude.
    mode_conversion_db : from the common mode on the selected coax to the output.

    """

    prediction: Prediction
    frequency_hz: Array
    insertion_loss_db: Curves
    return_loss_db: Curves
    isolation_db: Curves
    idle_common_mode_db: Curves
    common_mode_impedance_ohm: Curves
    mode_conversion_db: Curves

    def __repr__(self) -> str:
        first, last = self.frequency_hz[0] / 1e6, self.frequency_hz[-1] / 1e6
        return f"<Response {self.frequency_hz.size} points from {first:.4g} to {last:.4g} MHz>"

    def s_parameters(self, selected: str | None = FIRST) -> SParameters:
        """S of the board with that antenna selected: by default the first, None for none.

        Raises InputError for a label that no fitted antenna has.
        """
        self._check(selected)
        points, matrix, ports = self.prediction.s_matrix(selected)
        antenna = self.prediction.antenna(selected)
        return SParameters(points, matrix, ports, self.prediction.request.spec.band.impedance, antenna)

    def to_skrf(self, selected: str | None = FIRST) -> Any:
        """The same as a `skrf.Network`, where scikit-rf is installed. Raises InputError where it is not."""
        found = self.s_parameters(selected)
        try:
            import skrf
        except ImportError:
            problem = Problem(
                "U011 missing library",
                "error",
                Place(key="to_skrf"),
                "scikit-rf is not installed",
                "",
                "Install it with: pip install scikit-rf",
            )
            raise InputError([problem]) from None
        name = f"{self.prediction.request.spec.title}, {found.selected or 'none'} selected"
        network = skrf.Network(f=found.frequency_hz, f_unit="Hz", s=found.s, z0=found.impedance_ohm, name=name)
        network.port_names = list(found.ports)
        return network

    def table(self) -> pandas.DataFrame:
        """One row a point of each curve: frequency_hz, quantity, unit, selected, port, value.

        `low` and `high` span what the unknown split of the capacitance between windings may make of the value.
        """
        # a quarter of a second to load, and only those who ask for a table wait for it
        import pandas

        response = self.prediction.response
        frames = [
            pandas.DataFrame(
                {
                    "frequency_hz": response.frequency_hz,
                    "quantity": curve.quantity,
                    "unit": QUANTITIES[curve.quantity].unit,
                    "selected": curve.selected,
                    "port": curve.port,
                    "value": curve.values,
                    "low": curve.low,
                    "high": curve.high,
                }
            )
            for curve in response.curves
        ]
        return pandas.concat(frames, ignore_index=True)

    def _check(self, selected: str | None) -> None:
        antennas = self.prediction.network.antennas
        if selected not in (None, FIRST, *antennas):
            found, allowed = f'"{selected}" is no antenna that is fitted', f"one of {', '.join(antennas)}, or None"
            raise InputError([Problem("U001 wrong use", "error", Place(key="selected"), found, allowed)])


def response_of(prediction: Prediction) -> Response:
    """The curves of a prediction by their quantity."""
    curves: dict[str, Curves] = {name: {} for name in QUANTITIES}
    for curve in prediction.response.curves:
        curves[curve.quantity][curve.selected, curve.port] = curve.values
    return Response(
        prediction,
        np.asarray(prediction.response.frequency_hz),
        curves["insertion loss"],
        curves["return loss"],
        curves["isolation"],
        curves["idle common mode"],
        curves["common-mode impedance"],
        curves["mode conversion"],
    )
