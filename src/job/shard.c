#include "job/shard.h"

#include "job/reading.h"

#include "base/json.h"
#include "buying/offer.h"
#include "buying/study.h"

#include <string.h>

enum { ASKED_DIGITS = 16, ROWS_MAX = (AREA_STEPS + 1) * (AREA_STEPS + 2) / 2 };

#define BOTH(min, max)                                                                             \
    {                                                                                              \
        {(min), (max)},                                                                            \
        {                                                                                          \
            (min), (max)                                                                           \
        }                                                                                          \
    }

static const Field row_fields[] = {
    {.key = "failed",
     .kind = FIELD_WHOLE,
     .offset = offsetof(ShardRow, failed),
     .limits = BOTH(-1, AREA_STEPS - 1),
     .needed = ALWAYS},
    {.key = "fits",
     .kind = FIELD_WHOLE,
     .offset = offsetof(ShardRow, fits),
     .limits = BOTH(0, AREA_STEPS),
     .needed = ALWAYS},
    {.key = "trials",
     .kind = FIELD_WHOLE,
     .offset = offsetof(ShardRow, count),
     .limits = BOTH(1, STUDY_TRIALS_MAX),
     .needed = ALWAYS},
};

static const ObjectType row_type = {
    .name = "bracket",
    .bytes = sizeof(ShardRow),
    .fields = row_fields,
    .field_count = sizeof row_fields / sizeof row_fields[0],
};

static const Field shard_fields[] = {
    {.key = "program", .kind = FIELD_TEXT, .offset = offsetof(Shard, program), .needed = ALWAYS},
    {.key = "asked", .kind = FIELD_TEXT, .offset = offsetof(Shard, asked), .needed = ALWAYS},
    {.key = "form",
     .kind = FIELD_CHOICE,
     .offset = offsetof(Shard, form),
     .names = hide_form_names, // panels are not drawn
     .name_count = HIDE_SIDE + 1,
     .needed = ALWAYS},
    {.key = "pieces",
     .kind = FIELD_WHOLE,
     .offset = offsetof(Shard, pieces),
     .limits = BOTH(1, STUDY_HIDES_MAX),
     .needed = ALWAYS},
    {.key = "grade", .kind = FIELD_TEXT, .offset = offsetof(Shard, grade), .needed = ALWAYS},
    {.key = "comfort",
     .kind = FIELD_SHARE,
     .offset = offsetof(Shard, comfort),
     .limits = BOTH(0.5, 0.99),
     .needed = ALWAYS},
    {.key = "seed",
     .kind = FIELD_SEED,
     .offset = offsetof(Shard, seed),
     .limits = BOTH(0, JOB_SEED_MAX),
     .needed = ALWAYS},
    {.key = "trials",
     .kind = FIELD_WHOLE,
     .offset = offsetof(Shard, trials),
     .limits = BOTH(1, STUDY_TRIALS_MAX),
     .needed = ALWAYS},
    {.key = "shards",
     .kind = FIELD_WHOLE,
     .offset = offsetof(Shard, shards),
     .limits = BOTH(1, SHARDS_MAX),
     .needed = ALWAYS},
    {.key = "shard",
     .kind = FIELD_WHOLE,
     .offset = offsetof(Shard, shard),
     .limits = BOTH(1, SHARDS_MAX),
     .needed = ALWAYS},
    {.key = "stopped", .kind = FIELD_YES_NO, .offset = offsetof(Shard, stopped), .needed = ALWAYS},
    {.key = "done",
     .kind = FIELD_WHOLE,
     .offset = offsetof(Shard, done),
     .limits = BOTH(1, STUDY_TRIALS_MAX),
     .needed = ALWAYS},
    {.key = "careful",
     .kind = FIELD_WHOLE,
     .offset = offsetof(Shard, careful),
     .limits = BOTH(0, STUDY_TRIALS_MAX),
     .needed = ALWAYS},
    {.key = "brackets",
     .kind = FIELD_LIST,
     .offset = offsetof(Shard, rows),
     .count_offset = offsetof(Shard, row_count),
     .type = &row_type,
     .count_min = 1,
     .count_max = ROWS_MAX,
     .needed = ALWAYS},
};

static const ObjectType shard_type = {
    .name = "shard",
    .bytes = sizeof(Shard),
    .fields = shard_fields,
    .field_count = sizeof shard_fields / sizeof shard_fields[0],
};

int shard_own_trials(const Shard *shard)
{
    return (shard->trials - shard->shard) / shard->shards + (shard->trials >= shard->shard);
}

void shard_take_tally(Shard *shard, const Tally *tally, Arena *keep)
{
    int capacity = 0;
    shard->rows = NULL;
    shard->row_count = 0;
    shard->done = tally->trials;
    shard->careful = tally->careful;
    for (int failed = -1; failed < AREA_STEPS; failed++) {
        for (int fits = failed + 1; fits <= AREA_STEPS; fits++) {
            const int count = (int)tally->count[failed + 1][fits];
            if (count > 0) {
                shard->rows =
                    arena_room(keep, shard->rows, shard->row_count, &capacity, sizeof *shard->rows);
                shard->rows[shard->row_count++] = (ShardRow){failed, fits, count};
            }
        }
    }
}

void shard_add_to(const Shard *shard, Tally *tally)
{
    tally->trials += shard->done;
    tally->careful += shard->careful;
    for (int i = 0; i < shard->row_count; i++) {
        const ShardRow *row = &shard->rows[i];
        tally->count[row->failed + 1][row->fits] += (uint32_t)row->count;
    }
}

// ---- Reading

static bool refuse(Reading *reading, const char *key, const char *found, const char *allowed)
{
    const Path path = {.key = key};
    return reading_refuse(reading, &path, found, allowed, NULL);
}

// That it is a shard's file at all, and one of a version that we know.
static bool check_version(Reading *reading, json_t *tree)
{
    static const char key[] = "seatwright_shard";
    Arena *words = reading_words(reading);
    json_t *version = json_object_get(tree, key);
    if (!version) {
        const bool job = json_object_get(tree, "seatwright") != NULL;
        return refuse(reading, key, job ? "is missing: this is a job" : "is missing",
                      "a file that `buy --shard` wrote");
    }
    if (!json_is_integer(version) || json_integer_value(version) != SHARD_VERSION) {
        return refuse(
            reading, key, reading_describe(reading, version),
            arena_text(words, "%d, the only version that this program reads", (int)SHARD_VERSION));
    }
    return true;
}

static bool check_asked(Reading *reading, const char *asked)
{
    const bool digits =
        strlen(asked) == ASKED_DIGITS && strspn(asked, "0123456789abcdef") == ASKED_DIGITS;
    return digits || refuse(reading, "asked", reading_quoted(reading, asked),
                            "16 hexadecimal digits, a to f in small letters");
}

static bool check_rows(Reading *reading, const Shard *shard)
{
    Arena *words = reading_words(reading);
    static const Path list = {.key = "brackets"};
    int64_t sum = 0;
    for (int i = 0; i < shard->row_count; i++) {
        const ShardRow *row = &shard->rows[i];
        const Path path = {.parent = &list, .index = i};
        if (row->fits <= row->failed) {
            return reading_refuse(
                reading, &path,
                arena_text(words, "fits at %d and fails at %d", row->fits, row->failed),
                "\"fits\" above \"failed\"", NULL);
        }
        const ShardRow *last = i > 0 ? row - 1 : row;
        if (i > 0 && (row->failed < last->failed ||
                      (row->failed == last->failed && row->fits <= last->fits))) {
            return reading_refuse(reading, &path, "stands twice or out of order",
                                  "rising by \"failed\", then by \"fits\"", NULL);
        }
        sum += row->count;
    }
    return sum == shard->done ||
           refuse(reading, "brackets",
                  arena_text(words, "hold %lld trials, not %d as \"done\" says", (long long)sum,
                             shard->done),
                  NULL);
}

static bool check_counts(Reading *reading, const Shard *shard)
{
    Arena *words = reading_words(reading);
    if (shard->shard > shard->shards) {
        return refuse(reading, "shard",
                      arena_text(words, "number %d of %d", shard->shard, shard->shards),
                      arena_text(words, "1 to %d", shard->shards));
    }
    const int own = shard_own_trials(shard);
    if (shard->stopped ? shard->done > own : shard->done != own) {
        return refuse(reading, "done",
                      arena_text(words, "%d trials, of %d that are this shard's%s", shard->done,
                                 own, shard->stopped ? "" : ", and \"stopped\" is false"),
                      NULL);
    }
    return shard->careful <= shard->done ||
           refuse(reading, "careful",
                  arena_text(words, "%d of %d trials", shard->careful, shard->done), NULL);
}

// The keys that are read here go out of the tree, so that the table reads the others.
static bool read_job_text(Reading *reading, json_t *tree, Shard *shard)
{
    json_t *job = json_object_get(tree, "job");
    if (!json_is_string(job) || json_string_length(job) > JOB_BYTES_MAX) {
        return refuse(reading, "job",
                      !job                  ? "is missing"
                      : json_is_string(job) ? "is too long"
                                            : reading_describe(reading, job),
                      arena_text(reading_words(reading), "the job's own text, at most %d bytes",
                                 (int)JOB_BYTES_MAX));
    }
    shard->job = arena_copy_text(reading->keep, json_string_value(job));
    shard->job_bytes = json_string_length(job);
    (void)json_object_del(tree, "job");
    (void)json_object_del(tree, "seatwright_shard");
    return true;
}

static bool read_shard(Reading *reading, json_t *tree, Shard *shard)
{
    if (!json_is_object(tree)) {
        return problems_add(reading->problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                                         .where = "",
                                                         .found = reading_describe(reading, tree),
                                                         .allowed = "an object { }"});
    }
    return check_version(reading, tree) && read_job_text(reading, tree, shard) &&
           read_object(reading, NULL, &shard_type, tree, shard, false) &&
           check_asked(reading, shard->asked) && check_counts(reading, shard) &&
           check_rows(reading, shard);
}

// Several files are read at once: each problem says in which it lies. Those of the syntax do so
// already.
static void name_source(Problems *problems, int first, const char *source, bool is_json)
{
    const size_t length = strlen(source);
    for (int i = first; i < problems->count; i++) {
        Problem *problem = &problems->items[i];
        // Nobody types such a file.
        problem->remedy =
            is_json ? problem->remedy : "it was cut off or changed: run this shard again";
        const bool named = strncmp(problem->where, source, length) == 0 &&
                           (problem->where[length] == '\0' || problem->where[length] == ':');
        if (!named) {
            problem->where = *problem->where
                                 ? arena_text(problems->keep, "%s: %s", source, problem->where)
                                 : source;
        }
    }
}

bool shard_read(const char *text, size_t bytes, const char *source, Arena *keep, Shard *shard,
                Problems *problems)
{
    Reading reading = {.keep = keep, .problems = problems};
    const int before = problems->mistakes;
    const int first = problems->count;
    json_t *tree =
        reading_tree(&reading, (SourceText){text, bytes, source, SHARD_BYTES_MAX,
                                            "a shard: { \"seatwright_shard\": 1, ... }"});
    const bool is_json = tree != NULL;
    Shard read = {0};
    const bool good = is_json && read_shard(&reading, tree, &read) && problems->mistakes == before;
    json_decref(tree);
    name_source(problems, first, arena_copy_text(problems->keep, source), is_json);
    if (good) {
        *shard = read;
    }
    return good;
}

// ---- Writing

void shard_write(const Shard *shard, Text *text)
{
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_int(&json, "seatwright_shard", SHARD_VERSION);
    json_text(&json, "program", shard->program);
    json_text(&json, "asked", shard->asked);
    json_text(&json, "form", hide_form_names[shard->form]);
    json_int(&json, "pieces", shard->pieces);
    json_text(&json, "grade", shard->grade);
    json_number(&json, "comfort", shard->comfort);
    json_int(&json, "seed", (long long)shard->seed);
    json_int(&json, "trials", shard->trials);
    json_int(&json, "shards", shard->shards);
    json_int(&json, "shard", shard->shard);
    json_bool(&json, "stopped", shard->stopped);
    json_int(&json, "done", shard->done);
    json_int(&json, "careful", shard->careful);
    json_begin_array(&json, "brackets");
    for (int i = 0; i < shard->row_count; i++) {
        json_begin_flat_object(&json, NULL);
        json_int(&json, "failed", shard->rows[i].failed);
        json_int(&json, "fits", shard->rows[i].fits);
        json_int(&json, "trials", shard->rows[i].count);
        json_end_object(&json);
    }
    json_end_array(&json);
    json_text(&json, "job", shard->job);
    json_end_object(&json);
    *text = json.text;
}
