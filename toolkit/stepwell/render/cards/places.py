"""Where a part is found is printed once in each top-level block: a place behind every mention hides the lines."""

from __future__ import annotations

from stepwell.publish.canonical import Plain


def without_repeats(sheet: Plain) -> Plain:
    """The sheet's plain data with each part's place only at its first mention in a top-level block."""
    if not isinstance(sheet, dict) or not isinstance(sheet["items"], list):
        return sheet
    return {**sheet, "items": [_walk(item, set()) for item in sheet["items"]]}


def _walk(value: Plain, seen: set[str]) -> Plain:
    if isinstance(value, list):
        return [_walk(item, seen) for item in value]
    if not isinstance(value, dict):
        return value
    walked = {key: _walk(item, seen) for key, item in value.items() if key != "places"}
    places = value.get("places")
    if isinstance(places, list):
        walked["places"] = [place for place in places if isinstance(place, dict) and str(place["part"]) not in seen]
        seen.update(str(place["part"]) for place in places if isinstance(place, dict))
    return walked
