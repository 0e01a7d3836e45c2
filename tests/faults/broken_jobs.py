"""Job files that are wrong in one way each, and what the one sentence about it must say."""

from __future__ import annotations

_GOOD = """\
format = 1
name = "coat-pegs"
[order]
pieces = 4
[insert]
shape = "rod"
diameter = "22 mm"
length = "60 mm"
wood = "white ash"
[piece]
diameter = "20 mm"
length = "50 mm"
[resin]
card = "casting-epoxy-slow"
[plastic]
card = "petg"
[printer]
card = "square-220"
"""

GOOD = _GOOD.encode()


def _with(old: str, new: str) -> bytes:
    assert _GOOD.count(old) == 1, f"{old!r} must stand once in the good job"
    return _GOOD.replace(old, new).encode()


def _and(text: str) -> bytes:
    return (_GOOD + text).encode()


def _scan_of(name: str) -> bytes:
    lines = '\nshape = "rod"\ndiameter = "22 mm"\nlength = "60 mm"\n'
    return _with(lines, f'\nshape = "scan"\nfile = "{name}"\n')


_DIAMETER = 'diameter = "22 mm"'
_FLUTE = 'shape = "flute"'
_BAR = 'shape = "bar"'
_ROD = 'shape = "rod"'
_ROUND = '[printer]\nshape = "round"\nheight = "250 mm"\n'
_CARD = '[printer]\ncard = "square-220"\n'

BROKEN: list[tuple[str, bytes, str]] = [
    # the file itself
    ("empty", b"", r"format: .*missing.*Allowed: format = 1"),
    ("latin-1", _with("coat-pegs", "caf\u00e9").decode().encode("latin-1"), r"not UTF-8.*line 2"),
    ("utf-16", _GOOD.encode("utf-16"), r"not UTF-8"),
    ("nul-bytes", b"\0" * 64, r"line 1: this is not TOML"),
    ("binary-stl", b"solid" + b"\x80" * 80, r"not UTF-8, from line 1"),
    (
        "no-equals",
        _with("pieces = 4", "pieces 4"),
        r"line 4: this is not TOML.*Allowed: lines such",
    ),
    ("open-quote", _with('"60 mm"', '"60 mm'), r"line 8: .*a quote is opened on this line"),
    ("inch-sign-in-quotes", _with('"22 mm"', '"7/8""'), r"line 7: this is not TOML.*inches"),
    ("key-twice", _with("pieces = 4", "pieces = 4\npieces = 5"), r"this is not TOML"),
    ("table-twice", _and("[order]\npieces = 3\n"), r"cannot declare \[order\] twice"),
    ("deep-brackets", b"format = " + b"[" * 50_000, r"nested too deeply|not TOML"),
    # Half a minute of reading for 40 kB, were it read.
    (
        "endless-key",
        _and("a." * 100_000 + "a = 1\n"),
        r"line 19: a key has more than 20 parts.*\[table\]",
    ),
    (
        "endless-quoted-key",
        _and("""'a' . "b".""" * 20 + "a = 1\n"),
        r"line 19: .*more than 20 parts",
    ),
    ("too-large", _GOOD.encode() + b"#" * 1_000_001, r"larger than 1 MB.*Allowed: .*1 MB"),
    ("huge-number", _with("pieces = 4", "pieces = " + "9" * 5000), r"not TOML"),
    # format and name
    ("format-newer", _with("format = 1", "format = 2"), r"this file is format 2; this mouldgen re"),
    ("format-older", _with("format = 1", "format = 0"), r"this file is format 0; .*format = 1"),
    ("format-text", _with("format = 1", 'format = "1"'), r"format: .*whole number.*format = 1"),
    ("name-missing", _with('name = "coat-pegs"', ""), r"name: .*missing.*small letters, digits"),
    ("name-dots", _with("coat-pegs", ".."), r'name: "\.\." does not fit.*small letters'),
    ("name-slash", _with("coat-pegs", "a/b"), r'name: "a/b" does not fit.*small letters'),
    ("name-climbs", _with("coat-pegs", "../../etc/pegs"), r"name: .*does not fit.*small letters"),
    ("name-reserved", _with("coat-pegs", "con"), r"name: Windows keeps the name con for itself"),
    ("name-reserved-port", _with("coat-pegs", "com1"), r"name: Windows keeps the name com1"),
    ("name-line-break", _with("coat-pegs", "pegs\\n"), r"name: .*does not fit.*small letters"),
    (
        "unit-unknown",
        _with("format = 1", 'format = 1\nunit = "furlong"'),
        r'unit: .*"mm" or|"mm", ',
    ),
    # tables and keys
    ("table-unknown", _and("[inserts]\n"), r"no table \[inserts\].*\[insert\].*mean insert\?"),
    ("key-unknown", _with("pieces", "peices"), r"\[order\] peices: .*Allowed: pieces.*mean pieces"),
    (
        "key-of-other-table",
        _and("turning = 3\n"),
        r"\[printer\] turning: .*\[piece\] has a turning",
    ),
    (
        "key-outside",
        _with("format = 1", "format = 1\npieces = 3"),
        r"no key pieces outside.*\[order",
    ),
    (
        "python-name",
        _with("pieces = 4", "pieces = 4\nyield_ = 0.9"),
        r"\[order\] yield_: .*yield\?",
    ),
    (
        "key-with-break",
        _with("pieces = 4", '"a\\nb" = 4'),
        r"\[order\] a b: there is no key a b in",
    ),
    ("table-with-escape", _and('["\\u001b[31m"]\n'), r"there is no table \[\[31m\]"),
    ("text-with-break", _with('"22 mm"', '"22\\nx"'), r'diameter: "22 x" has the unit x'),
    ("table-missing", _with("[piece]", "[pour]"), r"\[pour\] diameter: there is no key"),
    (
        "no-resin",
        _with('[resin]\ncard = "casting-epoxy-slow"\n', ""),
        r"\[resin\] is missing.*card",
    ),
    ("table-as-value", b"format = 1\norder = 3\n", r"order is not a table.*\[order\]"),
    ("table-as-list", _with("[order]", "[[order]]"), r"order is not a table"),
    (
        "colour-as-table",
        _and('[colour]\nname = "smoke"\n'),
        r"colour is not a list.*\[\[colour\]\]",
    ),
    (
        "key-missing",
        _with('length = "60 mm"', ""),
        r"\[insert\] length: the key length is mis.*30 mm",
    ),
    ("pieces-missing", _with("pieces = 4", ""), r"\[order\] pieces: the key pieces is missing"),
    # types and sizes
    ("pieces-text", _with("pieces = 4", 'pieces = "4"'), r"\[order\] pieces: .*a whole number"),
    ("pieces-half", _with("pieces = 4", "pieces = 4.5"), r"\[order\] pieces: .*a whole number"),
    ("pieces-true", _with("pieces = 4", "pieces = true"), r"pieces: true .*a whole number"),
    (
        "pieces-none",
        _with("pieces = 4", "pieces = 0"),
        r"pieces: 0 does not.*at least 1 and at most 1",
    ),
    ("pieces-million", _with("pieces = 4", "pieces = 1000000"), r"pieces: .*at most 10000"),
    (
        "yield-nan",
        _with("pieces = 4", "pieces = 4\nyield = nan"),
        r"\[order\] yield: nan does.*more than 0 and at most 1",
    ),
    ("yield-over-one", _with("pieces = 4", "pieces = 4\nyield = 92"), r"yield: 92 .*at most 1"),
    ("due-text", _with("pieces = 4", 'pieces = 4\ndue = "soon"'), r"due: .*a date without quotes"),
    ("wood-number", _with('"white ash"', "3"), r"\[insert\] wood: 3 does not fit.*text in quotes"),
    ("shape-unknown", _with('"rod"', '"stick"'), r'shape: "stick".*"rod".*"scan" or "bundle"'),
    ("ratio-three", _with("[resin]", "[resin]\nratio = [1, 2, 3]"), r"\[resin\] ratio: .*2 values"),
    ("ratio-one", _with("[resin]", "[resin]\nratio = [1]"), r"\[resin\] ratio: .*two values"),
    # quantities
    ("no-unit", _with('"22 mm"', "22"), r"\[insert\] diameter: 22 has no unit.*Allowed: mm, cm"),
    (
        "double-slash",
        _with('"22 mm"', '"1//8 in"'),
        r"\[insert\] diameter: .*one number and one unit",
    ),
    ("unit-slip", _with('"22 mm"', '"22 mmm"'), r"diameter: .*unit mmm.*Allowed: mm, cm"),
    ("negative", _with('"22 mm"', '"-22 mm"'), r"diameter: .*negative.*Allowed: mm"),
    ("zero", _with('"22 mm"', '"0 mm"'), r'diameter: "0 mm" does not fit.*more than 0 mm'),
    ("nan", _with('"22 mm"', "nan"), r"\[insert\] diameter: nan is not a number that a shop"),
    ("inf", _with('"22 mm"', "inf"), r"\[insert\] diameter: inf is not a number that a shop"),
    ("overflow", _with('"22 mm"', '"1e400 mm"'), r"diameter: .*too large a number.*Allowed: mm"),
    ("a-kilometre", _with('"22 mm"', '"2e6 mm"'), r"diameter: .*far too large.*decimal point"),
    ("blank", _with('"22 mm"', '""'), r"diameter: there is nothing to read as a length"),
    ("comma", _with('"22 mm"', '"22,5 mm"'), r"diameter: .*has a comma.*22\.5 and not 22,5"),
    ("bare-oz", _with("[resin]", '[resin]\ngel_mass = "4 oz"'), r"gel_mass: .*US fl oz, imp fl oz"),
    ("absolute-zero", _and('[pour]\nshop = "-500 F"\n'), r"\[pour\] shop: .*below absolute zero"),
    ("draft-steep", _and('[mould]\ndraft = "20 deg"\n'), r"\[mould\] draft: .*at most 10 deg"),
    ("gap-word", _and('[mould]\ngap = "wide"\n'), r'\[mould\] gap: .*Allowed: "auto", or mm, cm'),
    ("id-small", _and('[mould]\nid = "a1"\n'), r"\[mould\] id: .*capital letters"),
    # cards
    (
        "card-unknown",
        _with('"petg"', '"pteg"'),
        r"\[plastic\] card: there is no card \"pteg\".*mean petg\?",
    ),
    ("card-climbs", _with('"petg"', '"../woods/white-ash"'), r"\[plastic\] card: there is no card"),
    ("card-number", _with('"petg"', "3"), r"\[plastic\] card: .*Allowed: abs"),
    (
        "no-card",
        _with('card = "petg"', 'title = "mine"'),
        r"\[plastic\] density: .*no card.*card = ",
    ),
    # contradictions
    (
        "rod-with-width",
        _with(_DIAMETER, _DIAMETER + '\nwidth = "3 mm"'),
        r"\[insert\] width: a rod has",
    ),
    (
        "rod-with-flutes",
        _with(_DIAMETER, _DIAMETER + "\nflutes = 6"),
        r"\[insert\] flutes: a rod has",
    ),
    ("rod-without", _with(_DIAMETER, ""), r"\[insert\] diameter: a rod needs diameter"),
    ("bar-diameter", _with(_ROD, _BAR), r"\[insert\] diameter: a bar has no diameter.*thickness"),
    (
        "bar-thin",
        _with(f"{_ROD}\n{_DIAMETER}", f'{_BAR}\nwidth = "22 mm"'),
        r"\[insert\] thickness: a bar needs thickness",
    ),
    ("flute-plain", _with(_ROD, _FLUTE), r"\[insert\] flutes: a flute needs flutes.*flute_area"),
    ("flute-area", _with(_ROD, _FLUTE + "\nflutes = 6"), r"\[insert\] flute_area: a flute needs"),
    ("no-density", _with('wood = "white ash"', ""), r"neither \[insert\] wood nor density"),
    ("wood-unknown", _with("white ash", "whit ash"), r"\[insert\] wood: .*mean white-ash\?"),
    (
        "reading-slip",
        _with(_DIAMETER, _DIAMETER + '\nmeasured = ["22.1 mm", "12.2 mm"]'),
        r"\[insert\] measured: a reading of 12\.2 mm.*17\.6 to 26\.4 mm",
    ),
    (
        "round-width",
        _with(_CARD, _ROUND + 'width = "9 mm"\n'),
        r"\[printer\] diameter: a round bed needs",
    ),
    (
        "round-both",
        _with(_CARD, _ROUND + 'diameter = "240 mm"\nwidth = "9 mm"\n'),
        r"\[printer\] width: a round bed has no width",
    ),
    (
        "shares",
        _and('[[colour]]\nname = "a"\nshare = 0.7\n[[colour]]\nname = "b"\nshare = 0.2\n'),
        r"\[\[colour\]\]: the shares .*add up to 0\.9, not to 1",
    ),
    (
        "share-zero",
        _and('[[colour]]\nname = "a"\nshare = 0\n'),
        r"\[\[colour\]\] 1 share: .*than 0",
    ),
    (
        "mix-after-close",
        _and('[pour]\nmix = "15 min"\n'),
        r"\[pour\] mix: mixing takes 15 min.*14 min",
    ),
    (
        "budget-without-price",
        _with("pieces = 4", "pieces = 4\nresin_budget = 20.0"),
        r"\[order\] resin_budget: the resin has no price, so its cost cannot be .*38 per kg",
    ),
    (
        "price-that-goes-on",
        _with("[resin]", '[resin]\nprice = "3 per ' + "kg " * 9000 + '"'),
        r"\[resin\] price: kg kg .{40,60} \.\.\. is neither a unit of mass nor of volume",
    ),
    (
        "price-without-unit",
        _with('card = "casting-epoxy-slow"', 'card = "casting-epoxy-slow"\nprice = "38"'),
        r"\[resin\] price: that is not the price of a resin.*38 per kg",
    ),
    (
        "above-rating",
        _and('[pour]\npressure = "61 psi"\n[pot]\ncard = "pot-228"\nrating = "60 psi"\n'),
        r"\[pour\] pressure: the pressure asked for .* the pot's plate\. Allowed: at most 60 psi",
    ),
    (
        "recoat-backwards",
        _with(
            'card = "casting-epoxy-slow"', 'card = "casting-epoxy-slow"\nrecoat = ["3 h", "2 h"]'
        ),
        r"\[resin\] recoat: .*begins at 180 min and ends at 120 min, which.*earlier first",
    ),
    (
        "recoat-one",
        _with('card = "casting-epoxy-slow"', 'card = "casting-epoxy-slow"\nrecoat = ["3 h"]'),
        r"\[resin\] recoat",
    ),
    (
        "scan-name-too-long",
        _scan_of("x" * 5000),
        r"\[insert\] file: this is no name of a file: xxxx.* \.\.\.",
    ),
    (
        "scan-of-nobody",
        _scan_of("~nobody-here/x.stl"),
        r"\[insert\] file: .*no .*file: ~nobody-here",
    ),
    (
        "profile-of-thousands",
        _with(
            f"{_ROD}\n{_DIAMETER}\n",
            'shape = "outline"\nprofile = ['
            + ", ".join(f'["{60 * n / 600} mm", "11 mm"]' for n in range(601))
            + "]\n",
        ),
        r"\[insert\] profile: 601 are more than any job has.*at most 500",
    ),
    (
        "member-like-a-hair",
        _with(
            f"{_ROD}\n{_DIAMETER}\n",
            'shape = "bundle"\nmember = [{shape = "rod", diameter = "0.03 mm",'
            ' at = ["0 mm", "0 mm"]}]\n',
        ),
        r"\[insert\] member: member 1: a diameter of 0\.03 mm is less than any calliper shows",
    ),
    (
        "colours-like-sand",
        _and("".join(f'[[colour]]\nname = "c{n}"\nshare = {1 / 64}\n' for n in range(64))),
        r"\[\[colour\]\]: 64 are more than any job has.*at most 50",
    ),
    (
        "hole-through",
        _with('diameter = "20 mm"', 'diameter = "20 mm"\nhole_depth = "51 mm"'),
        r"\[piece\] hole_depth: .*at most 50 mm",
    ),
]
