"""How many of something are taken when: people at work, places in pots and on printers."""

from __future__ import annotations

from bisect import bisect_left, bisect_right

FOREVER = 1 << 60  # later than any plan


class Timeline:
    """A count of what is taken, as steps in time.

    most : how many there are.
    """

    def __init__(self, most: int) -> None:
        self.most = most
        self._times = [0]
        self._taken = [0]

    def copy(self) -> Timeline:
        """The same, to go on with without changing this one."""
        twin = Timeline(self.most)
        twin._times, twin._taken = self._times[:], self._taken[:]
        return twin

    def take(self, start_s: int, end_s: int, number: int = 1) -> None:
        """Take some from a time to a time [s]."""
        if end_s <= start_s:
            return
        first, last = self._step(start_s), self._step(end_s)
        for at in range(first, last):
            self._taken[at] += number

    def free_from(self, start_s: int, end_s: int, number: int = 1) -> int:
        """The earliest time from `start_s` on at which so many are free for as long [s].

        FOREVER where that is never.
        """
        if number > self.most:
            return FOREVER
        if end_s >= FOREVER:
            return max(start_s, self.free_for_good(number))
        times, taken, room = self._times, self._taken, self.most - number
        length, start, steps = max(end_s - start_s, 1), start_s, len(times)
        at = bisect_right(times, start) - 1
        while at < steps and times[at] < start + length:
            full = taken[at] > room
            at += 1
            if full:
                if at == steps:
                    return FOREVER
                start = max(start, times[at])
        return start

    def free_for_good(self, number: int) -> int:
        """From when on so many are never taken again [s]; FOREVER where that is never."""
        if number > self.most:
            return FOREVER
        after = len(self._taken)  # from the end back
        while after and self._taken[after - 1] + number <= self.most:
            after -= 1
        if not after:
            return 0
        return FOREVER if after == len(self._taken) else self._times[after]

    def give_back(self, start_s: int, number: int = 1) -> None:
        """What was taken from a time on without an end is free again from there [s]."""
        self.take(start_s, FOREVER, -number)

    def _step(self, time_s: int) -> int:
        at = bisect_left(self._times, time_s)
        if at == len(self._times) or self._times[at] != time_s:
            self._times.insert(at, time_s)
            self._taken.insert(at, self._taken[at - 1])
        return at
