"""Run by the python of its own environment: reads each named bundle with pyrofile and HL7's own R4 definitions.

The definitions (a package of HL7, CC0) are the first argument. Takes paths, one a line, on its input; prints one JSON
list of lists of errors, in the same order. Warnings are left out: they are many and never the fault itself. So is what
it says of a `value[x]` in a list within a list, which it cannot count (`answerOption`, `answer` of items): it calls
each missing and two of them too many. Google's reader counts those.
"""

from __future__ import annotations

import contextlib
import io
import json
import re
import sys
from importlib import import_module
from pathlib import Path

MISCOUNTED = re.compile(r"(answerOption|answer)(\[\d+\])?\.value\[x\]$")


def main() -> None:
    """Read every bundle named on the input."""
    config = import_module("pyrofile_validator.config").ValidatorConfig.load_dict(
        {"fhirVersion": "4.0.1", "terminology": {"mode": "local"}, "localPackagePaths": [sys.argv[1]]}
    )
    found = []
    with contextlib.redirect_stdout(io.StringIO()):  # it prints notes of its own between
        validator = import_module("pyrofile_validator").Validator(config)
        for line in sys.stdin.read().splitlines():
            report = validator.validate_resource(json.loads(Path(line).read_text(encoding="utf-8")))
            errors = (one for one in report.errors if not ("cardinality" in one.code and MISCOUNTED.search(one.path)))
            found.append([f"{one.code} {one.path}: {one.message}"[:300] for one in errors])
    print(json.dumps(found))


if __name__ == "__main__":
    main()
