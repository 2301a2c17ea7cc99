"""Seeded faults of merging: of the merge itself, of files that travel, of receiving, of membership and of a round."""

from __future__ import annotations

from tests.architecture.fault import Fault

__all__ = ["FAULTS_OF_MERGING"]

FAULTS_OF_MERGING = (
    Fault(
        "the newest clock wins over what was written apart", "sync/merge/replica.py",
        "return Standing(register, tuple(sorted(heads, key=lambda one: (one.millis, one.tick, one.hash))))",
        "return Standing(register, (max(heads, key=lambda one: (one.millis, one.tick, one.hash)),))",
        ("tests/sync/merge/test_replica.py", "-k", "not any_order and not part_and_meet"),
    ),
    Fault(
        "operations are told apart by chain and number", "sync/merge/replica.py",
        "if made in known:",
        "if made in known or one.seq in self.chains.get(one.chain, ChainSeen()).hashes:",
        ("tests/sync/merge/test_replica.py", "-k", "not any_order and not part_and_meet"),
    ),
    Fault(
        "an operation takes nothing's place", "sync/merge/replica.py",
        "standing = self._without(register, standing, one.parents)",
        "self._without(register, standing, one.parents)",
        ("tests/sync/merge/test_replica.py", "-k", "not any_order and not part_and_meet"),
    ),
    Fault(
        "what was replaced before it came stands again", "sync/merge/replica.py",
        "if not awaited or register not in awaited.pop(made, ()):",
        "if made:",
        ("tests/sync/merge/test_replica.py", "-k", "not any_order and not part_and_meet"),
    ),
    Fault(
        "what replaces one value replaces all", "sync/merge/replica.py",
        "standing = self._without(register, standing, one.parents)",
        "standing = self._without(register, (), one.parents)",
        ("tests/sync/merge/test_replica.py", "-k", "not any_order and not part_and_meet"),
    ),
    Fault(
        "a copied device is not found", "sync/merge/replica.py",
        "if first != made:",
        "if not made:",
        ("tests/sync/merge/test_replica.py", "-k", "not any_order and not part_and_meet"),
    ),
    Fault(
        "a gap is never told", "sync/merge/replica.py",
        "if seq > before + 1:",
        "if seq > before + 999:",
        ("tests/sync/merge/test_replica.py", "-k", "not any_order and not part_and_meet"),
    ),
    Fault(
        "what arrives after a signature is not told", "sync/merge/replica.py",
        "return one.hash in unseen(",
        "return not signatures and one.hash in unseen(",
        ("tests/sync/merge/test_replica.py", "-k", "not any_order and not part_and_meet"),
    ),
    Fault(
        "equal values written apart are called a conflict", "sync/merge/replica.py",
        "return len(self.operations) > 1 and len(self.values) > 1",
        "return len(self.operations) > 1",
        ("tests/sync/merge/test_replica.py", "-k", "not any_order and not part_and_meet"),
    ),
    Fault(
        "the digest leaves out one of two values", "sync/merge/replica.py",
        "*sorted(one.hash for one in self._heads[register])]",
        "*sorted(one.hash for one in self._heads[register])[:1]]",
        ("tests/sync/merge/test_replica.py", "-k", "not any_order and not part_and_meet"),
    ),
    Fault(
        "a signature is not checked", "sync/wire/change_file.py",
        "signer.verify(data[-_SIGNATURE:], _PURPOSE + sha256(data[:-_SIGNATURE]).digest())",
        "del signer",
        ("tests/sync/wire/test_change_file.py", "-k", "not packed_stretch"),
    ),
    Fault(
        "a commitment is not checked", "sync/wire/change_file.py",
        "if not secrets.compare_digest(commitment, bound[_HEAD.size :]):",
        "if not commitment:",
        ("tests/sync/wire/test_change_file.py", "-k", "not packed_stretch"),
    ),
    Fault(
        "a file may hold another device's answers", "sync/wire/change_file.py",
        "if any(one.chain != header.chain.hex() for one in operations):",
        "if not header.chain:",
        ("tests/sync/wire/test_change_file.py", "-k", "not packed_stretch"),
    ),
    Fault(
        "every file has the same salt", "sync/wire/change_file.py",
        "salt or secrets.token_bytes(32),",
        "salt or bytes(32),",
        ("tests/sync/wire/test_change_file.py", "-k", "not packed_stretch"),
    ),
    Fault(
        "a body of any size is unpacked", "sync/wire/body.py",
        "if zstandard.get_frame_parameters(frame).content_size > MOST:",
        "if not frame:",
        ("tests/sync/wire/test_change_file.py", "-k", "not packed_stretch"),
    ),
    Fault(
        "what is awaited is forgotten in the store", "storage/registers.py",
        "gone = replaced | waited",
        "gone = replaced",
        ("tests/storage/test_receiving.py",),
    ),
    Fault(
        "the store does not note what it awaits", "storage/registers.py",
        "    _each(c, _AWAIT, [{",
        "    _each(c, _AWAIT, []) if c else _each(c, _AWAIT, [{",
        ("tests/storage/test_receiving.py",),
    ),
    Fault(
        "the store lets what was replaced stand", "storage/registers.py",
        "_each(c, _DROP_HEAD, [_where(*one) for one in sorted(replaced)])",
        "pass",
        ("tests/storage/test_receiving.py",),
    ),
    Fault(
        "a wrong clock elsewhere carries ours along", "storage/log.py",
        "if made.millis <= most else (0, 0)",
        "",
        ("tests/storage/test_receiving.py",),
    ),
    Fault(
        "the tail's newest operation is our own last", "storage/log.py",
        "count=self.count + 1, answers=answers, newest=made.hash)",
        "count=self.count + 1, answers=answers)",
        ("tests/storage/test_receiving.py",),
    ),
    Fault(
        "whoever is no owner may let in and put out", "sync/membership/roster.py",
        "if maker.role is not Role.OWNER:",
        "if maker is None:",
        ("tests/sync/membership/test_roster.py",),
    ),
    Fault(
        "acts are not proved to be of whom they name", "sync/membership/roster.py",
        "if not act.signed_by(maker.sign):",
        "if not act.by:",
        ("tests/sync/membership/test_roster.py",),
    ),
    Fault(
        "acts of a device that was put out go on counting", "sync/membership/roster.py",
        'return "its maker was put out before"',
        'return ""',
        ("tests/sync/membership/test_roster.py",),
    ),
    Fault(
        "what is written after being put out is taken in", "sync/exchange/pull.py",
        "if last is not None and number > last:\n        raise",
        "if last is not None and number < 0:\n        raise",
        ("tests/sync/exchange/test_round.py", "-k", "put_out"),
    ),
    Fault(
        "a missing file is gone around at once", "sync/exchange/pull.py",
        "    if not held or exchange.file(chain, held) is not None:",
        "    if False:",
        ("tests/sync/exchange/test_round.py", "-k", "lost_file"),
    ),
    Fault(
        "the sum keeps what was replaced", "storage/state_sum.py",
        "summed(_heads(of_register)) - summed(_heads(before[name]))",
        "summed(_heads(of_register)) - summed(_heads(before[name])) * 0",
        ("tests/storage/test_state_sum.py", "-k", "older_version or fails or new_name"),
    ),
    Fault(
        "what was replaced stays in the sum when it comes later", "storage/state_sum.py",
        "    for made in known.keys() - gone:",
        "    for made in known.keys() - gone.intersection(()):",
        ("tests/storage/test_state_sum.py", "-k", "received"),
    ),
    Fault(
        "a sum of another length is believed", "storage/state_sum.py",
        "return kept[1] if kept[0] == length else",
        "return kept[1] if kept[0] else",
        ("tests/storage/test_state_sum.py", "-k", "older_version"),
    ),
    Fault(
        "a hole in a chain is not seen", "storage/chain_ends.py",
        "if one > number + 1:",
        "if one > number + 99:",
        ("tests/storage/test_kept_ends.py", "-k", "files"),
    ),
    Fault(
        "what was filed since the last look is never sent", "storage/attachments_due.py",
        "unsent | (arrived - set(named.values())),",
        "unsent | (arrived - arrived),",
        ("tests/storage/test_kept_ends.py", "-k", "attachment"),
    ),
    Fault(
        "a student signs", "forms/role.py",
        '"Student", "Charts. A consultant signs.", False, _ALL - {Part.SIGNATURE}',
        '"Student", "Charts. A consultant signs.", False, _ALL',
        ("tests/forms/test_role.py",),
    ),
    Fault(
        "a question that nobody put anywhere is the office's", "forms/role.py",
        "return Part.REGISTRY if form in WHOLE or field in KEPT_BY_OFFICE[form] else Part.CLINICAL",
        "return Part.REGISTRY",
        ("tests/forms/test_role.py",),
    ),
    Fault(
        "a write beyond the role of the device is let through", "storage/writing.py",
        "        must_be_allowed(self._role, place.form, field)\n",
        "",
        ("tests/storage/test_rights.py", "-k", "office or student"),
    ),
    Fault(
        "a signature without a right freezes the visit", "storage/registers.py",
        "return counted(c, found) if field == SIGNED else tuple(found)",
        "return tuple(found)",
        ("tests/storage/test_rights.py", "-k", "without_a_right"),
    ),
    Fault(
        "undo offers what the role could not take back", "storage/steps.py",
        "if not may(role, place.form, STRUCK",
        "if not place.form and not may(role, place.form, STRUCK",
        ("tests/storage/test_rights.py", "-k", "undo"),
    ),
    Fault(
        "a role of later is held against what was written before", "sync/membership/roster.py",
        "return next((role for since, role in reversed(later) if since <= millis), first)",
        "return later[-1][1] if later else first",
        ("tests/sync/exchange/test_roles.py", "-k", "whatever_the_role_is_later"),
    ),
    Fault(
        "a signature of a device that signs no more counts where it arrives", "sync/exchange/roles.py",
        "if one.field == SIGNED and one.chain in roster.every and",
        'if one.field == "" and one.chain in roster.every and',
        ("tests/sync/exchange/test_roles.py", "-k", "signs_nothing_on_any_device"),
    ),
    Fault(
        "the old sheet goes on letting devices in", "sync/membership/roster.py",
        "case Sheet(ended=ended) if act.by in ended and act.seq > ended[act.by]:",
        "case Sheet(ended=ended) if act.by in ended and act.seq < 0:",
        ("tests/sync/membership/test_sheets.py", "-k", "old_sheet"),
    ),
    Fault(
        "a new sheet need not vouch for the practice", "sync/membership/sheets.py",
        "if not change.vouches_for(root.hash):",
        "if not root.hash:",
        ("tests/sync/membership/test_sheets.py", "-k", "vouches"),
    ),
    Fault(
        "the newest key stays sealed for the old sheet", "sync/membership/roster.py",
        "any(name in last.keys for name in gone)",
        "any(name in last.keys for name in put_out)",
        ("tests/sync/membership/test_sheets.py", "-k", "opens_every_key"),
    ),
    Fault(
        "an old sheet is told that it is of no practice", "sync/exchange/recovery.py",
        "if chain in found.sheets_ended:",
        "if not chain:",
        ("tests/sync/exchange/test_sheet.py", "-k", "says_when"),
    ),
    Fault(
        "a snapshot is believed whatever it comes to", "sync/exchange/snapshots.py",
        "if digest_of(standing) != said.digest:",
        "if not said.digest:",
        ("tests/sync/exchange/test_snapshots_refused.py", "-k", "another and digest"),
    ),
    Fault(
        "what is in nobody's files is forgotten", "sync/exchange/replay.py",
        "            going.told.unproved[chain] = count",
        '            exchange.tell({f"snapshot {chain}": ""})',
        ("tests/sync/exchange/test_snapshots_refused.py", "-k", "nobody_wrote"),
    ),
    Fault(
        "a part of another snapshot is taken", "sync/wire/snapshot_file.py",
        "    if sha256(data).hexdigest() != head.parts[at]:",
        "    if not head.parts[at]:",
        ("tests/sync/wire/test_snapshot_file.py", "-k", "bound_to_their_head"),
    ),
)  # fmt: skip
