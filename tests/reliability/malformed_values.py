"""Nasty values, headers, files and bodies for requests, drawn from one seeded source of chance."""

from __future__ import annotations

import json
from io import BytesIO
from random import Random
from typing import Final
from urllib.parse import quote_from_bytes

from PIL import Image

NUMBERS: Final = (
    *(
        "0",
        "1",
        "2",
        "7",
        "-1",
        "+1",
        "1.0",
        "1,5",
        "²",
        "٣",
        "１",
        "½",
        "1 15/16",
        "1/0",
        "0x10",
        "1_000",
        "1e5",
    ),
    *("1e400", "-1e400", "nan", "inf", "-0.0", "1e-400", "9" * 19, "9" * 30, "9" * 5000, "1." + "0" * 400),
    *(str(2**31 - 1), str(2**31), str(2**63 - 1), str(2**63), str(-(2**63) - 1), "00000000000000000000001"),
)
TEXTS: Final = (
    *(
        "",
        " ",
        "\t",
        "\r\n",
        "x",
        "x" * 65,
        "x" * 201,
        "x" * 1001,
        "x" * 20_001,
        "\x00",
        "a\x00b",
        "\x1b[31m",
    ),
    *(
        "\ud800",
        "a\udfffb",
        "\ufffe",
        "\u202e\u2066",
        "😀" * 60,
        "é" * 130,
        "ß" * 200,
        "İ" * 90,
        "\u0301" * 300,
    ),
    *(
        "'",
        '"',
        "'; --",
        "<script>alert(1)</script>",
        "</textarea>",
        "%",
        "%s%n",
        "%00",
        "{0}",
        "{name}",
        "{{x}}",
    ),
    *(
        "../../x",
        "/",
        "\\",
        ":",
        "::",
        "a:b:c:d",
        "-",
        "--",
        ",",
        ";",
        "=1+1",
        "@x",
        "*",
        "(",
        "[",
        "\\u0000",
    ),
    *(
        "null",
        "None",
        "true",
        "[]",
        "{}",
        '{"a": 1}',
        "[" * 3000,
        '{"maker": [1]}',
        "http://[",
        "//x/",
        "javascript:1",
    ),
)
DAYS: Final = (
    *("2026-11-30", "2026-02-30", "0000-00-00", "0001-01-01", "9999-12-31", "10000-01-01", "30.11.2026"),
    *("2026-11-30T25:61", "²026-11-30", "-1-1-1", "20261130"),
)
ACTS: Final = (
    *(
        "turn:b1",
        "place:b1:²",
        "place:b1:" + "9" * 30,
        "up:",
        "down:zz",
        "remove:b1",
        "undo:",
        "describe:note",
    ),
    *(
        "accept:x:y:z",
        "absent:spacer",
        "present:²",
        "sign",
        "specify",
        "approve",
        "list",
        "change:²",
        "change:1",
    ),
    *(
        "use",
        "send",
        "back:1",
        "take_back:" + str(2**63),
        "issue",
        "link",
        "revoke",
        "withdraw",
        "add",
        "move",
    ),
    *(
        "motor:1",
        "motor:²",
        "customer:1",
        "customer:" + "9" * 40,
        "new",
        "keep",
        "more",
        "start",
        "skip",
        "repeat",
    ),
)
ALL: Final = (NUMBERS, NUMBERS, TEXTS, TEXTS, DAYS, ACTS)
# Fields that views look for although no page that was opened shows them.
NAMES: Final = (
    *(
        "do",
        "version",
        "form_key",
        "step",
        "q",
        "page",
        "record",
        "newer",
        "older",
        "customer",
        "motor",
        "next",
    ),
    *(
        "accept",
        "meant_for",
        "rating",
        "onto",
        "square",
        "x",
        "y",
        "item_uid",
        "label",
        "after",
        "seat",
        "link",
    ),
    *(
        "reason",
        "note",
        "done",
        "remove",
        "uid",
        "face",
        "name",
        "source",
        "target",
        "digest",
        "kept",
        "stage",
    ),
    *(
        "after",
        "from",
        "at",
        "sort",
        "unit",
        "value",
        "quantity",
        "days",
        "work",
        "kind",
        "number",
        "code",
        "pin",
    ),
)
TYPES: Final = (
    *("application/json", "text/plain", "", ";", "multipart/form-data", "multipart/form-data; boundary="),
    *(
        "multipart/form-data; boundary=" + "b" * 300,
        'multipart/form-data; boundary="é"',
        "multipart/mixed; boundary=x",
    ),
    *("application/x-www-form-urlencoded; charset=utf-16", "application/x-www-form-urlencoded; charset=hex"),
    *(
        "application/x-www-form-urlencoded; charset=utf8",
        "application/x-www-form-urlencoded; charset=nothing",
    ),
    *("multipart/form-data; boundary=x; charset=utf-7", "APPLICATION/X-WWW-FORM-URLENCODED", "a/b; c*=d'e'f"),
)
HEADERS: Final[dict[str, tuple[str, ...]]] = {
    "HX-Request": ("true", "false", "²", "\x00"),
    "HX-Boosted": ("true", ""),
    "HX-Target": ("x", "x" * 3000, "a\x00b"),
    "HX-Trigger": ("{", "[" * 500, "x"),
    "HX-Trigger-Name": ("\ud800".encode("utf-8", "replace").decode(), "é"),
    "HX-Current-URL": ("http://[", "http://testserver/office/", "//", "%00", "javascript:1"),
    "HX-Current-URL-URI-AutoEncoded": ("true", "²"),
    "HX-History-Restore-Request": ("true", "maybe"),
    "HX-Prompt": ("x", "\x00"),
    "X-Outbox": ("later", "at-once", "", "²"),
    "X-Outbox-Person": ("1", "²", "9" * 5000, ""),
    "X-Made-At": (
        "2026-11-30T10:00:00+00:00",
        "0001-01-01T00:00:00+23:59",
        "9999-12-31T23:59:59-23:59",
        "x" * 500,
    ),
    "X-Forwarded-For": ("1.2.3.4", "::1", "x" * 2000, "1.2.3.4, é", ",,,", "999.999.999.999"),
    "X-Forwarded-Proto": ("https", "gopher", ","),
    "X-Forwarded-Host": ("evil.invalid", "[::1", "a b"),
    "Host": ("testserver", "[", "a_b", "testserver:99999999", "localhost:²", ""),
    "Range": ("bytes=0-1", "bytes=99999999999-", "bytes=-", "bytes=²-", "lines=1-2", "bytes=0-1,5-9"),
    "If-Modified-Since": ("Mon, 30 Nov 2026 10:00:00 GMT", "Mon, 99 Foo 99999 99:99:99 GMT", "x", "0"),
    "If-None-Match": ("*", '"x"', "W/", '"' * 99),
    "If-Range": ("x", '"x"'),
    "Accept": ("application/json", "*/*;q=²", ",", "text/html;q=99999"),
    "Accept-Language": ("en", "xx-²", "a" * 1000, "*;q=nan", "en_US.utf8", "../../x"),
    "Accept-Encoding": ("gzip", "gzip;q=²", "br, *;q=0"),
    "Cookie": (
        "sessionid",
        'sessionid="\\000\\000\\000\\000\\000\\000\\000\\000"',
        "csrftoken=²; messages=x",
        "device=é",
    ),
    "Referer": ("http://[", "http://testserver/", "é"),
    "Origin": ("null", "http://[", "https://testserver"),
    "Sec-Fetch-Mode": ("cors", "navigate", ""),
    "User-Agent": ("x" * 5000, "\x00", ""),
    "SCRIPT_NAME": ("/evil", "é"),
}


def one_of_any(chance: Random, ids: tuple[str, ...]) -> str:
    """Return a nasty value, or the key of a row where another kind of value belongs."""
    return chance.choice(chance.choice((*ALL, ids)))


def encoded(pairs: list[tuple[str, str]]) -> bytes:
    """Return a form as a hand that ignores every rule of texts would send it."""

    def part(text: str) -> str:
        return quote_from_bytes(text.encode("utf-8", "surrogatepass"))

    return "&".join(f"{part(name)}={part(value)}" for name, value in pairs).encode()


def multipart(pairs: list[tuple[str, str]], files: list[tuple[str, str, bytes]], edge: str) -> bytes:
    """Return a form with files; names and values are written as they are."""
    out = BytesIO()
    for name, value in pairs:
        head = f'--{edge}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'
        out.write(head.encode("utf-8", "surrogatepass"))
    for name, file_name, content in files:
        head = f'--{edge}\r\nContent-Disposition: form-data; name="{name}"; filename="{file_name}"\r\n'
        out.write(
            f"{head}Content-Type: image/jpeg\r\n\r\n".encode("utf-8", "surrogatepass") + content + b"\r\n"
        )
    out.write(f"--{edge}--\r\n".encode())
    return out.getvalue()


def picture(form: str = "JPEG", size: tuple[int, int] = (40, 30)) -> bytes:
    out = BytesIO()
    Image.new("RGB", size, (10, 90, 120)).save(out, form)
    return out.getvalue()


def _png_that_lies() -> bytes:
    whole = bytearray(picture("PNG"))
    whole[16:24] = b"\x00\x00\xff\xff\x00\x00\xff\xff"
    return bytes(whole)


_STACK: Final = (
    b'{"stack_file": 1, "note": "\\ud800\\u0000", "items": [{"kind": "bearing", "bore_mm": 1e999}, [], null]}'
)
_RATINGS: Final = b"designation,type,bore_mm,contact_angle_deg\r,,mm,deg\r7320,angular_contact_ball,100,40\r"
FILES: Final[tuple[bytes, ...]] = (
    *(
        b"",
        b"x",
        b"\x00" * 2000,
        b"\xff\xd8\xff\xe0" + b"\x00" * 50,
        picture(),
        picture()[:400],
        picture("PNG")[:60],
    ),
    *(
        picture("WEBP"),
        picture("WEBP")[:30],
        _png_that_lies(),
        b"GIF89a\x01\x00\x01\x00",
        b"<svg/>",
        b"%PDF-1.4",
    ),
    *(
        b"\x00\x00\x00\x20ftypheic\x00\x00\x00\x00heicmif1" + b"\x00" * 64,
        b"II*\x00\xff\xff\xff\xff",
        b"BM" + b"\xff" * 60,
    ),
    *(
        _RATINGS,
        _RATINGS.replace(b"\r", b"\n"),
        _RATINGS.replace(b"7320", b"73\x0020"),
        _RATINGS.decode().encode("utf-16"),
    ),
    *(
        _RATINGS.replace(b"100", b"9" * 5000),
        _RATINGS.replace(b"7320", b'"7320'),
        b'"' * 70_000,
        b"," * 140_000,
    ),
    *(b"\xef\xbb\xbf" + _RATINGS, _RATINGS.replace(b"mm", "²".encode()), b"designation\n" * 9, b"\r" * 500),
    *(
        _STACK,
        b"[" * 60_000,
        b"{" * 600,
        json.dumps({"a": "x" * 9000}).encode(),
        b'{"a":' + b"9" * 6000 + b"}",
        b"\xff\xfe{",
    ),
)
FILE_NAMES: Final = (
    "a.jpg",
    "",
    ".",
    "..",
    "x" * 400 + ".jpg",
    "a\x00b.jpg",
    "é²\ud800.csv",
    "../../x.json",
    "con",
    "a;b=c",
)
