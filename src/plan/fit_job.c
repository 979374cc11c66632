// What of a job's document a change that makes covers fit would change.
#include "plan/put.h"

#include "job/asked.h"
#include "job/fields.h"

#include <string.h>

typedef struct Changes {
    Json *json;
    const Derived *derived;
    const FitChange *change;
} Changes;

static void begin_change(Json *json, const char *where)
{
    json_begin_flat_object(json, NULL);
    json_text(json, "where", where);
}

static void put_word(Json *json, const char *where, const char *word)
{
    begin_change(json, where);
    json_text(json, "value", word);
    json_end_object(json);
}

static const char *seat_path(const Changes *changes, int seat, const char *rest)
{
    return arena_text(changes->json->text.keep, "seats[%d]%s", seat, rest);
}

static void put_following(const Changes *changes)
{
    for (int s = 0; s < changes->derived->job.seat_count; s++) {
        if (changes->derived->job.seats[s].cut == CUT_STRAIGHT) {
            put_word(changes->json, seat_path(changes, s, ".cut"), cut_style_names[CUT_FOLLOWING]);
        }
    }
}

// In the document's unit.
static void put_grip(const Changes *changes, const char *where, const Fixing *fixing)
{
    const Sides grips_mm = fit_grips_mm(changes->change, &fixing->grip_mm);
    const Field *field = field_find(&fixing_type, "grip");
    Json *json = changes->json;
    begin_change(json, where);
    json_begin_flat_object(json, "value");
    for (int side = 0; side < SIDE_COUNT; side++) {
        json_rounded(json, side_names[side],
                     field_from_inside(field, grips_mm.at[side], changes->derived->job.units), 9);
    }
    json_end_object(json);
    json_end_object(json);
}

static const char *chair_grip_path(const Changes *changes, int seat, int chair)
{
    return seat_path(changes, seat,
                     arena_text(changes->json->text.keep, ".chairs[%d].fixing.grip", chair));
}

// Chairs without a grip of their own follow their kind.
static void put_grips(const Changes *changes)
{
    const Derived *derived = changes->derived;
    const Job *job = &derived->job;
    Arena *keep = changes->json->text.keep;
    const char **paths = ARENA_ARRAY(keep, const char *, JOB_CHAIRS_MAX);
    bool *own = ARENA_ARRAY(keep, bool, JOB_CHAIRS_MAX);
    int count = 0;
    for (int s = 0; s < job->seat_count; s++) {
        for (int c = 0; c < job->seats[s].chair_count; c++) {
            paths[count++] = chair_grip_path(changes, s, c);
        }
    }
    asked_are_there(derived->text, derived->text_bytes, paths, count, keep, own);
    count = 0;
    for (int s = 0; s < job->seat_count; s++) {
        const JobSeat *seat = &job->seats[s];
        put_grip(changes, seat_path(changes, s, ".fixing.grip"), &seat->fixing);
        for (int c = 0; c < seat->chair_count; c++, count++) {
            if (own[count]) {
                put_grip(changes, paths[count], &seat->chairs[c].fixing);
            }
        }
    }
}

// How many covers of a kind, or of one of its chairs, found no place.
static int unplaced_of(const Derived *derived, const CutPlan *plan, const char *seat,
                       const char *chair)
{
    int count = 0;
    for (int u = 0; u < plan->unplaced_count; u++) {
        const CoverDemand *demand = &derived->demands[plan->unplaced[u].demand];
        const bool same_chair =
            chair ? demand->chair && strcmp(demand->chair, chair) == 0 : demand->chair == NULL;
        count += strcmp(demand->seat, seat) == 0 && same_chair ? plan->unplaced[u].count : 0;
    }
    return count;
}

static void put_removal(Json *json, const char *where)
{
    begin_change(json, where);
    json_text(json, "value", NULL);
    json_end_object(json);
}

// From the last to the first, so that what is taken out of a list leaves the numbers of the others.
static void put_fewer(const Changes *changes, const CutPlan *plan)
{
    const Derived *derived = changes->derived;
    Json *json = changes->json;
    for (int s = derived->job.seat_count - 1; s >= 0; s--) {
        const JobSeat *seat = &derived->job.seats[s];
        int fewer = unplaced_of(derived, plan, seat->name, NULL);
        for (int c = 0; c < seat->chair_count; c++) {
            fewer += unplaced_of(derived, plan, seat->name, seat->chairs[c].name) > 0;
        }
        if (fewer >= seat->count) {
            put_removal(json, seat_path(changes, s, ""));
            continue;
        }
        for (int c = seat->chair_count - 1; c >= 0; c--) {
            if (unplaced_of(derived, plan, seat->name, seat->chairs[c].name) > 0) {
                put_removal(json,
                            seat_path(changes, s, arena_text(json->text.keep, ".chairs[%d]", c)));
            }
        }
        if (fewer > 0) {
            begin_change(json, seat_path(changes, s, ".count"));
            json_int(json, "value", seat->count - fewer);
            json_end_object(json);
        }
    }
}

static void put_tolerance(const Changes *changes, const char *what, const char *key)
{
    put_word(changes->json,
             arena_text(changes->json->text.keep, "laying.tolerance.%s.%s", what, key),
             band_names[changes->change->allowed]);
}

void put_fit_changes(Json *json, const Derived *derived, const FitAnswer *answer)
{
    const FitChange *change = &answer->change;
    const Changes changes = {json, derived, change};
    json_begin_array(json, "changes");
    switch (change->kind) {
    case FIT_FOLLOWING:
        put_following(&changes);
        break;
    case FIT_EITHER_WAY:
        begin_change(json, "laying.either_way");
        json_bool(json, "value", true);
        json_end_object(json);
        break;
    case FIT_TURN:
        begin_change(json, "laying.turn_window");
        json_rounded(json, "value", change->turn_window_rad / RAD_PER_DEG, 9);
        json_end_object(json);
        break;
    case FIT_GRIP:
        put_grips(&changes);
        break;
    case FIT_FLAW:
        put_tolerance(&changes, "flaws", flaw_kind_names[change->flaw]);
        break;
    case FIT_FIRMNESS:
        put_tolerance(&changes, "firmness", firmness_names[change->firmness]);
        break;
    case FIT_FEWER:
        put_fewer(&changes, &answer->plan);
        break;
    case FIT_LARGER: // another hide: nothing of the job
    case FIT_KIND_COUNT:
        break;
    }
    json_end_array(json);
}
