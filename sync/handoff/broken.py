"""What the readers of papers and certificates raise over bytes that are broken, or were made to break them."""

from __future__ import annotations

import struct
import zlib

__all__ = ["breaks"]


def breaks() -> tuple[type[Exception], ...]:
    """Whatever a broken or hostile file makes the parsers raise; a bug of ours outside these still shows itself."""
    from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
    from cryptography.x509 import InvalidVersion
    from pikepdf import PdfError
    from pyhanko.pdf_utils.misc import PdfError as ReadError
    from pyhanko.sign.validation.errors import SignatureValidationError
    from pyhanko_certvalidator.errors import PathError, ValidationError

    return (
        ArithmeticError, AssertionError, AttributeError, BufferError, EOFError, LookupError, MemoryError, OSError,
        RuntimeError, StopIteration, TypeError, ValueError, struct.error, zlib.error, InvalidSignature,
        InvalidVersion, UnsupportedAlgorithm, PdfError, ReadError, SignatureValidationError, PathError, ValidationError,
    )  # fmt: skip
