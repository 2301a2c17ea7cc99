"""Seals a paper: attaches the record, certifies that nothing may change, and checks the result before it leaves.

Everything happens in memory; no temporary file ever holds a paper. pyHanko is imported inside the functions because
it takes over half a second, which a start without signing does not pay.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cache
from io import BytesIO
from typing import Any, Final

from forms.answers import Moment
from forms.chart import Chart
from forms.days import clock
from forms.papers.tongue import Tongue
from forms.phrases.languages import CATALOGUES
from forms.trouble import Bug, Trouble
from sync.handoff.chain import chain_above
from sync.handoff.dated import dated
from sync.handoff.faces import FIGURE, FOLDER
from sync.handoff.one_at_a_time import one_at_a_time
from sync.handoff.protected import locked, must_be_locked
from sync.handoff.seals import Seal
from sync.handoff.stamp import WITH_STAMP
from sync.handoff.stamping import Stamping
from sync.handoff.tags import FIELD
from sync.handoff.verify import hush, verify

__all__ = ["CarriedUnread", "Record", "sign_letter", "taken_out"]

_USUAL: Final = frozenset(map(chr, range(0x20, 0x7F))) | frozenset("áéíóúüñÁÉÍÓÚÜÑ–—’")
"""Letters every mark may need: days, months and zones of the languages papers speak."""


_SEALED: Final = "Written and sealed by the consultant named"


@dataclass(frozen=True, slots=True)
class Record:
    """What is carried inside the paper: a file name, its media type, its bytes, and what it is in a few words.

    `relation` is what PDF calls its relation to the pages: the same in another form, or "/Data" of its own.
    """

    name: str
    media_type: str
    data: bytes
    told: str = "The same words as plain text"
    relation: str = "/Alternative"


def _attach(writer: Any, record: Record) -> None:
    from pyhanko.pdf_utils.embed import EmbeddedFileObject, FileSpec, embed_file
    from pyhanko.pdf_utils.generic import pdf_name

    embedded = EmbeddedFileObject.from_file_data(writer, data=record.data, mime_type=record.media_type, compress=True)
    spec = FileSpec(
        file_spec_string=record.name, file_name=record.name, embedded_data=embedded,
        description=record.told, af_relationship=pdf_name(record.relation),
    )  # fmt: skip
    embed_file(writer, spec)


def _signer(seal: Seal) -> Any:
    """PyHanko's signer, whose signature names every certificate it carries, so that none can be put in or changed."""
    from pyhanko.sign import SimpleSigner
    from pyhanko.sign.attributes import SigningCertificateV2Provider
    from pyhanko.sign.general import as_signing_certificate_v2

    class NamesItsChain(SigningCertificateV2Provider):
        async def build_attr_value(self, dry_run: bool = False) -> Any:
            value = await super().build_attr_value(dry_run)
            for one in chain_above(made.signing_cert, made.cert_registry):
                value["certs"].append(as_signing_certificate_v2(one)["certs"][0])
            return value

    class NamingSigner(SimpleSigner):
        def _signed_attr_providers(self, *given: Any, **named: Any) -> Any:
            for one in super()._signed_attr_providers(*given, **named):
                own = isinstance(one, SigningCertificateV2Provider)
                yield NamesItsChain(one.signing_cert) if own else one

    kept = SimpleSigner.load_pkcs12_data(seal.p12, other_certs=[], passphrase=None)
    if kept is None:
        raise Bug("a kept seal cannot be opened")
    made = NamingSigner(kept.signing_cert, kept.signing_key, kept.cert_registry)
    return made


def _at(moment: datetime) -> type[Any]:
    """PyHanko's signer, with the time given instead of the machine's, so that one clock dates record and seal."""
    from pyhanko.sign.signers.pdf_signer import PdfSigner, PdfSigningSession

    class SignerAt(PdfSigner):
        def init_signing_session(self, pdf_out: Any, existing_fields_only: bool = False) -> PdfSigningSession:
            session = super().init_signing_session(pdf_out, existing_fields_only)
            session.system_time = moment
            return session

    return SignerAt


@cache
def _face(letters: frozenset[str]) -> bytes:
    """The figure face with these letters and no others: the whole of it takes longer to write than all the rest."""
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    with TTFont(FOLDER / f"{FIGURE}.ttf") as face:
        kept = Subsetter(Options())
        kept.populate(unicodes=map(ord, letters))
        kept.subset(face)
        out = BytesIO()
        face.save(out)
    return out.getvalue()


def _letters(words: str) -> Any:
    """The figure face for the mark; read into memory, because pyHanko's own factory leaves its file open."""
    from pyhanko.pdf_utils.font import FontEngineFactory
    from pyhanko.pdf_utils.font.opentype import GlyphAccumulator

    class InMemory(FontEngineFactory):
        def create_font_engine(self, writer: Any, obj_stream: Any = None) -> GlyphAccumulator:
            if obj_stream is None and writer.stream_xrefs:
                obj_stream = writer.prepare_object_stream()
            face = BytesIO(_face(_USUAL | set(words)))
            return GlyphAccumulator(writer=writer, font_handle=face, font_size=9, obj_stream=obj_stream)

    return InMemory()


def _stamp(language: str, who: str) -> Any:
    from pyhanko.pdf_utils.layout import AxisAlignment, InnerScaling, Margins, SimpleBoxLayoutRule
    from pyhanko.pdf_utils.text import TextBoxStyle
    from pyhanko.stamp import TextStampStyle

    shown = CATALOGUES[language].sentences["seal.stamp"].text.format(who="%(who)s", when="%(when)s")
    # Without `leading` the lines of the mark lie on top of one another.
    plain = SimpleBoxLayoutRule(
        x_align=AxisAlignment.ALIGN_MIN, y_align=AxisAlignment.ALIGN_MID, margins=Margins(0, 0, 0, 0),
        inner_content_scaling=InnerScaling.NO_SCALING,
    )  # fmt: skip
    box = TextBoxStyle(
        font=_letters(who + shown), font_size=9, leading=13, border_width=0,
        box_layout_rule=plain,
    )  # fmt: skip
    layout = SimpleBoxLayoutRule(
        x_align=AxisAlignment.ALIGN_MIN, y_align=AxisAlignment.ALIGN_MID, margins=Margins(8, 8, 4, 4),
        inner_content_scaling=InnerScaling.SHRINK_TO_FIT,
    )  # fmt: skip
    return TextStampStyle(stamp_text=shown, text_box_style=box, inner_content_layout=layout, border_width=1)


def sign_letter(
    pdf: bytes, seal: Seal, *, at: Moment, who: str, record: Record | tuple[Record, ...], language: str = "en",
    contact: str = "", password: str | None = None, stamping: Stamping | None = None,
) -> bytes:  # fmt: skip
    """The paper sealed: `pdf` as `write_letter(sealed=True)` made it, `who` as printed, `at` with the visit's zone.

    `record` is what is carried inside, one file or several. `language` is the one of the mark that is seen;
    `contact` is whom to ask about the paper, as the seal itself tells it; with a `password` the paper is locked first.
    `stamping` asks for a time stamp where one is wanted; without an answer the paper is sealed all the same.
    PAdES with SHA-256 and the seal's key (P-256, P-384 or RSA), certified so that no change is allowed. Raises Bug
    when the sealed file does not pass `verify`: then nothing leaves.
    """
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign.fields import MDPPerm, SigSeedSubFilter
    from pyhanko.sign.signers.pdf_signer import PdfSignatureMetadata

    hush()
    stamper = stamping.stamper() if stamping is not None else None
    base = pdf if password is None else locked(pdf, password, at=at.at)
    writer: Any = dated(IncrementalPdfFileWriter(BytesIO(base)), at.at)
    if password is not None:
        writer.encrypt(password)
    for one in record if isinstance(record, tuple) else (record,):
        _attach(writer, one)
    meta = PdfSignatureMetadata(
        field_name=FIELD, md_algorithm="sha256", subfilter=SigSeedSubFilter.PADES, certify=True,
        docmdp_permissions=MDPPerm.NO_CHANGES, reason=_SEALED if stamper is None else WITH_STAMP, name=who,
        contact_info=contact or None, tight_size_estimates=stamper is not None,
    )  # fmt: skip
    local = at.local()
    day = Tongue(Chart("", None, ()), CATALOGUES[language]).day(local.date())
    when = f"{day}, {clock(local)} {local.tzname()}"
    out = BytesIO()
    _at(at.at)(meta, signer=_signer(seal), timestamper=stamper, stamp_style=_stamp(language, who)).sign_pdf(
        writer, existing_fields_only=True, appearance_text_params={"who": who, "when": when}, output=out
    )
    if stamper is not None and not stamper.given:
        return sign_letter(
            pdf, seal, at=at, who=who, record=record, language=language, contact=contact, password=password
        )
    made = out.getvalue()
    if not verify(made, password, roots=(seal.root,)).good:
        raise Bug("a freshly sealed paper does not pass its own check")
    if password is not None:
        must_be_locked(made, password)
    return made


class CarriedUnread(Trouble):
    """A file inside a paper cannot be read."""

    template = "A file that the paper carries cannot be read. Nothing has left; try again."


def taken_out(pdf: bytes, password: str | None = None) -> dict[str, bytes]:
    """The files carried inside a paper of our own making, by name.

    None for bytes that are no PDF, nor for a locked paper without its password. Raises CarriedUnread.
    """
    import pikepdf

    with one_at_a_time():
        try:
            opened = pikepdf.open(BytesIO(pdf), password=password or "")
        except (pikepdf.PdfError, pikepdf.PasswordError):
            return {}
        try:
            with opened:
                return {name: spec.get_file().read_bytes() for name, spec in opened.attachments.items()}
        except (pikepdf.PdfError, RuntimeError, ValueError, TypeError, LookupError, AttributeError) as fault:
            raise CarriedUnread from fault
