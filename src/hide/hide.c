// A hide made of what the user entered.
#include "hide/flaws.h"

const char *const hide_form_names[HIDE_FORM_COUNT] = {"whole", "side", "panel"};
const char *const region_kind_names[REGION_KIND_COUNT] = {"butt",  "back",  "shoulder", "neck",
                                                          "belly", "flank", "shank"};
const char *const firmness_names[FIRMNESS_COUNT] = {"firm", "middling", "soft", "loose"};
const char *const flaw_kind_names[FLAW_KIND_COUNT] = {
    [FLAW_HOLE] = "hole",
    [FLAW_FLAY_CUT] = "flay cut",
    [FLAW_BRAND] = "brand",
    [FLAW_OPEN_SCAR] = "open scar",
    [FLAW_GRUB_HOLES] = "grub holes",
    [FLAW_SCAR] = "scar",
    [FLAW_TICKS] = "ticks",
    [FLAW_VEINS] = "veins",
    [FLAW_WRINKLE] = "wrinkle",
    [FLAW_LOOSE_GRAIN] = "loose grain",
    [FLAW_STRETCHED] = "stretched",
    [FLAW_STAIN] = "stain",
    [FLAW_THIN] = "thin spot",
};
const char *const flaw_form_names[FLAW_FORM_COUNT] = {"spot", "line", "area"};

const char *hide_forms_word(HideForm form, int count)
{
    static const char *const words[HIDE_FORM_COUNT][2] = {
        {"whole hide", "whole hides"}, {"side", "sides"}, {"panel", "panels"}};
    return words[form][count != 1];
}

const char *hide_pieces_word(HideForm form, int count)
{
    return form == HIDE_WHOLE ? (count == 1 ? "hide" : "hides") : hide_forms_word(form, count);
}

const char *hide_form_word(const Hide *hide)
{
    return hide->whole ? "remnant" : hide_form_names[hide->form];
}

static void doubt(const HideReading *reading, const char *where, const char *found,
                  const char *remedy)
{
    problems_add(
        reading->problems,
        (Problem){.kind = PROBLEM_DOUBT, .where = where, .found = found, .remedy = remedy});
}

static bool count_is_sound(const HideReading *reading, const char *field, int count, int most)
{
    Arena *texts = reading->problems->keep;
    return count <= most || reading_bad(reading, arena_text(texts, "%s.%s", reading->where, field),
                                        arena_text(texts, "%d %s", count, field),
                                        arena_text(texts, "up to %d", most), NULL);
}

static void doubt_area(const HideReading *reading, const Hide *hide, AreaUnit unit)
{
    const AreaVerdict verdict = hide_area_verdict(hide->area_mm2, hide->stamped_mm2, NULL);
    if (verdict == AREA_NOT_STAMPED || verdict == AREA_AGREES) {
        return;
    }
    Arena *texts = reading->problems->keep;
    doubt(reading, arena_text(texts, "%s.stamp", reading->where), hide_area_text(hide, unit, texts),
          verdict == AREA_DOUBTED ? "measure the outline again"
                                  : "measure the outline again, and talk to the seller before the "
                                    "first cut");
}

// `outline` is NULL when it could not be made; flaws are checked all the same.
static bool make_flaws(const HideReading *reading, const Ring *outline, Arena *keep, Arena *scratch,
                       Hide *hide)
{
    const HideEntry *entry = reading->entry;
    Arena *texts = reading->problems->keep;
    if (!count_is_sound(reading, "flaws", entry->flaw_count, FLAWS_MAX)) {
        return false;
    }
    hide->flaws = ARENA_ARRAY(keep, Flaw, entry->flaw_count > 0 ? entry->flaw_count : 1);
    bool made = true;
    for (int i = 0; i < entry->flaw_count; i++) {
        const char *where = arena_text(texts, "%s.flaws[%d]", reading->where, i);
        Flaw *flaw = &hide->flaws[i];
        if (!flaw_make(&entry->flaws[i], where, reading, keep, scratch, flaw)) {
            made = false;
        } else if (outline && flaw_is_off(flaw, *outline, scratch)) {
            doubt(reading, where,
                  arena_text(texts, "the %s %s lies wholly off the hide",
                             flaw_kind_names[flaw->kind],
                             point_text(flaw->middle, reading->unit, texts)),
                  "check left and right, and how far up it lies");
        }
    }
    hide->flaw_count = entry->flaw_count;
    return made;
}

// Areas that the user drew for regions; checked even where there is no outline.
static bool read_region_areas(const HideReading *reading, Arena *keep, Arena *scratch,
                              PolygonSet *areas)
{
    const HideEntry *entry = reading->entry;
    bool read = true;
    for (int i = 0; i < entry->region_count; i++) {
        const RegionEntry *region = &entry->regions[i];
        if (!region->points) {
            continue;
        }
        Ring ring;
        const char *where =
            arena_text(reading->problems->keep, "%s.regions[%d].area", reading->where, i);
        const Ring drawn = {region->points, region->point_count};
        if (drawn_ring(reading, where, drawn, keep, scratch, &ring)) {
            areas[i] = polygon_set_of_ring(ring, keep);
        } else {
            read = false;
        }
    }
    return read;
}

static Region *region_of_kind(Hide *hide, RegionKind kind)
{
    for (int i = 0; i < hide->region_count; i++) {
        if (hide->regions[i].kind == kind) {
            return &hide->regions[i];
        }
    }
    return NULL;
}

static bool change_region(const HideReading *reading, int index, PolygonSet area, Hide *hide,
                          Arena *keep, Arena *scratch)
{
    const RegionEntry *entry = &reading->entry->regions[index];
    if (area.count > 0 &&
        !hide_set_region(hide, entry->kind, area, keep, scratch, reading->problems)) {
        return false;
    }
    Region *region = region_of_kind(hide, entry->kind);
    if (!region) {
        Arena *texts = reading->problems->keep;
        doubt(reading, arena_text(texts, "%s.regions[%d]", reading->where, index),
              arena_text(texts, "this hide has no %s, so nothing changes",
                         region_kind_names[entry->kind]),
              "draw its area on the hide, or leave it out");
        return true;
    }
    region->firmness = entry->firmness >= 0 ? (Firmness)entry->firmness : region->firmness;
    region->stretch_along = entry->stretch_along > 0 ? entry->stretch_along : region->stretch_along;
    region->stretch_across =
        entry->stretch_across > 0 ? entry->stretch_across : region->stretch_across;
    return true;
}

// Regions after outline, area and flaws.
static bool make_regions(const HideReading *reading, const PolygonSet *areas, Arena *keep,
                         Arena *scratch, Hide *hide)
{
    bool made = hide_lay_regions(hide, keep, scratch, reading->problems);
    for (int i = 0; i < reading->entry->region_count && made; i++) {
        made = change_region(reading, i, areas[i], hide, keep, scratch);
    }
    return made;
}

static bool stamp_is_sound(const HideReading *reading)
{
    const double stamped_mm2 = reading->entry->stamped_mm2;
    return (isfinite(stamped_mm2) && stamped_mm2 >= 0) ||
           reading_bad(reading, arena_text(reading->problems->keep, "%s.stamp", reading->where),
                       "is not an area", "more than 0", "leave it out where nothing is stamped");
}

// The part of a set that lies on the remnant.
static bool keep_common(PolygonSet *set, PolygonSet remnant, Arena *keep)
{
    return polygon_overlay(POLYGON_INTERSECTION, *set, remnant, keep, set);
}

// Regions and flaws that the remnant has; the others were cut away.
static bool keep_parts(Hide *hide, Arena *keep, Arena *scratch)
{
    const PolygonSet remnant = polygon_set_of_ring(hide->outline, keep);
    int regions = 0;
    for (int i = 0; i < hide->region_count; i++) {
        Region region = hide->regions[i];
        if (!keep_common(&region.area, remnant, keep)) {
            return false;
        }
        if (region.area.count > 0) {
            hide->regions[regions++] = region;
        }
    }
    hide->region_count = regions;
    Flaw *flaws = ARENA_ARRAY(keep, Flaw, hide->flaw_count + 1);
    int count = 0;
    for (int i = 0; i < hide->flaw_count; i++) {
        if (!flaw_is_off(&hide->flaws[i], hide->outline, scratch)) {
            flaws[count++] = hide->flaws[i];
        }
    }
    hide->flaws = flaws;
    hide->flaw_count = count;
    return true;
}

// Makes the remnant of a hide that is whole so far.
static bool take_remaining(const HideReading *reading, Arena *keep, Arena *scratch, Hide *hide)
{
    const HideEntry *entry = reading->entry;
    if (entry->remaining_count == 0) {
        return true;
    }
    const char *where = arena_text(reading->problems->keep, "%s.remaining", reading->where);
    const Ring drawn = {entry->remaining, entry->remaining_count};
    Ring ring;
    if (!drawn_ring(reading, where, drawn, keep, scratch, &ring)) {
        return false;
    }
    PolygonSet left = polygon_set_of_ring(ring, keep);
    if (!keep_common(&left, polygon_set_of_ring(hide->outline, keep), keep) || left.count == 0) {
        return reading_bad(reading, where, "lies off the hide", "places on the hide",
                           "give them as on the whole hide, from the same butt end");
    }
    Hide *whole = ARENA_NEW(keep, Hide);
    *whole = *hide;
    hide->whole = whole;
    hide->outline = polygon_set_largest_ring(left);
    hide->area_mm2 = ring_area_mm2(hide->outline);
    hide->stamped_mm2 = 0;
    return keep_parts(hide, keep, scratch) ||
           reading_bad(reading, where, "cannot be cut out of the hide's regions", NULL,
                       "look for outlines that cross themselves");
}

static bool fill_hide(const HideReading *reading, Units units, Arena *keep, Arena *scratch,
                      Hide *hide)
{
    const HideEntry *entry = reading->entry;
    HideOutline outline;
    const bool outlined = hide_outline(entry, reading->where, units.length, keep, scratch, &outline,
                                       reading->problems);
    bool sound = stamp_is_sound(reading) && outlined;
    if (outlined) {
        hide->outline = outline.ring;
        hide->backbone_mm = outline.backbone_mm;
        hide->area_mm2 = ring_area_mm2(outline.ring);
        doubt_area(reading, hide, units.area);
    }
    PictureMap map;
    sound &= !entry->has_picture ||
             hide_picture_map(&entry->picture,
                              arena_text(reading->problems->keep, "%s.picture", reading->where),
                              &map, reading->problems);
    sound &= make_flaws(reading, outlined ? &outline.ring : NULL, keep, scratch, hide);
    if (!count_is_sound(reading, "regions", entry->region_count, REGION_ENTRIES_MAX)) {
        return false;
    }
    PolygonSet areas[REGION_ENTRIES_MAX] = {{NULL, 0}};
    sound &= read_region_areas(reading, keep, scratch, areas);
    return sound && make_regions(reading, areas, keep, scratch, hide) &&
           take_remaining(reading, keep, scratch, hide);
}

bool hide_make(const HideEntry *entry, const char *where, Units units, Arena *keep, Arena *scratch,
               Hide *hide, Problems *problems)
{
    const HideReading reading = {entry, where, units.length, problems};
    Hide result = {.name = arena_copy_text(keep, entry->name),
                   .form = entry->form,
                   .stamped_mm2 = entry->stamped_mm2,
                   .price = entry->price};
    if (!fill_hide(&reading, units, keep, scratch, &result)) {
        return false;
    }
    *hide = result;
    return true;
}
