#include "job/asked.h"

#include "job/reading.h"

#include <stdlib.h>
#include <string.h>

// Lengths and angles are the program's own: mm, whatever the job is in.
#define REACH_LIMITS .limits = {{-HIDE_REACH_MAX_MM, HIDE_REACH_MAX_MM}, {-240, 240}}
#define TURN_LIMITS .limits = {{-360, 360}, {-360, 360}}

static const Field placement_fields[] = {
    {.key = "cover",
     .kind = FIELD_TEXT,
     .offset = offsetof(AskedPlacement, cover),
     .needed = ALWAYS},
    {.key = "hide", .kind = FIELD_TEXT, .offset = offsetof(AskedPlacement, hide), .needed = ALWAYS},
    {.key = "x_mm",
     .kind = FIELD_LENGTH,
     .offset = offsetof(AskedPlacement, x_mm),
     REACH_LIMITS,
     .needed = ALWAYS},
    {.key = "y_mm",
     .kind = FIELD_LENGTH,
     .offset = offsetof(AskedPlacement, y_mm),
     REACH_LIMITS,
     .needed = ALWAYS},
    {.key = "turn_deg",
     .kind = FIELD_DEGREES,
     .offset = offsetof(AskedPlacement, turn_rad),
     TURN_LIMITS,
     .needed = ALWAYS},
    {.key = "locked", .kind = FIELD_YES_NO, .offset = offsetof(AskedPlacement, locked)},
};

static const ObjectType placement_type = {
    .name = "placement",
    .bytes = sizeof(AskedPlacement),
    .fields = placement_fields,
    .field_count = sizeof placement_fields / sizeof placement_fields[0],
};

static const Field layout_fields[] = {
    {.key = "placements",
     .kind = FIELD_LIST,
     .offset = offsetof(AskedLayout, placements),
     .count_offset = offsetof(AskedLayout, count),
     .type = &placement_type,
     .count_max = ASKED_PLACEMENTS_MAX,
     .needed = ALWAYS},
};

static const ObjectType layout_type = {
    .name = "layout",
    .bytes = sizeof(AskedLayout),
    .fields = layout_fields,
    .field_count = sizeof layout_fields / sizeof layout_fields[0],
};

static const char layout_example[] = "placements: { \"placements\": [ ... ] }";

bool asked_layout_read(const char *text, size_t bytes, Arena *keep, AskedLayout *layout,
                       Problems *problems)
{
    const SourceText whole = {text, bytes, "layout", ASKED_BYTES_MAX, layout_example};
    return read_asked(whole, &layout_type, false, keep, layout, problems);
}

bool asked_layout_read_kept(const char *text, size_t bytes, Arena *keep, AskedLayout *layout,
                            Problems *problems)
{
    const SourceText whole = {text, bytes, "layout", KEPT_BYTES_MAX, layout_example};
    return read_asked(whole, &layout_type, true, keep, layout, problems);
}

// The last millisecond of the year 9999.
#define TIME_LIMITS .limits = {{0, 253402300799999.0}, {0, 253402300799999.0}}

static const Field tick_fields[] = {
    {.key = "step", .kind = FIELD_TEXT, .offset = offsetof(AskedTick, step), .needed = ALWAYS},
    {.key = "done", .kind = FIELD_YES_NO, .offset = offsetof(AskedTick, done), .needed = ALWAYS},
    {.key = "ticked_ms",
     .kind = FIELD_FACTOR,
     .offset = offsetof(AskedTick, ticked_ms),
     TIME_LIMITS,
     .needed = ALWAYS},
    {.key = "device", .kind = FIELD_TEXT, .offset = offsetof(AskedTick, device)},
};

static const ObjectType tick_type = {
    .name = "tick",
    .bytes = sizeof(AskedTick),
    .fields = tick_fields,
    .field_count = sizeof tick_fields / sizeof tick_fields[0],
};

static const Field ticks_fields[] = {
    {.key = "ticks",
     .kind = FIELD_LIST,
     .offset = offsetof(AskedTicks, ticks),
     .count_offset = offsetof(AskedTicks, count),
     .type = &tick_type,
     .count_max = ASKED_TICKS_MAX,
     .needed = ALWAYS},
};

static const ObjectType ticks_type = {
    .name = "ticks",
    .bytes = sizeof(AskedTicks),
    .fields = ticks_fields,
    .field_count = sizeof ticks_fields / sizeof ticks_fields[0],
};

bool asked_ticks_read(const char *text, size_t bytes, Arena *keep, AskedTicks *ticks,
                      Problems *problems)
{
    const SourceText whole = {text, bytes, "ticks", ASKED_BYTES_MAX,
                              "ticks: { \"ticks\": [ ... ] }"};
    return read_asked(whole, &ticks_type, false, keep, ticks, problems);
}

// One step of a path, which it moves past: a key, or a number in brackets.
static json_t *step_into(json_t *tree, const char **path, Arena *scratch)
{
    const char *from = *path;
    if (*from == '[') {
        char *end = NULL;
        const unsigned long index = strtoul(from + 1, &end, 10);
        *path = end + (*end == ']');
        return json_array_get(tree, index);
    }
    from += *from == '.';
    const size_t length = strcspn(from, ".[");
    *path = from + length;
    return json_object_get(tree, arena_text(scratch, "%.*s", (int)length, from));
}

void asked_are_there(const char *text, size_t bytes, const char *const *paths, int count,
                     Arena *scratch, bool *there)
{
    Reading reading = {.keep = scratch, .problems = problems_in(scratch)};
    json_t *tree = reading_tree(&reading, (SourceText){text, bytes, "job", JOB_BYTES_MAX, "{ }"});
    for (int i = 0; i < count; i++) {
        const char *path = paths[i];
        json_t *at = tree;
        while (at && *path) {
            at = step_into(at, &path, scratch);
        }
        there[i] = at != NULL;
    }
    json_decref(tree);
}
