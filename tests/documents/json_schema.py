"""Where a value is not as a JSON Schema says, for the words of the language that our schemas use."""

TYPES = {
    "object": dict, "array": list, "string": str, "integer": int, "number": (int, float), "boolean": bool,
    "null": type(None),
}  # fmt: skip
KNOWN = {
    "$schema", "$ref", "$defs", "title", "description", "type", "properties", "required", "additionalProperties",
    "items", "anyOf", "enum", "minimum", "maximum", "default",
}  # fmt: skip


def broken(value, schema, root=None, at="") -> list[str]:
    """What is wrong, each with where it is."""
    root = root or schema
    assert set(schema) <= KNOWN, set(schema) - KNOWN
    if "$ref" in schema:
        return broken(value, root["$defs"][schema["$ref"].rpartition("/")[2]], root, at)
    if "anyOf" in schema:
        return min((broken(value, one, root, at) for one in schema["anyOf"]), key=len)
    if "enum" in schema:
        return [] if value in schema["enum"] else [f"{at}: {value!r}"]
    kind = TYPES[schema["type"]]
    if not isinstance(value, kind) or (isinstance(value, bool) and kind is not bool):
        return [f"{at}: {value!r} is no {schema['type']}"]
    if isinstance(value, dict):
        own, more = schema.get("properties", {}), schema.get("additionalProperties", True)
        found = [f"{at}: {key} is absent" for key in schema.get("required", ()) if key not in value]
        for key, member in value.items():
            if key in own or isinstance(more, dict):
                found += broken(member, own.get(key, more), root, f"{at}/{key}")
            elif not more:
                found.append(f"{at}: {key} is unknown")
        return found
    if isinstance(value, list):
        return [fault for n, member in enumerate(value) for fault in broken(member, schema["items"], root, f"{at}/{n}")]
    if isinstance(value, int | float) and not schema.get("minimum", value) <= value <= schema.get("maximum", value):
        return [f"{at}: {value!r} is out of range"]
    return []
