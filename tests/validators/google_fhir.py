"""Run by the python of its own environment: reads each named bundle with google-fhir-r4 and prints what it refuses.

Takes paths, one a line, on its input; prints one JSON list of lists of complaints, in the same order.
"""

from __future__ import annotations

import json
import sys
from importlib import import_module
from pathlib import Path


def main() -> None:
    """Read every bundle named on the input."""
    reader = import_module("google.fhir.r4.json_format")
    bundle = import_module("google.fhir.r4.proto.core.resources.bundle_and_contained_resource_pb2").Bundle
    found: list[list[str]] = []
    for line in sys.stdin.read().splitlines():
        try:
            reader.json_fhir_string_to_proto(Path(line).read_text(encoding="utf-8"), bundle, validate=True)
            found.append([])
        except Exception as refusal:  # noqa: BLE001 - the reader tells a fault by many kinds of exception
            found.append([f"{type(refusal).__name__}: {refusal}"[:300]])
    print(json.dumps(found))


if __name__ == "__main__":
    main()
