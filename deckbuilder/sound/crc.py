"""CRC-16 as information frames of MP3 files have it ("Mp3 Info Tag" specification, revision 1, from memory)."""

from typing import Final


def crc16(data: bytes) -> int:
    """CRC-16 with polynomial 0x8005, bits reflected, from 0.

    Args:
        data: what comes before the CRC.
    """
    crc = 0
    for byte in data:
        crc = crc >> 8 ^ _OF_BYTES[crc & 0xFF ^ byte]
    return crc


def _of_byte(byte: int) -> int:
    for _ in range(8):
        byte = byte >> 1 ^ (0xA001 if byte & 1 else 0)
    return byte


_OF_BYTES: Final = tuple(_of_byte(byte) for byte in range(256))
