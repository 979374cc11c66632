#include "buying/trial_crew.h"

static const char what[] = "trying hides";
static const size_t said_bytes = (size_t)64 << 20;

// A lot under way.
typedef struct Shift {
    TrialCrew *crew;
    TrialLot lot;
    TrialHand *hands;         // of each trial
    Arena *said[WORKERS_MAX]; // of each thread: what its trials have to say
} Shift;

static void run_one(void *context, int worker, int index)
{
    Shift *shift = context;
    TrialCrew *crew = shift->crew;
    TrialHand *hand = &shift->hands[index];
    hand->problems = problems_in(shift->said[worker]);
    if (!progress_report(hand->progress, what, 0)) {
        return;
    }
    RoomCovers *covers = &crew->covers[worker];
    if (covers->probe || room_covers_make(crew->demands, crew->demand_count, crew->rules,
                                          crew->stock, covers, hand->problems)) {
        hand->covers = covers;
        shift->lot.run(shift->lot.context, index, hand);
    }
    (void)progress_report(hand->progress, what, 1);
}

static bool begin(Shift *shift, int workers)
{
    bool good = true;
    for (int i = 0; i < workers; i++) {
        shift->said[i] = arena_create("what trials say", said_bytes);
        good = good && shift->said[i];
    }
    return good;
}

static void end(Shift *shift, int workers)
{
    for (int i = 0; i < workers; i++) {
        arena_destroy(shift->said[i]);
    }
}

bool trial_crew_run(TrialCrew *crew, TrialLot lot, const Progress *progress, Arena *scratch,
                    Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    const int threads = crew->threads < 1 ? 1 : crew->threads;
    const int workers = threads < WORKERS_MAX ? threads : WORKERS_MAX;
    Shift shift = {crew, lot, ARENA_ARRAY(scratch, TrialHand, lot.count + 1), {NULL}};
    if (!begin(&shift, workers)) {
        end(&shift, workers);
        arena_rewind(scratch, mark);
        return problems_say(problems, PROBLEM_SYSTEM, "buying", "no memory left");
    }
    SharedProgress *shared = shared_progress_begin(progress, lot.count, scratch);
    for (int i = 0; i < lot.count; i++) {
        shift.hands[i].progress = shared_progress_of(shared, i);
    }
    workers_run_each(lot.count, crew->threads, run_one, &shift);
    shared_progress_end(shared);
    bool good = true;
    for (int i = 0; i < lot.count && good; i++) {
        const char *of = arena_text(scratch, "trial %llu", (unsigned long long)lot.numbers[i]);
        good = problems_pass_on(shift.hands[i].problems, of, problems);
    }
    end(&shift, workers);
    arena_rewind(scratch, mark);
    return good;
}

void trial_crew_end(TrialCrew *crew)
{
    for (int i = 0; i < WORKERS_MAX; i++) {
        room_covers_drop(&crew->covers[i]);
    }
}
