"""Values as the parts write them: lengths, volumes, masses and times with their numbers."""

from __future__ import annotations

import base64

from mouldgen.mix.clock import clock_text
from mouldgen.sheet.card_words import long_time
from mouldgen.sheet.number_words import grams
from mouldgen.sheet.plain_words import gap as gap_words
from mouldgen.sheet.plain_words import hours, length, percent
from mouldgen.sheet.sheet_data import Drawing, Value


def mm(id: str, value_mm: float, *, inches: bool, key: str = "") -> Value:  # noqa: A002
    """A length [mm].

    id : of the value.
    value_mm : the length [mm].
    inches : whether inches stand beside it.
    key : of the job file, where it says it.
    """
    return Value(id, length(value_mm, inches=inches), value_mm, "mm", key)


def gap_mm(id: str, value_mm: float, *, inches: bool, key: str = "") -> Value:  # noqa: A002
    """A gap [mm] to the hundredth.

    id : of the value.
    value_mm : the gap [mm].
    inches : whether inches stand beside it.
    key : of the job file, where it says it.
    """
    return Value(id, gap_words(value_mm, inches=inches), value_mm, "mm", key)


def ml(id: str, value_ml: float, *, key: str = "") -> Value:  # noqa: A002
    """A volume [ml].

    id : of the value.
    value_ml : the volume [ml].
    key : of the job file, where it says it.
    """
    return Value(id, f"{value_ml:.1f} ml", value_ml, "ml", key)


def on_scale(id: str, mass_g: float, *, digit_g: float) -> Value:  # noqa: A002
    """A mass as the scale shows it [g], without its unit.

    id : of the value.
    mass_g : the mass [g].
    digit_g : the scale's smallest digit [g].
    """
    return Value(id, grams(mass_g, digit_g=digit_g), mass_g, "g")


def number(id: str, value: float, *, key: str = "") -> Value:  # noqa: A002
    """A count.

    id : of the value.
    value : how many.
    key : of the job file, where it says it.
    """
    return Value(id, f"{value:g}", value, "", key)


def share(id: str, value: float, *, key: str = "", places: int = 0) -> Value:  # noqa: A002
    """A share in percent.

    id : of the value.
    value : the share, 1 for all.
    key : of the job file, where it says it.
    places : behind the point.
    """
    return Value(id, percent(value, places=places), value, "1", key)


def clock(id: str, time_s: float) -> Value:  # noqa: A002
    """A time of the clock that starts with the first mix [s].

    id : of the value.
    time_s : the time [s].
    """
    return Value(id, clock_text(time_s), time_s, "s")


def lasting(id: str, time_s: float) -> Value:  # noqa: A002
    """How long something takes [s].

    id : of the value.
    time_s : the time [s].
    """
    return Value(id, hours(time_s), time_s, "s")


def short_time(id: str, time_s: float, *, key: str = "") -> Value:  # noqa: A002
    """A time of minutes, as a job file has it [s]: ``60 s``, ``14 min``, ``72 h``.

    id : of the value.
    time_s : the time [s].
    key : of the job file, where it says it.
    """
    text = f"{time_s:g} s" if time_s < 90.0 else long_time(time_s)
    return Value(id, text, time_s, "s", key)


def money(id: str, amount: float, *, key: str = "") -> Value:  # noqa: A002
    """Money in the shop's own currency.

    id : of the value.
    amount : of it.
    key : of the job file, where it says it.
    """
    return Value(id, f"{amount:.2f}", amount, "", key)


def svg_drawing(id: str, svg: str, *, alt: str, caption: str, wide: bool = True) -> Drawing:  # noqa: A002
    """A drawing as it goes into the page.

    id : of its words.
    svg : the whole document.
    alt : for one who does not see it.
    caption : under it.
    wide : takes the width of the page.
    """
    return _drawing(id, "image/svg+xml", svg.encode(), alt=alt, caption=caption, wide=wide)


def png_drawing(id: str, data: bytes, *, alt: str, caption: str, wide: bool = False) -> Drawing:  # noqa: A002
    """A picture as it goes into the page.

    id : of its words.
    data : the PNG file.
    alt : for one who does not see it.
    caption : under it.
    wide : takes the width of the page.
    """
    return _drawing(id, "image/png", data, alt=alt, caption=caption, wide=wide)


def _drawing(name: str, kind: str, data: bytes, *, alt: str, caption: str, wide: bool) -> Drawing:
    source = f"data:{kind};base64,{base64.b64encode(data).decode('ascii')}"
    return Drawing(source, Value(f"{name}.alt", alt), Value(f"{name}.caption", caption), wide)
