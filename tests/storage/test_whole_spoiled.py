"""A folder that is not as it was exported gets one plain sentence, and the store stays as it was."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import orjson
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from storage.log import Operation, canonical
from storage.store import Store
from storage.whole_folder import ACTS, INDEX, OPERATIONS, NotImported
from storage.whole_log import read_lines
from storage.whole_tables import Standing, Tables
from tests.helpers.chains import Writer
from tests.helpers.exported import bring_in, lines_of, put_index, with_lines
from tests.helpers.stores import FAMILY


def _line(exported: Path, at: int, **change: Any) -> None:
    """Another value at a place of one operation, as good bytes under their own hash."""
    lines = lines_of(exported)
    lines[at] = canonical(orjson.loads(lines[at]) | change)
    with_lines(exported, lines)


def _some_attachment(exported: Path) -> Path:
    return next((exported / "attachments").iterdir())


def _longer(path: Path) -> None:
    path.write_bytes(path.read_bytes() + b" ")


def _flipped(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)


def _linked(path: Path) -> None:
    path.rename(path.parent.parent.parent / "elsewhere")
    path.symlink_to(path.parent.parent.parent / "elsewhere")


def _folder_linked(exported: Path) -> None:
    (exported / "record").rename(exported.parent / "record elsewhere")
    (exported / "record").symlink_to(exported.parent / "record elsewhere")


SPOILED: dict[str, tuple[Callable[[Path], object], str]] = {
    "no index": (lambda f: (f / INDEX).unlink(), "holds no index.json"),
    "a file gone": (lambda f: (f / OPERATIONS).unlink(), "is missing"),
    "an attachment gone": (lambda f: _some_attachment(f).unlink(), "is missing"),
    "a table gone": (lambda f: (f / "tables" / "answers.csv").unlink(), "is missing"),
    "a file more": (lambda f: (f / "notes.txt").write_text("x"), "does not belong"),
    "a hidden file more": (lambda f: (f / "record" / ".x").write_text("x"), "does not belong"),
    "a name of no letters": (lambda f: (f / "a\nb\x1b").write_text("x"), "“a?b?” does not belong"),
    "a folder more": (lambda f: (f / "more").mkdir(), "does not belong"),
    "a folder in a folder": (lambda f: (f / "attachments" / "more").mkdir(), "does not belong"),
    "a byte more": (lambda f: _longer(f / OPERATIONS), "not as it was exported"),
    "a bit in the log": (lambda f: _flipped(f / OPERATIONS), "not as it was exported"),
    "a bit in an attachment": (lambda f: _flipped(_some_attachment(f)), "not as it was exported"),
    "a bit in a table": (lambda f: _flipped(f / "tables" / "answers.csv"), "not as it was exported"),
    "a link for a file": (lambda f: _linked(f / OPERATIONS), "does not belong"),
    "a link for a folder": (_folder_linked, "does not belong"),
    "an index of no JSON": (lambda f: (f / INDEX).write_bytes(b"\x00{"), "index.json” is damaged"),
    "an index nested deep": (lambda f: (f / INDEX).write_bytes(b"[" * 9_000), "index.json” is damaged"),
    "an index nested deeper than can be written": (
        lambda f: (f / INDEX).write_bytes(
            b'{"files":' + b"[" * 300 + b"]" * 300 + b',"format":"hearthside whole record","version":1}'
        ),
        "index.json” is damaged",
    ),
    "an index in another hand": (lambda f: _longer(f / INDEX), "index.json” is damaged"),
    "another index": (lambda f: (f / INDEX).write_bytes(b'{"format":"x"}'), "not that of an exported record"),
    "an index of a list": (lambda f: (f / INDEX).write_bytes(b"[]"), "not that of an exported record"),
    "a newer index": (lambda f: put_index(f, lambda i: i.update(version=2)), "newer version"),
    "a name that climbs": (
        lambda f: put_index(f, lambda i: i["files"].update({"record/../../x": {"bytes": 1, "sha256": "0" * 64}})),
        "index.json” is damaged",
    ),
    "a name from the root": (
        lambda f: put_index(f, lambda i: i["files"].update({"/etc/passwd": {"bytes": 1, "sha256": "0" * 64}})),
        "index.json” is damaged",
    ),
    "a length in words": (
        lambda f: put_index(f, lambda i: i["files"][OPERATIONS].update(bytes="9")), "index.json” is damaged",
    ),
    "a length of true": (
        lambda f: put_index(f, lambda i: i["files"][OPERATIONS].update(bytes=True)), "index.json” is damaged",
    ),
    "a length beyond any": (
        lambda f: put_index(f, lambda i: i["files"][OPERATIONS].update(bytes=1 << 50)), "larger than any",
    ),
    "files of no map": (lambda f: put_index(f, lambda i: i.update(files=[])), "index.json” is damaged"),
    "attachments of no map": (lambda f: put_index(f, lambda i: i.update(attachments=[])), "does not fit"),
    "an attachment untold": (lambda f: put_index(f, lambda i: i["attachments"].popitem()), "does not fit"),
    "an attachment of another name": (
        lambda f: put_index(f, lambda i: i["attachments"].update({"../x": "text/plain"})), "does not fit",
    ),
    "signatures unknown": (
        lambda f: put_index(f, lambda i: i.update(signatures_not_counted=["0" * 64])), "does not fit",
    ),
    "signatures of maps": (lambda f: put_index(f, lambda i: i.update(signatures_not_counted=[{}])), "does not fit"),
    "a count of another record": (
        lambda f: put_index(f, lambda i: i["counts"].update(operations=1)), "does not fit",
    ),
    "counts of no map": (lambda f: put_index(f, lambda i: i.update(counts=3)), "does not fit"),
    "a hole that is none": (
        lambda f: put_index(f, lambda i: i.update(operations_missing={"a" * 32: [[1, 2]]})), "does not fit",
    ),
    "no digest": (lambda f: put_index(f, lambda i: i.pop("digest")), "does not fit"),
    "one person’s answers": (lambda f: put_index(f, lambda i: i.update(scope="one person")), "concerns one person"),
    "acts of no Base64": (lambda f: with_lines(f, [b"!!"], ACTS), "does not fit"),
    "acts twice": (lambda f: with_lines(f, [b"eA==", b"eA=="], ACTS), "does not fit"),
    "an operation twice": (lambda f: with_lines(f, [lines_of(f)[0], *lines_of(f)]), "one operation twice, in line 2"),
    "operations out of order": (lambda f: with_lines(f, lines_of(f)[::-1]), "line 2 of the log"),
    "an operation of no JSON": (lambda f: with_lines(f, [b"x"]), "line 1 of the log"),
    "an operation of a list": (lambda f: with_lines(f, [b"[]"]), "line 1 of the log"),
    "an operation nested deep": (lambda f: with_lines(f, [b'{"v":' + b"[" * 9_000]), "line 1 of the log"),
    "an answer nested deeper than can be written": (
        lambda f: with_lines(f, [lines_of(f)[0].replace(b'"value":{', b'"value":' + b'{"a":' * 500 + b"{") + b"}" * 500]),
        "line 1 of the log",
    ),
    "an operation wrapped without need": (
        lambda f: with_lines(f, [canonical({"bytes": lines_of(f)[0].decode()})]), "line 1 of the log",
    ),
    "an empty line": (lambda f: with_lines(f, [b"", *lines_of(f)]), "line 1 of the log"),
    "a line without its end": (
        lambda f: (with_lines(f, [*lines_of(f)[:-1], lines_of(f)[-1] + b"x"])), "of the log is no operation",
    ),
    "an older version": (lambda f: _line(f, -1, v=0), "of the log is no operation"),
    "a version of true": (lambda f: _line(f, -1, v=True), "of the log is no operation"),
    "a field more": (lambda f: _line(f, -1, more=1), "of the log is no operation"),
    "an entry of another kind": (lambda f: _line(f, -1, entity=7), "of the log is no operation"),
    "an entry that climbs": (lambda f: _line(f, -1, entity="../../" + "a" * 26), "of the log is no operation"),
    "a register of two sides": (lambda f: _line(f, -1, field="pain@up"), "of the log is no operation"),
    "a number of true": (lambda f: _line(f, 0, seq=True), "of the log is no operation"),
    "a number beyond any": (lambda f: _line(f, -1, seq=1 << 60), "of the log is no operation"),
    "a clock beyond any": (lambda f: _line(f, -1, hlc=[1 << 52, 0]), "of the log is no operation"),
    "a clock of texts": (lambda f: _line(f, -1, hlc=["1", "2"]), "of the log is no operation"),
    "a wall clock of no zone": (lambda f: _line(f, -1, wall="2026-03-03T10:00:00"), "of the log is no operation"),
    "parents of no hashes": (lambda f: _line(f, -1, parents=["x"]), "of the log is no operation"),
    "a place of no form": (lambda f: _line(f, -1, field="@place", value={"form": 1}), "of the log is no operation"),
    "a strike of a number": (lambda f: _line(f, -1, field="@struck", value=3), "of the log is no operation"),
    "a signature of nothing": (lambda f: _line(f, -1, field="@signed", value={}), "of the log is no operation"),
    "a changed answer in the middle": (lambda f: _line(f, 3, value="Somebody Else"), "is broken at its operation 5"),
    "an operation gone": (lambda f: with_lines(f, [*lines_of(f)[:1], *lines_of(f)[2:]]), "is broken at its operation 3"),
    "a hole that is not told": (lambda f: with_lines(f, lines_of(f)[1:]), "is broken at its operation 2"),
    "orphans of no list": (
        lambda f: put_index(f, lambda i: i.update(operations_without_predecessor={})), "does not fit",
    ),
}  # fmt: skip


@pytest.mark.parametrize("how", SPOILED)
def test_a_spoiled_folder_gets_one_plain_sentence_and_changes_nothing(how: str, exported: Path, empty: Store) -> None:
    spoil, says = SPOILED[how]
    spoil(exported)
    before = empty.journal(), empty.device
    with pytest.raises(NotImported) as caught:
        bring_in(exported, empty)
    sentence = caught.value.sentence
    assert sentence.startswith("Nothing was imported: ")
    assert sentence.isprintable()
    assert says in sentence
    assert (empty.journal(), empty.device) == before
    empty.whole().must_be_empty()
    assert empty.exchange().attachments() == frozenset()


def test_a_file_is_no_folder_and_neither_is_what_is_not_there(tmp_path: Path, empty: Store) -> None:
    (tmp_path / "file").write_bytes(b"x")
    for named in ("file", "nowhere"):
        with pytest.raises(NotImported, match="is no folder"):
            bring_in(tmp_path / named, empty)


def test_a_log_that_does_not_come_to_the_record_it_tells_of_is_taken_back_whole(exported: Path, empty: Store) -> None:
    put_index(exported, lambda index: index.update(digest="0" * 64))
    before = empty.journal()
    with pytest.raises(NotImported, match="does not come to the record"):
        bring_in(exported, empty)
    assert empty.journal() == before
    empty.whole().must_be_empty()
    assert empty.check() == ()


def test_an_attachment_that_changes_while_it_is_taken_in_takes_everything_back(exported: Path, empty: Store) -> None:
    from storage.whole import checked
    from storage.whole_folder import Proved

    found = checked(Proved.read(exported))
    _flipped(_some_attachment(exported))
    with pytest.raises(NotImported, match="not as it was exported"):
        empty.whole().take(found, "store")
    _some_attachment(exported).unlink()
    with pytest.raises(NotImported, match="cannot be read"):
        empty.whole().take(found, "store")
    empty.whole().must_be_empty()
    assert empty.check() == ()


_JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**63), 2**63) | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)
_WRITER = Writer("laptop")
_GOOD = orjson.loads(_WRITER.begin("1" * 32, "visit", family=FAMILY).raw)


def _looked_over(data: bytes) -> tuple[tuple[Operation, ...], str]:
    """The operations of a file, or the sentence that refuses it."""
    try:
        return read_lines(data, frozenset()), ""
    except NotImported as trouble:
        return (), trouble.sentence


@given(
    st.dictionaries(st.sampled_from([*_GOOD, "more"]), _JSON, max_size=3),
    st.sampled_from(["@place", "@struck", "@signed", "note"]),
)
@settings(max_examples=400)
def test_whatever_stands_in_a_line_is_an_operation_or_refused_by_its_number(change: dict[str, Any], field: str) -> None:
    try:
        line = orjson.dumps({**_GOOD, "field": field, **change}, option=orjson.OPT_SORT_KEYS)
    except TypeError:  # a text of half a pair, or a number too large for JSON as it is kept
        return
    found, refused = _looked_over(line + b"\n")
    standing = Standing()
    for one in found:
        standing.add(one)
    assert Tables(standing).files()
    assert bool(found) != ("the log" in refused)


@given(st.binary(max_size=300))
@settings(max_examples=200)
def test_bytes_that_are_no_log_are_refused(data: bytes) -> None:
    found, refused = _looked_over(data)
    assert found == ()
    assert not data or "line" in refused
