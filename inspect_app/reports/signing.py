"""Signs a finished PDF: PAdES B-B (ETSI EN 319 142-1), certified so that any later change shows."""

import io

from inspect_app.reports.keys import SigningKey

FIELD = "Issuer"


def signed_pdf(pdf: bytes, *, key: SigningKey, by: str, reason: str) -> bytes:
    """The PDF as it was, and after its last byte the signature over all of it.

    by: who signs, as readers show it.
    """
    from pyhanko.keys import load_certs_from_pemder_data, load_private_key_from_pemder_data
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign import signers
    from pyhanko.sign.fields import MDPPerm, SigSeedSubFilter
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    own, *issuers = load_certs_from_pemder_data(key.pem)
    known = SimpleCertificateStore()  # type: ignore[no-untyped-call]  # its own omission
    known.register_multiple(issuers)
    signer = signers.SimpleSigner(
        signing_cert=own,
        signing_key=load_private_key_from_pemder_data(key.pem, passphrase=None),
        cert_registry=known,
    )
    says = signers.PdfSignatureMetadata(
        field_name=FIELD,
        md_algorithm="sha256",
        subfilter=SigSeedSubFilter.PADES,
        certify=True,
        docmdp_permissions=MDPPerm.NO_CHANGES,
        name=by,
        reason=reason,
    )
    signed = io.BytesIO()
    signers.PdfSigner(says, signer).sign_pdf(
        IncrementalPdfFileWriter(io.BytesIO(pdf)), output=signed
    )
    return signed.getvalue()
