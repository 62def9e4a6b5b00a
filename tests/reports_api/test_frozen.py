"""What an issued report is frozen with, read back by tools that did not make it.

pdfdetach and pdfsig (poppler), qpdf (through pikepdf) and openssl each read the PDF on their own.
"""

import hashlib
import io
import json
import re
import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.serialization import pkcs12
from cryptography.x509.oid import NameOID
from django.conf import LazySettings
from django.core.management import call_command
from django.core.management.base import CommandError

from inspect_app.reports.keys import KeyRefused, key_of, take_own_key
from inspect_app.reports.models import Report
from tests.phone import Caller, inspection_change, observation_change

pytestmark = pytest.mark.django_db
P12_WORDS = "open, please"


def a_report(caller: Caller, **asked: object) -> tuple[Report, bytes]:
    walk = inspection_change()
    walk["body"]["header"]["assemblies"] = [{"at": "front_left", "damper": "coilover"}]
    caller.sync(walk, observation_change(walk["body"]["id"], seen="dripping"))
    answer = caller.post(f"/api/inspections/{walk['body']['id']}/reports", asked)
    assert answer.status_code == 200, answer.content
    pdf = b"".join(caller.get(answer.json()["pdf"]).streaming_content)
    return Report.objects.get(public_id=answer.json()["id"]), pdf


def signatures_by_pdfsig(pdf: bytes, folder: Path) -> str:
    path = folder / "signed.pdf"
    path.write_bytes(pdf)
    return subprocess.run(["pdfsig", str(path)], capture_output=True, text=True, check=False).stdout


def signature_bytes(pdf: bytes) -> tuple[bytes, bytes]:
    """What is signed, and the CMS signature over it, cut out by ByteRange alone."""
    (found,) = re.findall(rb"/ByteRange\s*\[\s*(\d+) (\d+) (\d+) (\d+)\s*\]", pdf)
    start, length, after, rest = map(int, found)
    assert start == 0
    assert after + rest == len(pdf)  # nothing stands after what is signed
    return pdf[:length] + pdf[after:], bytes.fromhex(pdf[length + 1 : after - 1].decode())


def test_the_pdf_carries_record_and_assessment_byte_for_byte(owner: Caller, tmp_path: Path) -> None:
    report, pdf = a_report(owner)
    path = tmp_path / "report.pdf"
    path.write_bytes(pdf)
    subprocess.run(["pdfdetach", "-saveall", "-o", str(tmp_path), str(path)], check=True)

    assert (tmp_path / "record.json").read_text(encoding="utf-8") == report.record
    assert (tmp_path / "assessment.json").read_text(encoding="utf-8") == report.assessment


def test_the_structure_is_clean_and_the_date_is_the_issues_own(owner: Caller) -> None:
    report, pdf = a_report(owner)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert opened.check_pdf_syntax() == []
        assert sorted(opened.attachments) == ["assessment.json", "record.json"]
        assert str(opened.docinfo["/CreationDate"])[2:16] == f"{report.issued_at:%Y%m%d%H%M%S}"


def test_another_tool_finds_the_signature_valid_and_over_the_whole_file(
    owner: Caller, tmp_path: Path
) -> None:
    _, pdf = a_report(owner)

    told = signatures_by_pdfsig(pdf, tmp_path)

    assert "Signature Validation: Signature is Valid." in told
    assert "Signature Type: ETSI.CAdES.detached" in told  # PAdES
    assert "Total document signed" in told
    assert "Signer Certificate Common Name: Kiln yard" in told


def test_openssl_verifies_it_against_the_key_on_the_disk(owner: Caller, tmp_path: Path) -> None:
    report, pdf = a_report(owner)
    signed, signature = signature_bytes(pdf)
    (tmp_path / "signed").write_bytes(signed)
    (tmp_path / "signature").write_bytes(signature)
    key = key_of(report.organisation)
    (tmp_path / "certificate").write_bytes(key.certificate.public_bytes(serialization.Encoding.PEM))

    # -certfile and -noverify: the key is vouched for by nobody; it is this certificate's or not.
    done = subprocess.run(
        [
            "openssl",
            "cms",
            "-verify",
            "-inform",
            "DER",
            "-binary",
            "-noverify",
            "-nointern",
            "-certfile",
            "certificate",
            "-in",
            "signature",
            "-content",
            "signed",
            "-out",
            "out",
        ],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr
    der = key.certificate.public_bytes(serialization.Encoding.DER)
    assert report.certificate_sha256 == hashlib.sha256(der).hexdigest()


@pytest.mark.parametrize("share", [0.2, 0.5, 0.9])
def test_one_byte_changed_is_told(owner: Caller, tmp_path: Path, share: float) -> None:
    _, pdf = a_report(owner)
    signed_up_to = len(signature_bytes(pdf)[0])
    changed = bytearray(pdf)
    changed[int(signed_up_to * share) // 2] ^= 1

    told = signatures_by_pdfsig(bytes(changed), tmp_path)

    assert "Signature is Valid" not in told
    assert "Digest Mismatch" in told


def test_something_added_after_the_signature_is_told(owner: Caller, tmp_path: Path) -> None:
    _, pdf = a_report(owner)
    added = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        opened.docinfo["/Title"] = "Much better"
        opened.save(added)

    assert "Signature is Valid" not in signatures_by_pdfsig(added.getvalue(), tmp_path)
    assert "Total document signed" not in signatures_by_pdfsig(pdf + b"\n%more", tmp_path)


def test_the_key_is_made_once_lies_beside_the_database_and_is_the_servers_alone(
    owner: Caller, stranger: Caller, settings: LazySettings
) -> None:
    first, _ = a_report(owner)
    second, _ = a_report(owner)
    other, _ = a_report(stranger)

    folder = settings.DATA_DIR / "keys"
    assert first.certificate_sha256 == second.certificate_sha256 != other.certificate_sha256
    assert folder.stat().st_mode & 0o777 == 0o700
    files = sorted(folder.iterdir())
    assert len(files) == 2
    assert {file.stat().st_mode & 0o777 for file in files} == {0o600}
    kept = Report.objects.values().first()
    assert "PRIVATE KEY" not in json.dumps(kept, default=str)


def own_certificate(*, valid_days: int = 30, signing: bool = True) -> bytes:
    key = rsa.generate_private_key(65537, 2048)
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "A certificate of the yard's own")])
    start = datetime.now(UTC) - timedelta(days=60)
    others = "content_commitment data_encipherment key_agreement key_cert_sign crl_sign"
    usage = dict.fromkeys([*others.split(), "encipher_only", "decipher_only"], False)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(7)
        .not_valid_before(start)
        .not_valid_after(start + timedelta(days=60 + valid_days))
        .add_extension(
            x509.KeyUsage(digital_signature=signing, key_encipherment=not signing, **usage), True
        )
        .sign(key, hashes.SHA256())
    )
    sealed = serialization.BestAvailableEncryption(P12_WORDS.encode())
    return pkcs12.serialize_key_and_certificates(b"own", key, certificate, None, sealed)


def test_an_own_certificate_signs_from_then_on(
    owner: Caller, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, _ = a_report(owner)
    file = tmp_path / "own.p12"
    file.write_bytes(own_certificate())
    monkeypatch.setattr("getpass.getpass", lambda _prompt: P12_WORDS)

    call_command("signing_key", "Kiln yard", pkcs12=file)
    after, pdf = a_report(owner)

    assert after.certificate_sha256 != before.certificate_sha256
    told = signatures_by_pdfsig(pdf, tmp_path)
    assert "Signature Validation: Signature is Valid." in told
    assert "Signer Certificate Common Name: A certificate of the yard's own" in told


def test_a_certificate_out_of_date_signs_no_more_and_staff_is_told(
    owner: Caller, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    organisation = owner.member.organisation
    a_report(owner)  # with the key made for it
    own = take_own_key(organisation, own_certificate(), P12_WORDS)
    assert issued_answer(owner)["signing"] is None
    past = own.certificate.not_valid_after_utc + timedelta(seconds=1)
    monkeypatch.setattr("inspect_app.reports.keys.datetime", clock_at(past))

    answer = issued_answer(owner)

    report = Report.objects.get(public_id=answer["id"])
    assert report.certificate_sha256 != own.fingerprint
    assert report.certificate_sha256 == key_of(organisation).fingerprint
    assert "is out of date" in answer["signing"]
    assert "reports are now signed with a key made on this server" in answer["signing"]
    pdf = b"".join(owner.get(answer["pdf"]).streaming_content)
    assert "Signature Validation: Signature is Valid." in signatures_by_pdfsig(pdf, tmp_path)


def issued_answer(owner: Caller) -> Any:
    """What the API says of a report of an inspection just made."""
    walk = inspection_change()
    owner.sync(walk)
    return owner.post(f"/api/inspections/{walk['body']['id']}/reports").json()


def clock_at(moment: datetime) -> type[datetime]:
    class Clock(datetime):
        @classmethod
        def now(cls, tz: Any = None) -> Any:
            return moment.astimezone(tz)

    return Clock


def test_a_key_that_cannot_sign_is_refused_in_one_sentence_and_the_old_one_stays(
    owner: Caller,
) -> None:
    organisation = owner.member.organisation
    kept = key_of(organisation)
    wrong = {
        "passphrase": (own_certificate(), "shut"),
        "no PKCS#12": (b"nonsense", P12_WORDS),
        "not valid today": (own_certificate(valid_days=-1), P12_WORDS),
        "not meant for signing": (own_certificate(signing=False), P12_WORDS),
    }
    for sentence, (file, passphrase) in wrong.items():
        with pytest.raises(KeyRefused, match=sentence):
            take_own_key(organisation, file, passphrase)
    assert key_of(organisation) == kept


def test_the_command_names_what_it_does_not_know(db: None) -> None:
    with pytest.raises(CommandError, match="no organisation"):
        call_command("signing_key", "Nobody's yard")
