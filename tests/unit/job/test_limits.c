// Every limit of the tables, tried on both sides.
//
// The documents in tests/golden/jobs have every field. Each of their numbers, texts and
// lists is put to just inside and just outside its limits, and the reader is asked. So
// a new field is tested once it stands in one of the documents; that it does stand
// there is tested too.
#include "files.h"
#include "job/fields.h"

#include <jansson.h>
#include <stdlib.h>

typedef struct Trial {
    Arena *keep;
    json_t *document;
    Units units;
    bool *seen; ///< for each type, field and system
    int tried;
} Trial;

enum { FIELDS_MAX = 32 };

static bool *seen_at(const Trial *trial, const ObjectType *type, const Field *field, int system)
{
    for (int i = 0; i < OBJECT_TYPE_COUNT; i++) {
        if (object_types[i] == type) {
            return &trial->seen[(i * FIELDS_MAX + (int)(field - type->fields)) * 2 + system];
        }
    }
    fail();
    return NULL;
}

// What the reader says at this very path, or "".
static const char *said_at(const Trial *trial, const char *path)
{
    Arena *arena = arena_create("limit", 64 << 20);
    char *text = json_dumps(trial->document, JSON_COMPACT | JSON_REAL_PRECISION(17));
    Job job;
    Problems *problems = problems_in(arena);
    (void)!job_read(text, strlen(text), "job.json", arena, &job, problems);
    const char *said = "";
    for (int i = 0; i < problems->count; i++) {
        if (strcmp(problems->items[i].where, path) == 0) {
            said = arena_copy_text(trial->keep, problems->items[i].found);
        }
    }
    free(text);
    arena_destroy(arena);
    return said;
}

// Puts a value into a place of the document for a moment. `value` is taken over.
static const char *said_with(Trial *trial, const char *path, json_t *holder, const char *key,
                             size_t index, json_t *value)
{
    json_t *before =
        json_incref(key ? json_object_get(holder, key) : json_array_get(holder, index));
    const bool put = key ? json_object_set_new(holder, key, value) == 0
                         : json_array_set_new(holder, index, value) == 0;
    assert_true(put);
    const char *said = said_at(trial, path);
    (void)(key ? json_object_set_new(holder, key, before)
               : json_array_set_new(holder, index, before));
    trial->tried++;
    return said;
}

static void expect(const char *path, const char *said, const char *wanted)
{
    if (wanted ? !strstr(said, wanted) : *said != '\0' && strstr(said, "allowed")) {
        fail_msg("%s says \"%s\", not \"%s\"", path, said, wanted ? wanted : "");
    }
}

static json_t *number(const Field *field, double value)
{
    if (field->kind == FIELD_STAMP) { // whole feet and quarters
        const int whole = (int)value;
        char text[20];
        (void)snprintf(text, sizeof text, "%d.%d", whole, (int)((value - whole) * 4));
        return json_string(text);
    }
    const bool whole = field->kind == FIELD_WHOLE || field->kind == FIELD_SEED;
    return whole ? json_integer((json_int_t)value) : json_real(value);
}

static void try_number(Trial *trial, const char *path, const Field *field, json_t *holder,
                       const char *key, size_t index)
{
    const Limits limits = field->limits[field_system(field, trial->units)];
    const double step = field->kind == FIELD_STAMP                                ? 0.25
                        : field->kind == FIELD_MONEY                              ? 0.01
                        : field->kind == FIELD_WHOLE || field->kind == FIELD_SEED ? 1
                                                                                  : 1e-6;
    const double inside[] = {limits.min, limits.max, limits.min + step, limits.max - step};
    for (int i = 0; i < 4; i++) {
        expect(path, said_with(trial, path, holder, key, index, number(field, inside[i])), NULL);
    }
    expect(path, said_with(trial, path, holder, key, index, number(field, limits.min - step)),
           "less than allowed");
    expect(path, said_with(trial, path, holder, key, index, number(field, limits.max + step)),
           "more than allowed");
}

static void try_text(Trial *trial, const char *path, const Field *field, json_t *holder,
                     const char *key)
{
    const int bytes_max = field->kind == FIELD_NOTES ? JOB_NOTES_MAX : JOB_NAME_MAX;
    char *text = arena_alloc(trial->keep, (size_t)bytes_max + 2, 1);
    memset(text, 'x', (size_t)bytes_max);
    expect(path, said_with(trial, path, holder, key, 0, json_string(text)), NULL);
    expect(path, said_with(trial, path, holder, key, 0, json_string("x")), NULL);
    text[bytes_max] = 'x';
    expect(path, said_with(trial, path, holder, key, 0, json_string(text)), "bytes");
    expect(path, said_with(trial, path, holder, key, 0, json_string("")), "empty");
}

static json_t *list_of(const json_t *list, int count)
{
    json_t *many = json_array();
    for (int i = 0; i < count; i++) {
        (void)json_array_append(many, json_array_get(list, (size_t)i % json_array_size(list)));
    }
    return many;
}

static void try_count(Trial *trial, const char *path, const Field *field, json_t *holder,
                      const char *key)
{
    const json_t *list = json_object_get(holder, key);
    if (json_array_size(list) == 0) {
        return;
    }
    const int inside[] = {field->count_min, field->count_max};
    for (int i = 0; i < 2; i++) {
        const char *said = said_with(trial, path, holder, key, 0, list_of(list, inside[i]));
        if (strstr(said, "in the list") || strstr(said, "empty list")) {
            fail_msg("%s: %d refused: %s", path, inside[i], said);
        }
    }
    expect(path, said_with(trial, path, holder, key, 0, list_of(list, field->count_max + 1)),
           "in the list");
    if (field->count_min > 0) {
        expect(path, said_with(trial, path, holder, key, 0, list_of(list, field->count_min - 1)),
               "list");
    }
}

static void walk(Trial *trial, const char *path, const ObjectType *type, json_t *object);

static bool is_number(const Field *field)
{
    return field_is_measure(field) || field->kind == FIELD_WHOLE || field->kind == FIELD_SEED ||
           field->kind == FIELD_MONEY;
}

static void walk_value(Trial *trial, const char *path, const ObjectType *type, const Field *field,
                       json_t *holder, const char *key)
{
    json_t *value = json_object_get(holder, key);
    *seen_at(trial, type, field, field_system(field, trial->units)) = true;
    if (is_number(field)) {
        try_number(trial, path, field, holder, key, 0);
    } else if (field->kind == FIELD_TEXT || field->kind == FIELD_NOTES) {
        try_text(trial, path, field, holder, key);
    } else if (field->kind == FIELD_OBJECT) {
        walk(trial, path, field->type, value);
    } else if (field->kind == FIELD_PLACE) {
        walk(trial, path, &place_type, value);
    } else if (field->count_offset) {
        try_count(trial, path, field, holder, key);
        for (size_t i = 0; i < json_array_size(value); i++) {
            const char *item = arena_text(trial->keep, "%s[%zu]", path, i);
            json_t *inner = json_array_get(value, i);
            if (field->kind == FIELD_OUTLINE) {
                try_number(trial, arena_text(trial->keep, "%s[0]", item), field, inner, NULL, 0);
                try_number(trial, arena_text(trial->keep, "%s[1]", item), field, inner, NULL, 1);
            } else {
                walk(trial, item, field->kind == FIELD_LIST ? field->type : &place_type, inner);
            }
        }
    }
}

static void walk(Trial *trial, const char *path, const ObjectType *type, json_t *object)
{
    const char *key;
    json_t *value;
    void *next;
    json_object_foreach_safe(object, next, key, value)
    {
        const Field *field = field_find(type, key);
        assert_non_null(field);
        const char *inner = arena_text(trial->keep, "%s%s%s", path, *path ? "." : "", key);
        if (!field->each || !json_is_object(value)) {
            walk_value(trial, inner, type, field, object, key);
            continue;
        }
        const char *name;
        json_t *single;
        void *next_name;
        json_object_foreach_safe(value, next_name, name, single)
        {
            const char *quote = strchr(name, ' ') ? "\"" : "";
            walk_value(trial, arena_text(trial->keep, "%s.%s%s%s", inner, quote, name, quote), type,
                       field, value, name);
        }
    }
}

static int try_document(const char *path, Units units, bool *seen, Arena *keep)
{
    json_error_t error;
    Trial trial = {.keep = keep, .units = units, .seen = seen};
    trial.document = json_load_file(path, 0, &error);
    assert_non_null(trial.document);
    walk(&trial, "", &job_type, trial.document);
    json_decref(trial.document);
    return trial.tried;
}

static void every_limit_holds_on_both_sides(void **state)
{
    bool *seen = ARENA_ARRAY(*state, bool, OBJECT_TYPE_COUNT *FIELDS_MAX * 2);
    int tried = 0;
    tried += try_document(GOLDEN "/jobs/everything-inches.typed.json",
                          (Units){LENGTH_IN, AREA_FT2, LEATHER_OZ}, seen, *state);
    tried += try_document(GOLDEN "/jobs/everything-metric.json",
                          (Units){LENGTH_MM, AREA_M2, LEATHER_MM}, seen, *state);
    const Trial trial = {.seen = seen};
    for (int i = 0; i < OBJECT_TYPE_COUNT; i++) {
        const ObjectType *type = object_types[i];
        assert_true(type->field_count <= FIELDS_MAX);
        for (int k = 0; k < type->field_count; k++) {
            const Field *field = &type->fields[k];
            const bool metric = *seen_at(&trial, type, field, METRIC);
            const bool imperial = *seen_at(&trial, type, field, IMPERIAL);
            const bool both =
                is_number(field) && field->kind != FIELD_STAMP && field->kind != FIELD_MONEY;
            if (both ? !(metric && imperial) : !(metric || imperial)) {
                fail_msg("%s.%s stands in no document of %s units", type->name, field->key,
                         metric ? "imperial" : "metric");
            }
        }
    }
    print_message("# %d documents tried\n", tried);
}

// Limits make sense: the usual value lies within, and both systems mean about the same.
static void limits_agree_with_each_other(void **state)
{
    (void)state;
    const Units metric = {LENGTH_MM, AREA_M2, LEATHER_MM};
    const Units imperial = {LENGTH_IN, AREA_FT2, LEATHER_OZ};
    for (int i = 0; i < OBJECT_TYPE_COUNT; i++) {
        for (int k = 0; k < object_types[i]->field_count; k++) {
            const Field *field = &object_types[i]->fields[k];
            const bool outline = field->kind == FIELD_OUTLINE;
            if (!(field_is_measure(field) || outline) || field->kind == FIELD_STAMP) {
                continue;
            }
            for (int system = METRIC; system <= IMPERIAL; system++) {
                assert_true(field->limits[system].min < field->limits[system].max);
                const double usual = field->usual[system];
                assert_true(usual <= field->limits[system].max);
                assert_true(usual <= 0 || usual >= field->limits[system].min);
                assert_true(field->likely[system].max <= field->limits[system].max);
            }
            const double max_mm = field_to_inside(field, field->limits[METRIC].max, metric);
            const double max_in = field_to_inside(field, field->limits[IMPERIAL].max, imperial);
            CHECK_NEAR(max_in / max_mm, 1, 0.05);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(every_limit_holds_on_both_sides),
        TEST_IN_ARENA(limits_agree_with_each_other),
    };
    return cmocka_run_group_tests_name("job/limits", tests, NULL, NULL);
}
