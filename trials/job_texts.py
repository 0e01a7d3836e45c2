"""Texts of job files that are spoilt in every way that people and programs spoil them."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

from mouldgen.job import keys
from mouldgen.job.presets import names
from mouldgen.job.written import Written, written

ROOT = Path(__file__).parent.parent
ODD = (  # what a key is given by those who do not know what it takes
    "", "nan", "-nan", "inf", "-inf", "0", "-0.0", "1e308", "-1e308", "1e-320", "5e-324", "1e400",
    "9" * 400, "9" * 5000, "true", "false", "[]", "[[]]", "[[[]]]", "{}", "{a = 1}", "[1, 2, 3]",
    '""', '" "', '"\\u0000"', '"\\uFFFF"', "'1-1/8\"'", "'7/8\"'", '"½ in"', '"1½ in"', '"1/0 in"',
    '"0/1 in"', '"-1/2 in"', '"٣ mm"', '"\\uff12\\uff12 mm"', '"22\\u00a0mm"', '"22 m\\u0301m"',
    '"1e400 mm"',
    '"1e-400 mm"', '"nan mm"', '"inf mm"', '"22,5 mm"', '"22 mm 3"', '"0x16 mm"', '"1_0 mm"',
    '"1e5 mm"', '"999 km"', '"auto"', '"none"', '"None"', "1979-05-27", "1979-05-27T07:32:00Z",
    "07:32:00", "0001-01-01", "9999-12-31", '"../../etc/passwd"', '"/dev/zero"', '"~nobody/x.stl"',
    '"C:\\\\x.stl"', '"con"', '"\\u202e22 mm"', '"\\u001b[31m"', "'''\n'''", '"""\n\n"""', "0b1",
    "0o7", "0xFF", "1_000", "+1", ".5", "5.", "'", '"',
)  # fmt: skip
UNITS = (
    "mm", "cm", "m", "in", '\\"', "ft", "s", "min", "h", "d", "C", "F", "N", "lbf", "psi", "bar",
    "kPa", "MPa", "g", "kg", "lb", "oz", "weight oz", "g/ml", "kg/m3", "Pa s", "mPa s", "cP", "deg",
    "ml", "l", "US fl oz", "imp fl oz", "in3", "mm3/s", "ml/min", "per kg", "kg for 42", "%", "",
)  # fmt: skip
LIKELY = {  # a size that a shop has, in the unit inside
    "mm": 20.0, "s": 900.0, "C": 21.0, "N": 20.0, "kPa": 300.0, "g": 100.0, "g/ml": 1.0,
    "Pa s": 0.5, "ml": 30.0, "deg": 1.0, "mm3/s": 5.0,
}  # fmt: skip
BYTES = (
    b"\0", b"\xff", b"\xef\xbb\xbf", b"\r", b"\r\n", b"\n", b"\xed\xa0\x80", b"\xe2\x80\xae",
    b"\xe2\x80\xa8", b'"', b"'", b'"""', b"[", b"]", b"[[", b"]]", b"{", b"}", b"=", b"#", b".",
    b",", b"\\", b"\\u", b"-", b"_", b"e9", b"0", b"\xc3", b"\xf0\x9f\xaa\xb5",
)  # fmt: skip
LINE = re.compile(r"^([ \t]*)([\w.-]+)([ \t]*=[ \t]*)(.*?)([ \t]*#.*)?$")
WORD = re.compile(r'\s+|[\w.]+|"[^"\n]*"|[^\w\s]')

Spoil = Callable[[random.Random, str], str]


@cache
def _shipped() -> tuple[str, ...]:
    """Jobs as they are written; one with a scan, which takes as long to read as 30 others."""
    folder = ROOT / "presets" / "jobs"
    told = [(folder / f"{name}.toml").read_text() for name in names("jobs")]
    plain = [text for text in told if 'shape = "scan"' not in text]
    return (*plain, (ROOT / "tests" / "bare_job.toml").read_text())


@cache
def _scanned() -> str:
    return (ROOT / "presets" / "jobs" / "burl-knobs.toml").read_text()


def started(rng: random.Random) -> str:
    """A job as somebody may have written it.

    rng : draws it.
    """
    kind = rng.random()
    if kind < 0.01:
        return _scanned()
    if kind < 0.75:
        return rng.choice(_shipped())
    return _grown(rng, rng.choice(_shipped()))


def _grown(rng: random.Random, text: str) -> str:
    """A job with more keys of the format, of values that mostly fit."""
    for _ in range(rng.randint(1, 8)):
        text = _more(rng, text)
    return text


def spoilt(rng: random.Random, text: str) -> bytes:
    """The same, spoilt up to six times.

    rng : draws how.
    text : as it was.
    """
    if rng.random() < 0.002:
        return _endless(rng, text).encode()
    for _ in range(rng.choice((0, 0, 1, 1, 1, 2, 3, 6))):
        text = rng.choices(_SPOILS, _WEIGHTS)[0](rng, text)
    content = text.encode("utf-8", "surrogatepass")
    return _bytes(rng, content) if rng.random() < 0.15 else content


# ---------------------------------------------------------------------------- ways to spoil it


def _bytes(rng: random.Random, content: bytes) -> bytes:
    for _ in range(rng.choice((1, 1, 2, 5))):
        at, to = sorted(rng.randint(0, len(content)) for _ in range(2))
        to = min(to, at + rng.choice((1, 1, 1, 20)))
        put = rng.choice((b"", rng.choice(BYTES), rng.randbytes(2), content[at:to] * 2))
        content = content[:at] + put + content[to:]
    return content[: rng.randint(0, len(content))] if rng.random() < 0.1 else content


def _words(rng: random.Random, text: str) -> str:
    words = WORD.findall(text)
    if not words:
        return text
    at, other = rng.randrange(len(words)), rng.randrange(len(words))
    donor = WORD.findall(rng.choice(_shipped()))
    way = rng.randrange(4)
    if way == 0:
        words[at], words[other] = words[other], words[at]
    elif way == 1:
        words[at] = rng.choice(donor)
    elif way == 2:
        del words[at]
    else:
        words.insert(at, words[other])
    return "".join(words)


def _keys(rng: random.Random, text: str) -> str:
    """Another name for a key: mistyped, of another table, or any."""
    lines, at = _a_line(rng, text)
    found = LINE.match(lines[at])
    if found is None:
        return text
    name = found[2]
    table = rng.choice(list(keys.TABLES))
    cut = rng.randrange(len(name))
    other = rng.choice(
        (
            name[:cut] + name[cut + 1 :],
            name[:cut] + rng.choice("aeioxyz_-") + name[cut:],
            name.upper(),
            f"{name}.{name}",
            f'"{name}"',
            rng.choice(list(keys.fields(table))),
            f"{table}.{name}",
        )
    )
    lines[at] = f"{found[1]}{other}{found[3]}{found[4]}"
    return "\n".join(lines)


def _values(rng: random.Random, text: str) -> str:
    lines, at = _a_line(rng, text)
    found = LINE.match(lines[at])
    if found is None:
        return text
    table = _table_of(lines, at)
    known = table in keys.TABLES and found[2] in keys.fields(table)
    if known and rng.random() < 0.7:
        value = _fitting(rng, written(table, found[2]))
    else:
        value = _any_value(rng)
    lines[at] = f"{found[1]}{found[2]}{found[3]}{value}"
    return "\n".join(lines)


def _drop(rng: random.Random, text: str) -> str:
    lines, at = _a_line(rng, text)
    del lines[at]
    return "\n".join(lines)


def _more(rng: random.Random, text: str) -> str:
    """One more key, in its table or in a table of its own."""
    table = rng.choice([name for name in keys.TABLES if name != "colour"])
    key = rng.choice(list(keys.fields(table)))
    value = _fitting(rng, written(table, key)) if rng.random() < 0.9 else _any_value(rng)
    lines = text.split("\n")
    head = f"[{table}]"
    if head in lines:
        lines.insert(lines.index(head) + 1, f"{key} = {value}")
    else:
        lines += [head, f"{key} = {value}"]
    return "\n".join(lines)


def _tables(rng: random.Random, text: str) -> str:
    """A table of another job in the place of this one's, once more, or none."""
    mine, theirs = _cut(text), _cut(rng.choice(_shipped()))
    other = rng.choice(theirs)
    way = rng.randrange(4)
    if way == 0:
        mine = [part for part in mine if _head(part) != _head(other)] + [other]
    elif way == 1:
        mine.insert(rng.randint(1, len(mine)), other)
    elif way == 2:
        del mine[rng.randrange(len(mine))]
    else:
        rng.shuffle(mine)
    return "\n".join(mine)


def _endless(rng: random.Random, text: str) -> str:
    """A list, a key or a text that goes on, up to what a file may be large."""
    count = round(10 ** rng.uniform(1.5, 5.0))
    return rng.choice(_ENDLESS)(text, count)


def _pairs(count: int) -> str:
    return ", ".join(f'["{50.0 * n / count:.4f} mm", "{9 + n % 3} mm"]' for n in range(count + 1))


def _many_members(text: str, count: int) -> str:
    one = '[[insert.member]]\nshape = "rod"\ndiameter = "0.2 mm"\nat = ["{} mm", "{} mm"]\n'
    told = _with_key(text, "insert", 'shape = "bundle"')
    return f"{told}\n{''.join(one.format(n % 99, n // 99) for n in range(count // 5))}"


def _many_colours(text: str, count: int) -> str:
    each = (f'[[colour]]\nname = "c{n}"\nshare = {1 / count}' for n in range(count))
    return "\n".join((text, *each))


def _many_dots(text: str, count: int) -> str:
    return "\n".join((text, *(f"{'ab.' * 19}x{n} = 1" for n in range(min(count, 10_000)))))


_ENDLESS: tuple[Callable[[str, int], str], ...] = (
    lambda text, n: _with_key(text, "insert", "measured = [" + '"22 mm", ' * n + "]"),
    lambda text, n: _with_key(text, "insert", f'shape = "outline"\nprofile = [{_pairs(n)}]'),
    lambda text, n: _with_key(text, "piece", f"outline = [{_pairs(n)}]"),
    lambda text, n: _with_key(text, "printer", "keep_out = [" + "[1, 1, 1, 1], " * n + "]"),
    _many_members,
    _many_colours,
    _many_dots,
    lambda text, n: f"{text}\n{'a.' * n}x = 1",
    lambda text, n: f"{text}\nx = {'[' * n}{']' * n}",
    lambda text, n: re.sub(r'"[^"\n]*"', '"' + "k" * n + '"', text, count=1 + n % 12),
    lambda text, n: f"{text}\n" + "\n".join(f"key{k} = 1" for k in range(n)),
    lambda text, n: f"{text}\n[{'k' * n}]\n{'k' * n} = 1",
)


def _with_key(text: str, table: str, line: str) -> str:
    """A table whose keys of the same names are gone, with a line of its own."""
    named = [part.split(" = ")[0] for part in line.split("\n")]
    parts = _cut(text)
    kept = [
        "\n".join(
            one
            for one in part.split("\n")
            if _head(part) != f"[{table}]" or one.split(" = ")[0] not in named
        )
        for part in parts
    ]
    return "\n".join(kept).replace(f"[{table}]\n", f"[{table}]\n{line}\n", 1)


_SPOILS: tuple[Spoil, ...] = (_words, _keys, _values, _drop, _more, _tables)
_WEIGHTS = (2, 3, 8, 1, 4, 2)


def _a_line(rng: random.Random, text: str) -> tuple[list[str], int]:
    """All lines, and one that gives a key where there is any."""
    lines = text.split("\n")
    some = [at for at, line in enumerate(lines) if LINE.match(line)]
    return lines, rng.choice(some) if some else rng.randrange(len(lines))


def _table_of(lines: list[str], at: int) -> str:
    heads = [line.strip() for line in lines[:at] if line.strip().startswith("[")]
    return heads[-1].strip("[]") if heads else ""


def _cut(text: str) -> list[str]:
    """What is before the first table, and each table."""
    return re.split(r"\n(?=\[)", text)


def _head(part: str) -> str:
    return part.split("\n", 1)[0].strip()


# -------------------------------------------------------------------------------------- values


def _any_value(rng: random.Random) -> str:
    way = rng.randrange(4)
    if way == 0:
        return rng.choice(ODD)
    if way == 1:
        return repr(_wide(rng))
    if way == 2:
        return f'"{_figure(rng)} {rng.choice(UNITS)}"'
    return json.dumps(
        "".join(
            chr(rng.choice((32, 97, 0x661, 0x1F4A9, rng.randrange(0xD800))))
            for _ in range(rng.randrange(9))
        )
    )


def _fitting(rng: random.Random, kind: Written) -> str:
    """A value of the kind that a key takes; its size a shop's, or any."""
    if kind.choices and (kind.kind == "choice" or rng.random() < 0.3):
        return f'"{rng.choice(kind.choices)}"'
    if kind.kind == "list":
        count = kind.size or rng.choice((0, 1, 2, 3, 5))
        items = [kind.items[n % len(kind.items)] for n in range(count)]
        return f"[{', '.join(_fitting(rng, item) for item in items)}]"
    if kind.kind == "quantity":
        size = LIKELY.get(kind.unit, 10.0) * _factor(rng)
        return f'"{size:.6g} {kind.unit or rng.choice(UNITS)}"'
    plain: dict[str, Callable[[], str]] = {
        "count": lambda: str(rng.choice((0, 1, 2, 3, 5, 12, 50, 10_000, -1, 2**70))),
        "number": lambda: f"{_factor(rng):.6g}",
        "share": lambda: f"{rng.choice((rng.random(), 0.0, 1.0, 1e-9, 1 - 1e-12)):.12g}",
        "yes-no": lambda: rng.choice(("true", "false")),
        "date": lambda: f"{rng.choice((1, 1999, 2026, 9999)):04}-{rng.randint(1, 12):02}-28",
        "text": lambda: rng.choice(('"white ash"', '"m8"', '"petg"', '"burl-knob.stl"', '"x"')),
    }
    return plain[kind.kind]()


def _factor(rng: random.Random) -> float:
    """Mostly within a few times, now and then within any."""
    return float(10.0 ** (rng.gauss(0.0, 0.4) if rng.random() < 0.8 else rng.uniform(-12.0, 12.0)))


def _wide(rng: random.Random) -> float:
    return float(rng.choice((1, 1, -1)) * 10.0 ** rng.uniform(-300.0, 300.0))


def _figure(rng: random.Random) -> str:
    return rng.choice(
        (
            f"{_factor(rng):.6g}",
            f"{rng.randint(0, 40)} {rng.randint(0, 70)}/{rng.choice((0, 2, 8, 16, 64, 7))}",
            f"{rng.randint(0, 40)}-{rng.randint(0, 9)}/{rng.randint(0, 64)}",
            f"{rng.randint(0, 99)}½",
            f"-{_factor(rng):.3g}",
            f"{_wide(rng):g}",
        )
    )


def setting(rng: random.Random) -> str:
    """``table.key=words`` as it is typed after ``--set``."""
    table = rng.choice(list(keys.TABLES))
    key = rng.choice(list(keys.fields(table)))
    way = rng.random()
    if way < 0.65:
        return f"{table}.{key}={_fitting(rng, written(table, key))}"
    if way < 0.8:  # the shell has taken the quotes away
        return f"{table}.{key}={_fitting(rng, written(table, key))}".replace('"', "")
    if way < 0.95:
        return f"{table}.{key}={_any_value(rng)}"
    return rng.choice(
        (
            table,
            f"{table}.=1",
            "=",
            "..",
            f"{table}.{key}.x=1",
            f"{key}=1",
            "name=x",
            "\udcff=\udcff",
        )
    )
