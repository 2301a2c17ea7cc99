"""What the page beside a saved paper says in each language: how its receiver checks it without this program.

The Spanish has not been reviewed yet, like all of that catalogue.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

__all__ = ["ENGLISH", "SPANISH"]

ENGLISH: Final[Mapping[str, str]] = MappingProxyType({
    "check.title": "How to check {name}",
    "check.print": "The file carries the seal, not the print. A print, a picture or a copy saved again by another "
    "program proves nothing: check the very file you were sent.",
    "check.unsealed": "This paper carries no seal, because the note it comes from was not finished when it was made. "
    "Neither the file nor a print of it shows whether it was changed. Ask the practice, at the number you know it by, "
    "whether it holds, and for the sealed paper once the note is finished.",
    "check.locked": "The file is locked with a password. The seal can be checked once it is open; ask the practice for "
    "the password and for the fingerprint of its root certificate, at the number you know it by.",
    "check.ask": "Whom to ask: {who}",
    "check.compare.root": "A seal of this kind shows that the file is unchanged and which key sealed it. Whose key it "
    "is you know after comparing this SHA-256 fingerprint of the practice’s root certificate, in person or by phone at "
    "a number that does not come from these files:",
    "check.compare.own": "A seal of this kind shows that the file is unchanged and which key sealed it. Whose key it "
    "is you know after comparing this SHA-256 fingerprint of the consultant’s own certificate, in person or by phone "
    "at a number that does not come from these files:",
    "check.program.root": "With a PDF program that shows signatures: open {name} and its signature panel. It has to "
    "say that the signature is valid, that it covers the whole document and that nothing was changed since. It may "
    "well say that it does not know the signer: that is what comparing the fingerprint is for. Look for it at the "
    "upper of the two certificates.",
    "check.program.own": "With a PDF program that shows signatures: open {name} and its signature panel. It has to "
    "say that the signature is valid, that it covers the whole document and that nothing was changed since. It may "
    "well say that it does not know the signer: that is what comparing the fingerprint is for. Look for it at the "
    "certificate of the signer, the lowest of those it lists.",
    "check.stamp": "The seal carries a time stamp of {at} UTC. Whoever made it calls itself “{by}”; whether they are "
    "to be believed is for you to judge.",
    "check.openssl": "With openssl, the record beside it, in the folder where these files lie:",
    "check.says": "The first prints the fingerprint of the certificate below; the second has to say “successful”, and "
    "writes the record it checked into a file of its own.",
    "check.about": "SHA-256 of the file this page is about:",
})  # fmt: skip

SPANISH: Final[Mapping[str, str]] = MappingProxyType({
    "check.title": "Cómo comprobar {name}",
    "check.print": "El sello está en el archivo, no en la impresión. Una impresión, una foto o una copia guardada de "
    "nuevo con otro programa no prueba nada: compruebe el mismo archivo que le enviaron.",
    "check.unsealed": "Este papel no lleva sello, porque la nota de la que sale no estaba terminada cuando se hizo. "
    "Ni el archivo ni una impresión muestran si algo se cambió. Pregunte a la consulta, al número que usted ya conoce, "
    "si el papel vale, y pida el papel sellado cuando la nota esté terminada.",
    "check.locked": "El archivo está cerrado con una contraseña. El sello se puede comprobar cuando está abierto; pida "
    "a la consulta la contraseña y la huella de su certificado raíz, al número que usted ya conoce.",
    "check.ask": "A quién preguntar: {who}",
    "check.compare.root": "Un sello de esta clase muestra que el archivo no ha cambiado y con qué clave se selló. De "
    "quién es la clave lo sabe usted después de comparar esta huella SHA-256 del certificado raíz de la consulta, en "
    "persona o por teléfono, a un número que no venga de estos archivos:",
    "check.compare.own": "Un sello de esta clase muestra que el archivo no ha cambiado y con qué clave se selló. De "
    "quién es la clave lo sabe usted después de comparar esta huella SHA-256 del certificado propio de la asesora, en "
    "persona o por teléfono, a un número que no venga de estos archivos:",
    "check.program.root": "Con un programa de PDF que muestre firmas: abra {name} y su panel de firmas. Debe decir que "
    "la firma es válida, que abarca todo el documento y que nada se cambió después. Es posible que diga que no conoce "
    "a quien firma: para eso sirve comparar la huella. Búsquela en el certificado de arriba, de los dos que muestra.",
    "check.program.own": "Con un programa de PDF que muestre firmas: abra {name} y su panel de firmas. Debe decir que "
    "la firma es válida, que abarca todo el documento y que nada se cambió después. Es posible que diga que no conoce "
    "a quien firma: para eso sirve comparar la huella. Búsquela en el certificado de quien firma, el último de los que "
    "muestra.",
    "check.stamp": "El sello lleva una marca de tiempo del {at} UTC. Quien la hizo dice llamarse «{by}»; si merece "
    "confianza, debe juzgarlo usted.",
    "check.openssl": "Con openssl, el registro que está al lado, en la carpeta donde están estos archivos:",
    "check.says": "La primera orden muestra la huella del certificado de abajo; la segunda debe decir “successful”, y "
    "escribe en otro archivo el registro que comprobó.",
    "check.about": "SHA-256 del archivo del que trata esta página:",
})  # fmt: skip
