"""A sound value for every key of a specification that differs from the template's."""

from boardgen.spec.faults import spec_shape, tables

SPECIAL = {
    ("title",): "Testing",
    ("revision",): "B",
    ("band", "region"): 1,
    ("band", "lowest"): "1.9 MHz",
    ("band", "highest"): "7.2 MHz",
    ("band", "impedance"): "50 ohm",
    ("output", "feed"): "12 V 50 mA",
}


def _value(table, key):
    field = tables()[table].model_fields[key]
    kind = str(field.annotation)
    if "Literal" in kind:
        return kind.split("Literal[")[1].split("]")[0].split(", ")[-1].strip("'\"")
    if "bool" in kind:
        return not field.default
    if "int" in kind and "float" not in kind:
        return 2
    return "7 x"


def _changes():
    """Of lists that the template has none of, there is no row to change."""
    lists = spec_shape().lists
    for table, model in tables().items():
        if table in lists and table != "antenna":
            continue
        for key, field in model.model_fields.items():
            if isinstance(field.annotation, type) and hasattr(field.annotation, "model_fields"):
                continue
            if not table and key in lists:
                continue
            path = ("antenna", 1, key) if table == "antenna" else (*filter(None, table.split(".")), key)
            yield path, SPECIAL.get(path, _value(table, key))


CHANGES = tuple(_changes())
