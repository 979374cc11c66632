#include "layout/search.h"

#include "base/workers.h"
#include "layout/fewest.h"
#include "layout/finish.h"
#include "layout/result.h"
#include "layout/stream.h"
#include "layout/strip.h"
#include "layout/task.h"

// The first layout takes first_steps at most, or so many times the work that is allowed.
static const double first_share = 8;
// With so many units and more there are two streams, each with half the work.
static const double units_for_two = 0.5;
enum { STREAMS_MAX = 2 };
static const size_t stream_bytes = (size_t)1 << 30;

// What all streams of a search share.
typedef struct Search {
    const LayoutTask *task;
    const LayoutOptions *options;
    SharedProgress *progress;
    Stream streams[STREAMS_MAX];
    Arena *arenas[STREAMS_MAX];
    int stream_count;
    // What has been told to whoever draws the layout.
    Placement *told;
    int *told_missing;
    bool any_told;
    double told_value;
    double told_cost;
} Search;

// The locked placements, then those of a stream's best layout.
static int list_placements(const LayoutTask *task, const Stream *stream, Placement *placements)
{
    int count = 0;
    for (int i = 0; i < task->locked_count; i++) {
        placements[count] = task->locked[i];
        placements[count++].locked = true;
    }
    for (int i = 0; stream && i < stream->tries.best.count; i++) {
        const Laid laid = stream->tries.best.laid[i];
        placements[count++] =
            (Placement){.piece = laid.piece, .sheet = laid.sheet, .motion = stream->motions[i]};
    }
    return count;
}

static void count_missing(const LayoutTask *task, Layout *layout)
{
    for (int i = 0; i < task->piece_count; i++) {
        layout->missing[i] = task->pieces[i].demand;
    }
    for (int i = 0; i < layout->count; i++) {
        layout->missing[layout->placements[i].piece]--;
        layout->value += task->pieces[layout->placements[i].piece].value;
    }
}

static int hand_out(const LayoutTask *task, const Stream *stream, Arena *keep, Arena *scratch,
                    Layout *layout)
{
    const ArenaMark mark = arena_mark(scratch);
    Placement *placements =
        ARENA_ARRAY(scratch, Placement, task->locked_count + stream->tries.best.count + 1);
    const int count = list_placements(task, stream, placements);
    const int refused = result_make(task, placements, count, keep, scratch, layout);
    arena_rewind(scratch, mark);
    return refused;
}

// Tells of a stream's best layout when it is better than what any stream told before.
static void tell_improved(void *context, const Stream *stream)
{
    Search *search = context;
    const Arrangement *best = &stream->tries.best;
    shared_progress_lock(search->progress);
    const double slack = 1e-9 * fmax(best->value, search->told_value);
    if (!search->any_told || best->value > search->told_value + slack ||
        (best->value >= search->told_value - slack && best->cost < search->told_cost)) {
        search->any_told = true;
        search->told_value = best->value;
        search->told_cost = best->cost;
        Layout layout = {.placements = search->told, .missing = search->told_missing};
        layout.count = list_placements(search->task, stream, layout.placements);
        count_missing(search->task, &layout);
        layout.cost = best->cost * stream->model.highest_cost;
        search->options->improved(search->options->improved_context, &layout);
    }
    shared_progress_unlock(search->progress);
}

static const Taken *locked_outlines(const LayoutTask *task, Arena *arena)
{
    Taken *taken = ARENA_ARRAY(arena, Taken, task->locked_count + 1);
    for (int i = 0; i < task->locked_count; i++) {
        const Placement *locked = &task->locked[i];
        taken[i] = (Taken){locked->sheet, &task->pieces[locked->piece], locked->motion};
    }
    return taken;
}

// A start that the judge accepts and that is worth more than what was found, or costs less,
// is handed out itself: it may use fits that lie between cells.
static void keep_start_if_better(const LayoutTask *task, const LayoutOptions *options, Arena *keep,
                                 Arena *scratch, Layout *layout)
{
    if (!options->start) {
        return;
    }
    Placement *placements =
        ARENA_ARRAY(scratch, Placement, task->locked_count + options->start_count + 1);
    int count = list_placements(task, NULL, placements);
    for (int i = 0; i < options->start_count; i++) {
        if (!options->start[i].locked) { // the task's locked ones are there already
            placements[count++] = options->start[i];
        }
    }
    if (layout_check(task, placements, count, scratch, NULL, 0) > 0) {
        return;
    }
    Layout start;
    result_make(task, placements, count, keep, scratch, &start);
    const double slack = 1e-9 * fmax(start.value, layout->value);
    if (start.value > layout->value + slack ||
        (start.value >= layout->value - slack && start.cost < layout->cost - 1e-12)) {
        *layout = start;
    }
}

// A layout that no other can be better than: all laid, and nothing left to be gained.
static bool is_perfect(const Stream *stream)
{
    return tries_all_laid(&stream->tries) && stream->tries.best.cost <= 0;
}

static void run_stream(void *context, int index)
{
    Search *search = context;
    // In order, on one thread, a perfect layout makes the next stream needless. On more
    // threads it runs, and the answer is the same: the first of equals is handed out.
    if (index > 0 && search->options->threads < 2 && is_perfect(&search->streams[index - 1])) {
        return;
    }
    Stream *stream = &search->streams[index];
    stream->work.stopped = !progress_report(stream->work.progress, "laying the pieces", 0);
    if (!stream->work.stopped) {
        stream_run(stream, search->arenas[index]);
    }
}

static bool begin_streams(Search *search, double units, Arena *scratch)
{
    const LayoutTask *task = search->task;
    const LayoutOptions *options = search->options;
    const ModelView view = {.taken = locked_outlines(task, scratch),
                            .taken_count = task->locked_count};
    bool started = true;
    for (int i = 0; i < search->stream_count; i++) {
        Stream *stream = &search->streams[i];
        search->arenas[i] = arena_create("search", stream_bytes);
        started &= search->arenas[i] != NULL;
        stream->task = task;
        stream->view = view;
        stream->start = options->start;
        stream->start_count = options->start_count;
        stream->motions = ARENA_ARRAY(scratch, Motion, LAYOUT_COPIES_MAX);
        // Random numbers of the first stream are those of the seed alone.
        tries_begin(&stream->tries, task, options->seed + (uint64_t)i * 0x9e3779b97f4a7c15,
                    scratch);
        const double limit = steps_in_unit * units / search->stream_count;
        stream->work = (Work){.progress = shared_progress_of(search->progress, i),
                              .limit = limit,
                              .most = fmax(first_steps, first_share * limit)};
        if (options->improved) {
            stream->improved = tell_improved;
            stream->improved_context = search;
        }
    }
    return started;
}

static const Stream *best_stream(const Search *search)
{
    const Stream *best = NULL;
    for (int i = 0; i < search->stream_count; i++) {
        const Stream *stream = &search->streams[i];
        if (stream->tries.best.any &&
            (!best || arrangement_is_better(&stream->tries.best, &best->tries.best))) {
            best = stream;
        }
    }
    return best;
}

static SearchTally tally_of(const Search *search)
{
    SearchTally tally = {.cell_mm = search->streams[0].cell_mm,
                         .poses = search->streams[0].model.pose_count};
    for (int i = 0; i < search->stream_count; i++) {
        tally.layouts += search->streams[i].tries.layouts;
        tally.work += search->streams[i].work.done / steps_in_unit;
    }
    return tally;
}

bool search_run(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                Arena *keep, Arena *scratch, SearchResult *result, Problems *problems)
{
    const ArenaMark mark = arena_mark(scratch);
    if (!task_check(task, scratch, problems)) {
        arena_rewind(scratch, mark);
        return false;
    }
    const double units = options.work > 0 ? options.work : 1.0;
    Search *search = ARENA_NEW(scratch, Search);
    search->task = task;
    search->options = &options;
    search->stream_count = units >= units_for_two ? STREAMS_MAX : 1;
    search->progress = shared_progress_begin(progress, search->stream_count, scratch);
    search->told = ARENA_ARRAY(scratch, Placement, LAYOUT_COPIES_MAX + 1);
    search->told_missing = ARENA_ARRAY(scratch, int, task->piece_count + 1);
    const bool started = begin_streams(search, units, scratch);
    if (started) {
        workers_run(search->stream_count, options.threads, run_stream, search);
    }
    const Stream *best = best_stream(search);
    if (best) {
        result->tally = tally_of(search);
        result->tally.refused = hand_out(task, best, keep, scratch, &result->layout);
        keep_start_if_better(task, &options, keep, scratch, &result->layout);
    } else if (!started) {
        problems_say(problems, PROBLEM_SYSTEM, "layout", "no memory for the search");
    } else {
        problems_say(problems, PROBLEM_CANCELLED, "layout",
                     "stopped before the first piece was laid");
    }
    for (int i = 0; i < search->stream_count; i++) {
        arena_destroy(search->arenas[i]);
    }
    shared_progress_end(search->progress);
    arena_rewind(scratch, mark);
    return best != NULL;
}

static bool lay(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                Arena *keep, Arena *scratch, Layout *layout, Problems *problems)
{
    if (task->aim == LAYOUT_FEWEST_SHEETS) {
        return task_check(task, scratch, problems) &&
               fewest_run(task, options, progress, keep, scratch, layout, problems);
    }
    SearchResult result = {0};
    if (!search_run(task, options, progress, keep, scratch, &result, problems)) {
        return false;
    }
    *layout = result.layout;
    layout->work = result.tally.work;
    return true;
}

bool layout_search(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                   Arena *keep, Arena *scratch, Layout *layout, Problems *problems)
{
    ProgressPart part = {.whole = progress, .to = 1};
    const Progress reports = {progress_report_part, &part};
    Layout laid = {0};
    if (task->aim == LAYOUT_SHORTEST_STRIP) {
        if (!task_check(task, scratch, problems) ||
            !strip_run(task, options, &reports, keep, scratch, &laid, problems)) {
            return false;
        }
        *layout = laid;
        layout->stopped = part.stopped;
        return true;
    }
    // The finish has its own share of the work, and of the progress.
    const double work = options.work > 0 ? options.work : 1.0;
    const double share = task->unfinished ? 0 : FINISH_SHARE;
    options.work = (1 - share) * work;
    part.to = 1 - share;
    if (!lay(task, options, &reports, keep, scratch, &laid, problems)) {
        return false;
    }
    part.from = part.to;
    part.to = 1;
    if (share > 0 && !part.stopped) {
        finish_run(task, share * work, &reports, keep, scratch, &laid);
    }
    *layout = laid;
    layout->stopped = part.stopped;
    return true;
}
