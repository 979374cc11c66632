#include "job/asked_stroke.h"

#include "job/asked.h"
#include "job/reading.h"

static const Field stroke_fields[] = {
    {.key = "points_mm",
     .kind = FIELD_OUTLINE,
     .offset = offsetof(AskedStroke, points),
     .count_offset = offsetof(AskedStroke, count),
     .count_min = 2,
     .count_max = STROKE_POINTS_MAX,
     .limits = {{-HIDE_REACH_MAX_MM, HIDE_REACH_MAX_MM}, {-240, 240}},
     .needed = ALWAYS},
    {.key = "within_mm",
     .kind = FIELD_LENGTH,
     .offset = offsetof(AskedStroke, within_mm),
     .limits = {{0.1, 100}, {0.004, 4}},
     .needed = ALWAYS},
    {.key = "closed", .kind = FIELD_YES_NO, .offset = offsetof(AskedStroke, closed)},
};

static const ObjectType stroke_type = {
    .name = "stroke",
    .bytes = sizeof(AskedStroke),
    .fields = stroke_fields,
    .field_count = sizeof stroke_fields / sizeof stroke_fields[0],
};

bool asked_stroke_read(const char *text, size_t bytes, Arena *keep, AskedStroke *stroke,
                       Problems *problems)
{
    const SourceText whole = {text, bytes, "stroke", ASKED_BYTES_MAX,
                              "a line: { \"points_mm\": [ ... ], \"within_mm\": 3 }"};
    return read_asked(whole, &stroke_type, false, keep, stroke, problems);
}
