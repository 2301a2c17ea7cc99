"""The signature that lies beside a record: CMS over its very bytes, without the bytes, for any reader of CMS.

No canonical JSON is needed, because the file as it lies there is what was signed.
"""

from __future__ import annotations

from typing import Final

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import Encoding, pkcs12
from cryptography.hazmat.primitives.serialization.pkcs7 import PKCS7Options, PKCS7SignatureBuilder

from forms.trouble import Bug
from sync.handoff.seals import Seal

__all__ = ["MEDIA_TYPE", "sign_beside"]

MEDIA_TYPE: Final = "application/pkcs7-signature"


def sign_beside(data: bytes, seal: Seal) -> bytes:
    """The detached signature of these bytes (CMS, DER) with the consultant's key and the certificates to check it."""
    key, certificate, above = pkcs12.load_key_and_certificates(seal.p12, None)
    if not isinstance(key, ec.EllipticCurvePrivateKey | rsa.RSAPrivateKey) or certificate is None:
        raise Bug("a kept seal cannot be opened")
    made = PKCS7SignatureBuilder().set_data(data).add_signer(certificate, key, hashes.SHA256())
    for one in above:
        made = made.add_certificate(one)
    return made.sign(Encoding.DER, [PKCS7Options.DetachedSignature, PKCS7Options.Binary])
