#include "cutting/parts.h"

// Less than this is a touch of outlines, not of leather.
static const double least_mm2 = 1e-3;

static bool boxes_meet(Box a, Box b)
{
    return a.min.x <= b.max.x && b.min.x <= a.max.x && a.min.y <= b.max.y && b.min.y <= a.max.y;
}

static bool near(PolygonSet area, Ring ring)
{
    const Box box = ring_box(ring);
    for (int i = 0; i < area.count; i++) {
        if (boxes_meet(ring_box(area.items[i].outer), box)) {
            return true;
        }
    }
    return false;
}

static bool shared_mm2(PolygonSet area, Ring ring, Arena *scratch, double *mm2)
{
    *mm2 = 0;
    if (!near(area, ring)) {
        return true;
    }
    const ArenaMark mark = arena_mark(scratch);
    PolygonSet shared;
    const bool good = polygon_overlay(POLYGON_INTERSECTION, area,
                                      polygon_set_of_ring(ring, scratch), scratch, &shared);
    if (good) {
        *mm2 = polygon_set_area_mm2(shared);
    }
    arena_rewind(scratch, mark);
    return good;
}

// Adds a touch when the area meets the cover; false when that cannot be told.
static bool add_touch(PlacedCover *cover, Touch touch, PolygonSet area, Arena *scratch)
{
    if (!shared_mm2(area, cover->cut, scratch, &touch.area_mm2)) {
        return false;
    }
    if (touch.area_mm2 <= least_mm2) {
        return true;
    }
    touch.band = BAND_GRIP; // the shears' outline may lie outside all bands
    for (int band = 0; band < BAND_COUNT; band++) {
        double in_band_mm2;
        if (!shared_mm2(area, cover->within[band], scratch, &in_band_mm2)) {
            return false;
        }
        if (in_band_mm2 > least_mm2) {
            touch.band = (Band)band;
            break;
        }
    }
    cover->touches[cover->touch_count++] = touch;
    return true;
}

bool find_touches(const Hide *hide, PlacedCover *cover, Arena *keep, Arena *scratch,
                  Problems *problems)
{
    cover->touches = ARENA_ARRAY(keep, Touch, hide->flaw_count + hide->region_count + 1);
    cover->touch_count = 0;
    bool good = true;
    for (int i = 0; good && i < hide->flaw_count; i++) {
        good = add_touch(cover, (Touch){.flaw = i, .region = -1}, hide->flaws[i].area, scratch);
    }
    for (int i = 0; good && i < hide->region_count; i++) {
        if (hide->regions[i].firmness != FIRM) {
            good =
                add_touch(cover, (Touch){.flaw = -1, .region = i}, hide->regions[i].area, scratch);
        }
    }
    return good || problems_add(problems, (Problem){PROBLEM_BAD_INPUT, hide->name,
                                                    "what the covers touch cannot be told", NULL,
                                                    "look for outlines that cross themselves"});
}
