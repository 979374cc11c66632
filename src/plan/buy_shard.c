#include "plan/buy_shard.h"

#include "base/digest.h"
#include "base/version.h"
#include "job/shard.h"
#include "plan/files.h"

#include <string.h>

enum { SAMPLE_STEPS = 100 }; // of the hide that goes into the digest

// ---- What was asked, as a digest

static void add_ring(Digest *digest, Ring ring)
{
    digest_whole(digest, (uint64_t)ring.count);
    for (int i = 0; i < ring.count; i++) {
        digest_number(digest, ring.points[i].x);
        digest_number(digest, ring.points[i].y);
    }
}

static void add_demand(Digest *digest, const CoverDemand *demand)
{
    const Cover *cover = demand->cover;
    digest_whole(digest, (uint64_t)demand->count);
    digest_whole(digest, (uint64_t)cover->turn_symmetry);
    digest_number(digest, cover->gross_area_mm2);
    add_ring(digest, cover->cut);
    for (int band = 0; band < BAND_COUNT; band++) {
        add_ring(digest, cover->within[band]);
    }
}

static void add_rules(Digest *digest, const LayingRules *rules)
{
    digest_number(digest, rules->turn_window_rad);
    digest_whole(digest, rules->either_way);
    digest_number(digest, rules->gap_mm);
    for (int i = 0; i < FLAW_KIND_COUNT; i++) {
        digest_whole(digest, (uint64_t)rules->table.flaw[i]);
        digest_number(digest, rules->table.margin_mm[i]);
    }
    for (int i = 0; i < FIRMNESS_COUNT; i++) {
        digest_whole(digest, (uint64_t)rules->table.firmness[i]);
    }
    digest_whole(digest, (uint64_t)rules->table.rim);
    digest_number(digest, rules->table.rim_mm);
}

// A hide of the study as this program on this machine draws it: programs that draw otherwise,
// and mathematics that round otherwise, show here.
static void add_sample(Digest *digest, const Study *study, Arena *scratch, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    Arena *work = arena_create("sample", (size_t)1 << 30);
    const HideAsked asked = {study->form, SAMPLE_STEPS * area_step_mm2, study->seed, 0, 0,
                             study->grade};
    Hide hide = {0};
    if (work && study->draw(study->context, &asked, scratch, work, &hide, problems)) {
        add_ring(digest, hide.outline);
        for (int i = 0; i < hide.flaw_count; i++) {
            digest_whole(digest, (uint64_t)hide.flaws[i].kind);
            for (int k = 0; k < hide.flaws[i].area.count; k++) {
                add_ring(digest, hide.flaws[i].area.items[k].outer);
            }
        }
    }
    arena_destroy(work);
    arena_rewind(scratch, mark);
}

// Everything that decides how the trials of all shards come out, but for the program's version.
static const char *asked_of(const Derived *derived, const BuyOrder *order, Arena *keep,
                            Arena *scratch, Problems *problems)
{
    const Study study = plan_buy_study(derived, order);
    Digest digest = digest_begin();
    digest_text(&digest, order->grade);
    double numbers[GRADE_NUMBERS];
    hide_grade_numbers(study.grade, numbers);
    for (int i = 0; i < GRADE_NUMBERS; i++) {
        digest_number(&digest, numbers[i]);
    }
    digest_whole(&digest, study.form);
    digest_whole(&digest, (uint64_t)study.hides);
    digest_number(&digest, study.comfort);
    digest_whole(&digest, study.seed);
    digest_whole(&digest, (uint64_t)study.trials);
    digest_number(&digest, study.care.quick_work);
    digest_number(&digest, study.care.careful_work);
    digest_number(&digest, study.care.near_share);
    digest_whole(&digest, study.care.seed);
    add_rules(&digest, study.rules);
    digest_whole(&digest, (uint64_t)study.demand_count);
    for (int i = 0; i < study.demand_count; i++) {
        add_demand(&digest, &study.demands[i]);
    }
    add_sample(&digest, &study, scratch, problems);
    return digest_hex(digest, keep);
}

bool plan_shard_try(const char *path, Problems *problems)
{
    return file_try(path, problems);
}

bool plan_shard_write(const char *path, const Derived *derived, const BuyAnswer *answer,
                      Problems *problems)
{
    Arena *keep = problems->keep;
    Arena *scratch = arena_create("shard", (size_t)1 << 30);
    if (!scratch) {
        return problems_say(problems, PROBLEM_SYSTEM, path, "no memory left");
    }
    const BuyOrder *order = &answer->order;
    Shard shard = {.program = SEATWRIGHT_VERSION,
                   .asked = asked_of(derived, order, keep, scratch, problems),
                   .form = order->form,
                   .pieces = order->pieces,
                   .grade = order->grade,
                   .comfort = order->comfort,
                   .seed = derived->job.search.seed,
                   .trials = order->trials,
                   .shards = order->shards,
                   .shard = order->shard,
                   .stopped = answer->study.stopped,
                   .job = derived->text,
                   .job_bytes = derived->text_bytes};
    shard_take_tally(&shard, &answer->study.tally, keep);
    Text text = {.keep = keep};
    shard_write(&shard, &text);
    arena_destroy(scratch);
    return file_write(path, text_string(&text), text.length, problems);
}

// ---- Merging

// The merging under way.
typedef struct Merging {
    const char *const *paths;
    Shard *shards;
    int count;
    Problems *problems;
} Merging;

static void refuse(const Merging *merging, int index, const char *found, const char *remedy)
{
    (void)problems_add(merging->problems, (Problem){.kind = PROBLEM_BAD_INPUT,
                                                    .where = merging->paths[index],
                                                    .found = found,
                                                    .remedy = remedy});
}

static bool read_all(Merging *merging, Arena *keep)
{
    for (int i = 0; i < merging->count; i++) {
        const char *text = NULL;
        size_t bytes = 0;
        // The others are read all the same, so that all that is wrong is told in one go.
        const bool good =
            file_read(merging->paths[i], SHARD_BYTES_MAX, keep, &text, &bytes, merging->problems) &&
            shard_read(text, bytes, merging->paths[i], keep, &merging->shards[i],
                       merging->problems);
        if (!good && merging->problems->count == PROBLEMS_MAX) {
            break;
        }
    }
    return problems_none(merging->problems);
}

// How a shard's order differs from the first one's, or NULL.
static const char *difference(const Shard *first, const Shard *shard, Arena *keep)
{
    if (shard->form != first->form) {
        return arena_text(keep, "form %s, not %s", hide_form_names[shard->form],
                          hide_form_names[first->form]);
    }
    if (strcmp(shard->grade, first->grade) != 0) {
        return arena_text(keep, "grade %s, not %s", shard->grade, first->grade);
    }
    if (shard->pieces != first->pieces) {
        return arena_text(keep, "%d pieces together, not %d", shard->pieces, first->pieces);
    }
    if (shard->comfort != first->comfort) {
        return arena_text(keep, "comfort %g, not %g", shard->comfort, first->comfort);
    }
    if (shard->trials != first->trials) {
        return arena_text(keep, "%d trials in all, not %d", shard->trials, first->trials);
    }
    if (shard->shards != first->shards) {
        return arena_text(keep, "one of %d shards, not of %d", shard->shards, first->shards);
    }
    if (shard->job_bytes != first->job_bytes ||
        memcmp(shard->job, first->job, first->job_bytes) != 0) {
        return "another job, or the same job before a change";
    }
    // The seed is the job's.
    if (shard->seed != first->seed || strcmp(shard->asked, first->asked) != 0) {
        return "made by another program, or on a machine whose mathematics differ";
    }
    return NULL;
}

static void check_each(const Merging *merging)
{
    Arena *keep = merging->problems->keep;
    for (int i = 0; i < merging->count; i++) {
        const Shard *shard = &merging->shards[i];
        const char *other = difference(&merging->shards[0], shard, keep);
        if (strcmp(shard->program, SEATWRIGHT_VERSION) != 0) {
            refuse(merging, i,
                   arena_text(keep, "was made by version %s; this is %s", shard->program,
                              SEATWRIGHT_VERSION),
                   "run all shards, and the merge, with one version");
        } else if (other) {
            refuse(merging, i, arena_text(keep, "differs from %s: %s", merging->paths[0], other),
                   "merge only the shards of one job with the same options");
        }
        if (shard->stopped) {
            refuse(merging, i,
                   arena_text(keep, "shard %d was stopped after %d of its %d trials", shard->shard,
                              shard->done, shard_own_trials(shard)),
                   "run this shard again");
        }
    }
}

// Each shard once.
static void check_set(const Merging *merging, Arena *scratch)
{
    Arena *keep = merging->problems->keep;
    const int shards = merging->shards[0].shards;
    int *file_of = ARENA_ARRAY(scratch, int, SHARDS_MAX + 1);
    for (int i = 0; i < merging->count; i++) {
        const int number = merging->shards[i].shard;
        if (file_of[number] > 0) {
            refuse(merging, i,
                   arena_text(keep, "shard %d is there already: %s", number,
                              merging->paths[file_of[number] - 1]),
                   "give each shard once");
        }
        file_of[number] = i + 1;
    }
    enum { LISTED = 8 };
    Text missing = {.keep = keep};
    int count = 0;
    for (int number = 1; number <= shards; number++) {
        if (file_of[number] == 0 && count++ < LISTED) {
            text_add(&missing, "%s%d", count > 1 ? ", " : "", number);
        }
    }
    if (count > 0) {
        (void)problems_add(
            merging->problems,
            (Problem){.kind = PROBLEM_BAD_INPUT,
                      .where = "shards",
                      .found = arena_text(keep, "%d of %d missing: %s%s", count, shards,
                                          text_string(&missing), count > LISTED ? ", ..." : ""),
                      .remedy = "run them with the same job and options"});
    }
}

static bool check_all(const Merging *merging, Arena *scratch)
{
    check_each(merging);
    if (problems_none(merging->problems)) { // else the numbers are of different things
        check_set(merging, scratch);
    }
    return problems_none(merging->problems);
}

static bool conclude(const Merging *merging, const Derived *derived, Arena *keep, Arena *scratch,
                     BuyAnswer *answer)
{
    const Shard *first = &merging->shards[0];
    const BuyOrder order = {.grade = first->grade,
                            .form = first->form,
                            .pieces = first->pieces,
                            .comfort = first->comfort,
                            .trials = first->trials};
    if (!plan_buy_begin(derived, &order, keep, answer, merging->problems)) {
        return false;
    }
    const char *asked = asked_of(derived, &order, keep, scratch, merging->problems);
    if (strcmp(asked, first->asked) != 0 || derived->job.search.seed != first->seed) {
        refuse(merging, 0, "this program on this machine makes another task of the same job",
               "run the shards and the merge with the same program on machines of one kind; do not "
               "change the files");
        return false;
    }
    for (int i = 0; i < merging->count; i++) {
        shard_add_to(&merging->shards[i], &answer->study.tally);
    }
    answer->study.area = tally_area_for(&answer->study.tally, order.comfort, CHANCE_Z);
    return true;
}

bool plan_shards_merge(const char *const *paths, int count, Arena *keep, Arena *scratch,
                       Derived *derived, BuyAnswer *answer, Problems *problems)
{
    Merging merging = {paths, ARENA_ARRAY(keep, Shard, count + 1), count, problems};
    if (!read_all(&merging, keep) || !check_all(&merging, scratch)) {
        return false;
    }
    const Shard *first = &merging.shards[0];
    return plan_derive_text(first->job, first->job_bytes,
                            arena_text(keep, "the job in %s", paths[0]), keep, scratch, derived,
                            problems) &&
           conclude(&merging, derived, keep, scratch, answer);
}
