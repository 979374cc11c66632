#include "hide/places.h"

static const double SAME_PLACE_MM = 0.01;

bool reading_bad(const HideReading *reading, const char *where, const char *found,
                 const char *allowed, const char *remedy)
{
    return problems_add(reading->problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                                     .where = where,
                                                     .found = found,
                                                     .allowed = allowed,
                                                     .remedy = remedy});
}

const char *place_name(const HideReading *reading, Place place)
{
    Arena *keep = reading->problems->keep;
    switch (place.source) {
    case PLACE_BUTT_END:
        return "the butt end";
    case PLACE_LEFT:
        return arena_text(keep, "stations[%d].left", place.index);
    case PLACE_RIGHT:
        return arena_text(keep, "stations[%d].right", place.index);
    case PLACE_POINT:
        break;
    }
    return arena_text(keep, "points[%d]", place.index);
}

const char *place_path(const HideReading *reading, Place place)
{
    Arena *keep = reading->problems->keep;
    if (place.source == PLACE_BUTT_END) {
        return arena_text(keep, "%s.stations[0]", reading->where);
    }
    return arena_text(keep, "%s.%s", reading->where, place_name(reading, place));
}

const char *point_text(Point point, LengthUnit unit, Arena *keep)
{
    return arena_text(keep, "%s up, %s to the %s", length_text(point.x, unit, keep),
                      length_text(fabs(point.y), unit, keep), point.y >= 0 ? "left" : "right");
}

// Whether a number may be used at all, before anything is made of it.
static bool number_is_sound(const HideReading *reading, const char *where, double mm,
                            double least_mm)
{
    Arena *keep = reading->problems->keep;
    if (isfinite(mm) && mm >= least_mm && mm <= HIDE_REACH_MAX_MM) {
        return true;
    }
    const char *found = "is not a number";
    if (isfinite(mm)) {
        const bool shown = fabs(mm) < 1e6;
        found = shown ? length_text(mm, reading->unit, keep)
                      : arena_text(keep, "%.3g %s", length_from_mm(mm, reading->unit),
                                   length_unit_name(reading->unit));
    }
    return reading_bad(reading, where, found,
                       arena_text(keep, "%s to %s", length_digits(least_mm, reading->unit, keep),
                                  length_text(HIDE_REACH_MAX_MM, reading->unit, keep)),
                       "measure again, or look for a slipped digit");
}

static bool station_is_sound(const HideReading *reading, int index)
{
    Arena *keep = reading->problems->keep;
    const Station *s = &reading->entry->stations[index];
    const char *where = arena_text(keep, "%s.stations[%d]", reading->where, index);
    if (!s->has_left && !s->has_right) {
        return reading_bad(reading, where, "gives neither left nor right",
                           "how far out the edge lies on the left, the right or both", NULL);
    }
    bool sound =
        number_is_sound(reading, arena_text(keep, "%s.up", where), s->up_mm, -HIDE_REACH_MAX_MM);
    if (s->has_left) {
        sound &= number_is_sound(reading, arena_text(keep, "%s.left", where), s->left_mm, 0);
    }
    if (s->has_right) {
        sound &= number_is_sound(reading, arena_text(keep, "%s.right", where), s->right_mm, 0);
    }
    return sound;
}

// Adds a place unless it repeats the one before. A station names a place better
// than the butt end does.
static void add_place(Places *places, Place place)
{
    Place *last = places->count > 0 ? &places->items[places->count - 1] : NULL;
    if (!last || point_distance(last->point, place.point) > SAME_PLACE_MM) {
        places->items[places->count++] = place;
    } else if (last->source == PLACE_BUTT_END) {
        *last = place;
    }
}

static Places new_places(int room, Arena *keep)
{
    return (Places){ARENA_ARRAY(keep, Place, room), 0};
}

// The first station of a half, or NULL.
static const Station *first_station(const HideEntry *entry, bool right)
{
    for (int i = 0; i < entry->station_count; i++) {
        const Station *s = &entry->stations[i];
        if (right ? s->has_right : s->has_left) {
            return s;
        }
    }
    return NULL;
}

// Whether the tape itself gives the butt end: a first station on the backbone, a
// little above or below the tape's zero perhaps.
static bool butt_end_is_taped(const HideEntry *entry)
{
    const Station *left = first_station(entry, false);
    const Station *right = first_station(entry, true);
    return (left && left->left_mm <= SAME_PLACE_MM) || (right && right->right_mm <= SAME_PLACE_MM);
}

// One half as a left half: the butt end, then its stations up to the neck.
static Places read_half(const HideEntry *entry, bool right, Arena *keep)
{
    Places half = new_places(entry->station_count + 2, keep);
    if (!butt_end_is_taped(entry)) {
        add_place(&half, (Place){{0, 0}, PLACE_BUTT_END, -1});
    }
    for (int i = 0; i < entry->station_count; i++) {
        const Station *s = &entry->stations[i];
        if (right ? s->has_right : s->has_left) {
            const Point at = {s->up_mm, right ? s->right_mm : s->left_mm};
            add_place(&half, (Place){at, right ? PLACE_RIGHT : PLACE_LEFT, i});
        }
    }
    return half;
}

static int half_count(const HideEntry *entry, bool right)
{
    int count = 0;
    for (int i = 0; i < entry->station_count; i++) {
        count += right ? entry->stations[i].has_right : entry->stations[i].has_left;
    }
    return count;
}

static bool halves_are_there(const HideReading *reading)
{
    static const char *const names[2] = {"left", "right"};
    const HideEntry *entry = reading->entry;
    Arena *keep = reading->problems->keep;
    const char *where = arena_text(keep, "%s.stations", reading->where);
    for (int right = 0; right < 2; right++) {
        const int count = half_count(entry, right == 1);
        const bool wanted = entry->form == HIDE_WHOLE || entry->right_side == (right == 1);
        if (wanted && count == 0) {
            return reading_bad(
                reading, where, arena_text(keep, "no station gives the %s half", names[right]),
                entry->form == HIDE_WHOLE ? "a whole hide has places on both halves" : NULL,
                arena_text(keep, "give `%s` where the tape crosses that edge", names[right]));
        }
        if (!wanted && count > 0) {
            return reading_bad(reading, arena_text(keep, "%s.half", reading->where),
                               arena_text(keep, "%s, but %d of the stations give the %s half",
                                          names[1 - right], count, names[right]),
                               "a side has places on its own half only",
                               "change the half, or the form to whole");
        }
    }
    return true;
}

// Both halves must end up the backbone from where it begins.
static bool neck_lies_up(const HideReading *reading, Places half)
{
    Arena *keep = reading->problems->keep;
    const Place last = half.items[half.count - 1];
    if (last.point.x > 0) {
        return true;
    }
    return reading_bad(
        reading,
        arena_text(keep, "%s.stations[%d].up", reading->where, last.index < 0 ? 0 : last.index),
        arena_text(keep, "the last station lies %s up the backbone",
                   length_text(last.point.x, reading->unit, keep)),
        "more than 0", "put the stations in the order from butt to neck");
}

static bool read_stations(const HideReading *reading, Arena *keep, Places *places)
{
    const HideEntry *entry = reading->entry;
    bool sound = true;
    for (int i = 0; i < entry->station_count; i++) {
        sound &= station_is_sound(reading, i);
    }
    if (!sound || !halves_are_there(reading)) {
        return false;
    }
    const bool whole = entry->form == HIDE_WHOLE;
    const Places first = read_half(entry, !whole && entry->right_side, keep);
    if (!neck_lies_up(reading, first)) {
        return false;
    }
    Places all = new_places(2 * entry->station_count + 3, keep);
    for (int i = 0; i < first.count; i++) {
        add_place(&all, first.items[i]);
    }
    if (!whole) {
        Place neck = first.items[first.count - 1];
        neck.point.y = 0;
        add_place(&all, neck);
        *places = all;
        return true;
    }
    const Places second = read_half(entry, true, keep);
    if (!neck_lies_up(reading, second)) {
        return false;
    }
    for (int i = second.count - 1; i >= 0; i--) {
        Place place = second.items[i];
        place.point.y = -place.point.y;
        add_place(&all, place);
    }
    *places = all;
    return true;
}

static bool read_points(const HideReading *reading, Arena *keep, Places *places)
{
    const HideEntry *entry = reading->entry;
    Arena *texts = reading->problems->keep;
    Places all = new_places(entry->point_count, keep);
    bool sound = true;
    for (int i = 0; i < entry->point_count; i++) {
        const Point p = entry->points[i];
        const char *where = arena_text(texts, "%s.points[%d]", reading->where, i);
        if (!number_is_sound(reading, where, p.x, -HIDE_REACH_MAX_MM) ||
            !number_is_sound(reading, where, p.y, -HIDE_REACH_MAX_MM)) {
            sound = false;
            continue;
        }
        add_place(&all, (Place){p, PLACE_POINT, i});
    }
    *places = all;
    return sound;
}

bool places_read(const HideReading *reading, Arena *keep, Places *places)
{
    Arena *texts = reading->problems->keep;
    const bool from_points = reading->entry->point_count > 0;
    const bool read =
        from_points ? read_points(reading, keep, places) : read_stations(reading, keep, places);
    if (!read) {
        return false;
    }
    while (places->count > 1 &&
           point_distance(places->items[0].point, places->items[places->count - 1].point) <=
               SAME_PLACE_MM) {
        places->count--;
    }
    if (places->count >= 3) {
        return true;
    }
    return reading_bad(
        reading, arena_text(texts, "%s.%s", reading->where, from_points ? "points" : "stations"),
        arena_text(texts, "only %d different place%s on the edge", places->count,
                   places->count == 1 ? "" : "s"),
        "three or more", "measure more stations");
}
