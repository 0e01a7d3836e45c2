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
            return max(start_s, self._free_for_good(number))
        length, start = end_s - start_s, start_s
        at = bisect_right(self._times, start) - 1
        while at < len(self._times) and self._times[at] < start + max(length, 1):
            if self._taken[at] + number > self.most:
                at += 1
                if at == len(self._times):
                    return FOREVER
                start = max(start, self._times[at])
            else:
                at += 1
        return start

    def _free_for_good(self, number: int) -> int:
        """From when on so many are never taken again [s], from the end back; FOREVER for never."""
        after = len(self._taken)
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
