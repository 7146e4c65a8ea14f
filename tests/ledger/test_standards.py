"""The canonical form against RFC 8785, the signatures against RFC 8032 and against ssh-keygen."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest
import rfc8785
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import example, given, settings
from hypothesis import strategies as st

from stepwell.ledger.canonical import NotCanonicalError, canonical
from stepwell.ledger.sshsig import NAMESPACE, KeyProblemError, is_ed25519_line, sign, verifies
from tests.ledger.people import KEYS, LINES

# RFC 8785, section 3.2.2 (input) and 3.2.3 (output).
RFC_8785_INPUT = r"""{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"""
RFC_8785_OUTPUT = (
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
    '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
)
# RFC 8785, section 3.2.3: sorting by UTF-16 code units.
RFC_8785_KEYS = r'{"\u20ac":"Euro Sign","\r":"Carriage Return","\ufb33":"Hebrew Letter Dalet With Dagesh","1":"One",'
RFC_8785_KEYS += r'"\ud83d\ude00":"Emoji: Grinning Face","\u0080":"Control","\u00f6":"Latin Small Letter O With Diaeresis"}'
RFC_8785_ORDER = [
    "Carriage Return", "One", "Control", "Latin Small Letter O With Diaeresis", "Euro Sign", "Emoji: Grinning Face",
    "Hebrew Letter Dalet With Dagesh",
]  # fmt: skip

# RFC 8032, section 7.1, tests 1 and 2: secret key, message, signature.
RFC_8032 = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
]

ssh_keygen = pytest.mark.skipif(shutil.which("ssh-keygen") is None, reason="ssh-keygen is not here")


def test_the_example_of_rfc_8785() -> None:
    assert canonical(json.loads(RFC_8785_INPUT)).decode() == RFC_8785_OUTPUT


def test_the_order_of_keys_of_rfc_8785() -> None:
    assert list(json.loads(canonical(json.loads(RFC_8785_KEYS))).values()) == RFC_8785_ORDER


ANY_TEXT = st.text(st.characters(), max_size=8)
ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**54), 2**54) | st.floats() | ANY_TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(ANY_TEXT, inner, max_size=4),
    max_leaves=12,
)


@settings(max_examples=600, deadline=None)
@given(ANY_JSON)
@example({"b": [True, 1, '\u2028\x7f\x1f\b\f\n\r\t"\\/'], "a": {"": None}, "B": -0})
@example({"\ufb33": 1, "\U0001f600": 2})
@example(2**53)
@example(2**53 - 1)
@example(-(2**53))
@example("\ud800")
@example({"a": "\udfff"})
def test_the_quick_way_gives_the_bytes_of_the_library_or_refuses_as_it_does(value: object) -> None:
    try:
        wanted: bytes | None = bytes(rfc8785.dumps(value))  # type: ignore[arg-type]
    except (rfc8785.CanonicalizationError, UnicodeEncodeError):
        wanted = None
    try:
        assert canonical(value) == wanted  # type: ignore[arg-type]
    except NotCanonicalError:
        assert wanted is None


@pytest.mark.parametrize("value", [2**53 + 1, float("nan"), float("inf"), "\ud800"], ids=["large", "nan", "inf", "half"])
def test_what_has_no_one_form_is_refused(value: float | str) -> None:
    with pytest.raises(NotCanonicalError):
        canonical(value)


@pytest.mark.parametrize(("secret", "message", "signature"), RFC_8032)
def test_the_vectors_of_rfc_8032_hold_for_the_library_in_use(secret: str, message: str, signature: str) -> None:
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    assert key.sign(bytes.fromhex(message)).hex() == signature


def test_a_signature_is_on_one_message_by_one_key() -> None:
    made = sign(b"release", KEYS["nurse"])
    assert verifies(b"release", made, LINES["nurse"])
    assert not verifies(b"releasE", made, LINES["nurse"])
    assert not verifies(b"release", made, LINES["physician"])


@pytest.mark.parametrize("text", ["", "no signature", "-----BEGIN SSH SIGNATURE-----\nAAAA\n-----END SSH SIGNATURE-----"])
def test_rubbish_is_no_signature(text: str) -> None:
    assert not verifies(b"release", text, LINES["nurse"])


def test_every_cut_of_a_signature_is_refused() -> None:
    made = sign(b"release", KEYS["nurse"])
    head, *middle, tail = made.strip().splitlines()
    body = "".join(middle)
    for size in range(0, len(body), 7):
        assert not verifies(b"release", "\n".join((head, body[:size], tail)), LINES["nurse"])


def test_a_private_key_that_is_none_is_told() -> None:
    with pytest.raises(KeyProblemError):
        sign(b"release", b"not a key")


def test_only_an_ed25519_line_is_a_key() -> None:
    assert is_ed25519_line(LINES["nurse"])
    assert not is_ed25519_line("ssh-rsa AAAAB3NzaC1yc2EAAAADAQABAAAA")
    assert not is_ed25519_line("")


@ssh_keygen
def test_ssh_keygen_verifies_what_is_signed_here_and_the_reverse(tmp_path: Path) -> None:
    key, allowed, message = tmp_path / "key", tmp_path / "allowed", tmp_path / "message"
    subprocess.run(["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", "test", "-f", key], check=True)
    line = (tmp_path / "key.pub").read_text()
    allowed.write_text(f"somebody {line}")
    message.write_bytes(b"release")
    ours = tmp_path / "ours"
    ours.write_text(sign(b"release", key.read_bytes()))
    check = ["ssh-keygen", "-Y", "verify", "-f", allowed, "-I", "somebody", "-n", NAMESPACE, "-s", ours]
    assert subprocess.run(check, input=b"release", capture_output=True, check=False).returncode == 0
    assert subprocess.run(check, input=b"other", capture_output=True, check=False).returncode != 0
    subprocess.run(["ssh-keygen", "-Y", "sign", "-f", key, "-n", NAMESPACE, message], check=True, capture_output=True)
    assert verifies(b"release", (tmp_path / "message.sig").read_text(), line)
    (tmp_path / "message.sig").unlink()
    subprocess.run(["ssh-keygen", "-Y", "sign", "-f", key, "-n", "file", message], check=True, capture_output=True)
    assert not verifies(b"release", (tmp_path / "message.sig").read_text(), line), "a signature for another purpose"
