"""The prediction as one JSON document."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from boardgen.documents import problems
from boardgen.documents.response import SCHEMA, assumed_rows, notes, system_lines, targets_document
from boardgen.model.problem import Problem
from boardgen.rf.prediction import Prediction
from boardgen.rf.response import CREDIBLE_DB
from boardgen.rf.tolerance import Tolerance


def document(prediction: Prediction, found: Iterable[Problem], drawn: Sequence[Tolerance]) -> dict[str, object]:
    """Everything `response` prints, and every curve."""
    found = tuple(found)
    response, spec = prediction.response, prediction.request.spec
    return {
        "schema": SCHEMA,
        "title": spec.title,
        "revision": spec.revision,
        "shortfalls": problems.as_json(problems.shortfalls(found)),
        "warnings": problems.as_json(problems.warnings(found)),
        "targets": targets_document(prediction),
        "feeds": [
            {"strip": p.strip, "ohm": p.ohm, "drop_v": p.drop_v, "parts": list(p.parts)} for p in prediction.feeds
        ],
        "system": [
            {
                "frequency_hz": p.frequency_hz,
                "board_db": p.board_db,
                "coax_db": p.coax_db,
                "external_noise_db": p.external_db,
                "floor_rise_db": p.rise_db,
            }
            for p in prediction.system
        ],
        "system_sentences": system_lines(prediction),
        "islands": [{"net": net, "found": text} for net, text in prediction.islands],
        "frequency_hz": response.frequency_hz.tolist(),
        "loss_bound": [response.loss_bound(at) for at in range(response.frequency_hz.size)],
        "curves": [
            {
                "quantity": c.quantity,
                "selected": c.selected,
                "port": c.port,
                "values": c.values.tolist(),
                "low": c.low.tolist(),
                "high": c.high.tolist(),
                "depends_on_split": c.split_matters,
                "credible_to_db": CREDIBLE_DB.get(c.quantity),
            }
            for c in response.curves
        ],
        "tolerance": [_drawn(one, strays) for one, strays in zip(drawn, (False, True), strict=False)],
        "assumed": [
            dict(zip(("figure", "class", "value_si", "range_si", "because"), row, strict=True))
            for row in assumed_rows(prediction)
        ],
        "notes": list(notes(prediction)),
    }


def _drawn(one: Tolerance, strays: bool) -> dict[str, object]:
    return {
        "boards": one.boards,
        "assumed_strays_drawn": strays,
        "together": one.together,
        "yields": [
            {"target": y.target.replace("_", " "), "share": y.share, "worst_5_50_95": list(y.worst)} for y in one.yields
        ],
        "frequency_hz": one.frequency_hz.tolist(),
        "bands": [
            {"quantity": b.quantity, "low": b.low.tolist(), "middle": b.middle.tolist(), "high": b.high.tolist()}
            for b in one.bands
        ],
    }
