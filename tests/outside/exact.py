"""Areas and distances of polygons with whole coordinates, decided in fractions.

Rings are flat lists x, y, x, y, ... The plane is cut at the height of each corner and each
crossing. In each slice edges do not meet, so the middle of the slice tells what lies side
by side in it; a ring's inside is where an odd number of its edges lie to the left.
"""
from fractions import Fraction


def edges_of(ring):
    corners = list(zip(ring[::2], ring[1::2]))
    return list(zip(corners, corners[1:] + corners[:1]))


def crossing_height(first, second):
    (ax, ay), (bx, by) = first
    (cx, cy), (dx, dy) = second
    below = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if below == 0:
        return None
    of_first = Fraction((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx), below)
    of_second = Fraction((cx - ax) * (by - ay) - (cy - ay) * (bx - ax), below)
    if 0 <= of_first <= 1 and 0 <= of_second <= 1:
        return ay + of_first * (by - ay)
    return None


def any_area(rings, wanted):
    """Whether a place with some area is in a set of rings that `wanted` wants."""
    edges = [(edge, i) for i, ring in enumerate(rings) for edge in edges_of(ring)]
    heights = {Fraction(edge[0][1]) for edge, _ in edges}
    for n, (first, _) in enumerate(edges):
        for second, _ in edges[n + 1:]:
            height = crossing_height(first, second)
            if height is not None:
                heights.add(height)
    heights = sorted(heights)
    for low, high in zip(heights, heights[1:]):
        level = (low + high) / 2
        cuts = sorted((ax + (level - ay) * (bx - ax) / (by - ay), i)
                      for ((ax, ay), (bx, by)), i in edges if (ay > level) != (by > level))
        inside = set()
        for (x, i), (next_x, _) in zip(cuts, cuts[1:]):
            inside ^= {i}
            if x < next_x and wanted(inside):
                return True
    return False


def meets(ring, rings):
    """Whether a ring and a polygon (outer ring, holes) have area in common."""
    return any_area([ring] + rings, lambda inside: inside == {0, 1})


def off_sheet(ring, rings):
    """Whether some area of a ring is off the outline, or over any hole."""
    return any_area([ring] + rings, lambda inside: 0 in inside and inside != {0, 1})


def square_distance(point, edge):
    (ax, ay), (bx, by) = edge
    dx, dy = bx - ax, by - ay
    share = Fraction((point[0] - ax) * dx + (point[1] - ay) * dy, dx * dx + dy * dy)
    share = min(1, max(0, share))
    return (ax + share * dx - point[0]) ** 2 + (ay + share * dy - point[1]) ** 2


def nearer(a, b, gap):
    """Whether the edges of two rings come nearer than `gap`."""
    for first in edges_of(a):
        for second in edges_of(b):
            if crossing_height(first, second) is not None:
                return True
            if min(square_distance(first[0], second), square_distance(first[1], second),
                   square_distance(second[0], first), square_distance(second[1], first)) < gap ** 2:
                return True
    return False
