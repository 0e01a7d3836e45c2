"""Where to put the calliper, drawn in text: for each kind of insert its sizes, and its readings."""

from __future__ import annotations

# Three readings along an insert that is as thick everywhere.
ALONG = """\
   Measure one insert across its widest,
   at both ends and in the middle:

         1                  2                  3
         |                  |                  |
     ____v__________________v__________________v____
    |                                               |
    |                    insert                     |
    |_______________________________________________|
         ^                  ^                  ^
         |                  |                  |
         a finger's width from the end, the middle, and the other end
"""
# Three readings round the one place that a mould is measured from.
ROUND = """\
   Measure one insert across its widest place,
   three times, turned a little each time:

            1  2  3
            |  |  |
            v  v  v                 turn it between the readings,
          .----------.              not the calliper
         /            \\
        |      ()      |
         \\            /
          '----------'
            ^  ^  ^
"""
READINGS = {
    "rod": ALONG,
    "tube": ALONG.replace("across its widest", "across its outside"),
    "bar": ALONG.replace("across its widest", "across its wider side"),
    "twist": ALONG.replace("across its widest", "across its wider side, following the turn"),
    "flute": ALONG.replace("across its widest", "across its ridges, not in the flutes"),
    "coil": ALONG.replace("across its widest", "across its windings without pressing them"),
    "taper": ROUND.replace("its widest place", "its thick end"),
    "outline": ROUND.replace("its widest place", "its thickest bead"),
    "scan": ROUND,
}

ROD = """\
    __________________________________________
   |                                          |  ^
   |                                          |  diameter
   |__________________________________________|  v
   |<--------------- length ----------------->|
"""
TUBE = """\
    __________________________________________  ^
   |                                          | |
   |__________________________________________| |  ^
   |                   bore                   | |  bore
   |__________________________________________| |  v
   |                                          | |
   |__________________________________________| v  outside
   |<--------------- length ----------------->|
"""
BAR = """\
    __________________________________________      ______________  ^
   |                                          |    |              | |
   |                                          |    |              | thickness
   |                                          |    |              | |
   |__________________________________________|    |______________| v
   |<--------------- length ----------------->|    |<--- width -->|
"""
TWIST = """\
   Follow one edge with a finger, round the back, until it is where it began:

   |<------------- one turn ------------------>|
   |******                                 .....******|
   |      ****                         ....           |
   |          ***                   ...               |
   |             ****           ....                  |
   |                 *****......                      |
   |<-------------------- length -------------------->|

   *  in front    .  round the back    width, thickness: across its flat sides
   Stand it up: an edge in front that climbs to the right is a right hand.
"""
FLUTE = """\
    __________________________________________   ^
   |                  ridge                   |  |
   | - - - - - - - - - - - - - - - - - - - -  |  |
   |                  flute                   |  diameter: over the ridges
   | - - - - - - - - - - - - - - - - - - - -  |  |
   |                  ridge                   |  |
   |__________________________________________|  v
   |<--------------- length ----------------->|
"""
COIL = """\
               |<- pitch ->|
         __          __          __          __    ^
        / /         / /         / /         / /    |
       / /         / /         / /         / /     outside diameter
      / /         / /         / /         / /      |
     /_/         /_/         /_/         /_/       v
     |<>| wire
     |<---------------- length ---------------->|
"""
TAPER = """\
              |<- thin ->|
               __________            ^
              /          \\           |
             /            \\          length
            /              \\         |
           /________________\\        v
           |<--- thick ---->|
"""
OUTLINE = """\
   From the lower end up; the radius is half of what the calliper says:

      height   radius
                       :
        70 ____ 15 ____:________      the upper end
                       :        |
                       :        |
        35 ____  9 ____:____    |     a cove
                       :    |
                       :    |___
         0 ____ 15 ____:________|     the lower end
                       :
                      axis
"""
SCAN = """\
   The file says how large it is.  Its heavier end is taken as the lower one:

           .-~~-.               |<- across ->|
          /      \\              the thinnest round
         |   ()   |              that it goes into
          \\      /
           '-__-'
"""
BUNDLE = """\
   Seen from the end, seven sticks, one of them in the middle:

            __  __
           /  \\/  \\
          _\\__/\\__/_
         /  \\/  \\/  \\       |<->|  diameter of one stick
         \\__/\\__/\\__/
           /  \\/  \\
           \\__/\\__/
"""
HONEYCOMB = """\
   Seen from the end; width goes along the rows.  One cell of many:

            _______
           /  ___  \\
          /  /   \\  \\       ^
         /  /     \\  \\      |
         \\  \\     /  /      cell: inside, from flat to flat
          \\  \\___/  /       v
           \\_______/   wall: between this cell and the next
"""
HEAP = """\
   Push the pieces together as they will lie in the mould, and weigh them all:

          .-''''-.           _____________
         / o O oo \\         | oO o O o O  |
        | O oo O o |        | O oo O oo o |   thickness
         \\ oO o O /         |_o_O_oo_O_oO_|
          '-....-'          |<-- width -->|
        |<-------->|
          diameter          the length goes along the mould's axis
"""
SIZES = {
    "rod": ROD,
    "tube": TUBE,
    "bar": BAR,
    "twist": TWIST,
    "flute": FLUTE,
    "coil": COIL,
    "taper": TAPER,
    "outline": OUTLINE,
    "scan": SCAN,
    "bundle": BUNDLE,
    "honeycomb": HONEYCOMB,
    "heap": HEAP,
}
