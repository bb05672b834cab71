"""The numbers that bound what a picture may cost, in one place."""

MIB = 1024 * 1024

# What a phone may hand in: the vocabulary's own ceiling for a photo's size.
MAX_BYTES = 40 * MIB
MAX_PIXELS = 64_000_000

# One picture's child process.
MEMORY_BYTES = 768 * MIB
CPU_SECONDS = 10
WALL_SECONDS = 20
# The HEIC decoder insists on starting threads; no other picture may.
HEIC_THREADS = 16
MAX_ANSWER_BYTES = 32 * MIB
# Longer than the child's own clock, so that its alarm speaks first.
PARENT_WALL_SECONDS = WALL_SECONDS + 10

# Long edges and qualities of the copies; never enlarged.
LARGE_PX = 1600
PRINT_PX = 640
THUMB_PX = 320
LARGE_QUALITY = 82
PRINT_QUALITY = 80
THUMB_QUALITY = 80

MAX_MARKS = 200
MAX_POINTS = 2000
MAX_TEXT = 120
SCALE = 10_000  # mark points are 0..SCALE of the upright picture
