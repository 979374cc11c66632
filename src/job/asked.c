#include "job/asked.h"

#include "job/reading.h"

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

bool asked_layout_read(const char *text, size_t bytes, Arena *keep, AskedLayout *layout,
                       Problems *problems)
{
    Reading reading = {.keep = keep, .problems = problems};
    const SourceText whole = {text, bytes, "layout", ASKED_BYTES_MAX,
                              "placements: { \"placements\": [ ... ] }"};
    const int before = problems->mistakes;
    json_t *tree = reading_tree(&reading, whole);
    AskedLayout read = {0};
    const bool good = tree && read_object(&reading, NULL, &layout_type, tree, &read, false) &&
                      problems->mistakes == before;
    json_decref(tree);
    if (good) {
        *layout = read;
    }
    return good;
}
