"""Is the blank long enough for the finished piece and all that is taken off?"""

from __future__ import annotations

from mouldgen.finding import Finding
from mouldgen.size.stack_up import StackUp


def length_findings(stack: StackUp, ends: tuple[float, float]) -> tuple[Finding, ...]:
    """Is the blank long enough, and is it at either end?

    stack : what takes length.
    ends : beyond the piece, at the end faced first and at the other [mm].
    """
    if stack.spare_mm < -1e-9:
        return (
            Finding(
                id="clear.length",
                rule="clear",
                severity="stop",
                message=(
                    f"The blank is {_mm(stack.blank_mm)} long and {_mm(-stack.spare_mm)} short:"
                    f" {_shares(stack)}. Take a longer insert or a higher [mould] fill."
                ),
                measured=stack.blank_mm,
                limit=stack.needed_mm,
                place="[piece] length",
            ),
        )
    wanted = (stack.facing_mm, stack.held_mm)
    short = [(w - e, e, w, k) for k, (e, w) in enumerate(zip(ends, wanted, strict=True))]
    by, end, want, which = max(short)
    if by <= 1e-9:
        return ()
    name = ("the end that is faced first", "the other end")[which]
    return (
        Finding(
            id="clear.length-end",
            rule="clear",
            severity="warn",
            message=(
                f"The blank is long enough, but with the piece midway along the insert {name} has"
                f" {_mm(max(end, 0.0))} beyond the piece, and facing"
                f"{' and grip take' if which and stack.grip_mm else ' takes'} {_mm(want)}: set the"
                f" piece {_mm(by)} towards the opposite end, or face less."
            ),
            measured=end,
            limit=want,
            place="[piece] length",
        ),
    )


def _shares(stack: StackUp) -> str:
    words = {"piece": "pieces", "facing": "facings", "cut": "cuts"}
    told = [
        f"{count} {words[what] if count > 1 else what} of {_mm(each)}"
        if count > 1
        else f"a {what} of {_mm(each)}"
        for what, count, each in stack.shares
    ]
    if stack.shares[0][1] == len(told) == 1:  # one piece and nothing besides
        return f"{told[0]} is all that it takes"
    whole = f"{', '.join(told[:-1])} and {told[-1]}" if len(told) > 1 else told[0]
    return f"{whole} are {_mm(stack.needed_mm)} in all"


def _mm(length_mm: float) -> str:
    return f"{round(length_mm, 2):g} mm"
