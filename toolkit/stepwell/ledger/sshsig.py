"""OpenSSH signatures with Ed25519 keys, made and verified without calling ssh-keygen.

The armoured form is that of ``ssh-keygen -Y sign``, so either side can verify what the other signed. Layout of the
signed data and of the blob: PROTOCOL.sshsig of OpenSSH; the signature itself: RFC 8032.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import struct

from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    PublicFormat,
    load_ssh_private_key,
    load_ssh_public_key,
)

NAMESPACE = "stepwell-ledger"
"""Keeps a signature made here from being taken for one on a letter or on a commit, and the reverse."""

_MAGIC = b"SSHSIG"
_HASH = b"sha512"
_BEGIN, _END = "-----BEGIN SSH SIGNATURE-----", "-----END SSH SIGNATURE-----"


class KeyProblemError(ValueError):
    """A key that can't be used, with the reason in words."""


def sign(message: bytes, private_key: bytes, password: bytes | None = None) -> str:
    """Sign a message; ``private_key`` is the text of an OpenSSH private key file. Raises KeyProblemError."""
    try:
        key = load_ssh_private_key(private_key, password)
    except (ValueError, TypeError, UnsupportedAlgorithm) as error:
        raise KeyProblemError(f"the private key can't be opened ({error})") from error
    if not isinstance(key, Ed25519PrivateKey):
        raise KeyProblemError("the private key is not an Ed25519 key; make one with `ssh-keygen -t ed25519`")
    public = _wire(key.public_key())
    signature = _string(b"ssh-ed25519") + _string(key.sign(_signed_data(message)))
    blob = b"".join(
        (_MAGIC, struct.pack(">I", 1), _string(public), _string(NAMESPACE.encode()), _string(b""), _string(_HASH))
    ) + _string(signature)
    text = base64.b64encode(blob).decode()
    lines = [text[at : at + 70] for at in range(0, len(text), 70)]
    return "\n".join((_BEGIN, *lines, _END)) + "\n"


def verifies(message: bytes, armoured: str, public_key: str) -> bool:
    """True if ``armoured`` is a signature on the message, in this namespace, by the key of this public key line."""
    try:
        wanted = load_ssh_public_key(public_key.strip().encode())
        key, namespace, hashing, signature = _opened(armoured)
    except (ValueError, UnsupportedAlgorithm, binascii.Error, struct.error):
        return False
    if not isinstance(wanted, Ed25519PublicKey) or key != _wire(wanted) or namespace != NAMESPACE.encode():
        return False
    if hashing not in (b"sha512", b"sha256"):
        return False
    try:
        wanted.verify(signature, _signed_data(message, hashing))
    except InvalidSignature:
        return False
    return True


def public_line(private_key: bytes, password: bytes | None = None) -> str:
    """The public key line that belongs to a private key file. Raises KeyProblemError."""
    try:
        key = load_ssh_private_key(private_key, password)
    except (ValueError, TypeError, UnsupportedAlgorithm) as error:
        raise KeyProblemError(f"the private key can't be opened ({error})") from error
    return key.public_key().public_bytes(Encoding.OpenSSH, PublicFormat.OpenSSH).decode()


def is_ed25519_line(line: str) -> bool:
    """True if the text is an OpenSSH public key line for Ed25519."""
    try:
        return isinstance(load_ssh_public_key(line.strip().encode()), Ed25519PublicKey)
    except (ValueError, UnsupportedAlgorithm):
        return False


def _signed_data(message: bytes, hashing: bytes = _HASH) -> bytes:
    hashed = hashlib.new(hashing.decode(), message).digest()
    return _MAGIC + _string(NAMESPACE.encode()) + _string(b"") + _string(hashing) + _string(hashed)


def _wire(key: Ed25519PublicKey) -> bytes:
    return _string(b"ssh-ed25519") + _string(key.public_bytes(Encoding.Raw, PublicFormat.Raw))


def _string(data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + data


def _opened(armoured: str) -> tuple[bytes, bytes, bytes, bytes]:
    """Public key, namespace, hash and raw signature of an armoured signature. Raises ValueError or struct.error."""
    lines = armoured.strip().splitlines()
    if len(lines) < 3 or lines[0] != _BEGIN or lines[-1] != _END:
        raise ValueError("no signature")
    blob = base64.b64decode("".join(lines[1:-1]), validate=True)
    if blob[:6] != _MAGIC or blob[6:10] != struct.pack(">I", 1):
        raise ValueError("not a signature of version 1")
    rest = blob[10:]
    fields = []
    for _ in range(5):
        field, rest = _taken(rest)
        fields.append(field)
    public, namespace, _, hashing, signature = fields
    kind, inner = _taken(signature)
    raw, after = _taken(inner)
    if rest or after or kind != b"ssh-ed25519":
        raise ValueError("not an Ed25519 signature")
    return public, namespace, hashing, raw


def _taken(data: bytes) -> tuple[bytes, bytes]:
    (size,) = struct.unpack(">I", data[:4])
    if size > len(data) - 4:
        raise ValueError("cut short")
    return data[4 : 4 + size], data[4 + size :]
