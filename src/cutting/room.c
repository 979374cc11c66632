#include "cutting/room.h"

#include "cutting/parts.h"

RoomCare room_care_default(void)
{
    return (RoomCare){.seed = 1, .quick_work = 0.01, .careful_work = 0.1, .near_share = 0.15};
}

static int missing_of(const LayoutTask *task, const Layout *layout)
{
    int missing = 0;
    for (int i = 0; i < task->piece_count; i++) {
        missing += layout->missing[i];
    }
    return missing;
}

static int wanted_of(const LayoutTask *task)
{
    int wanted = 0;
    for (int i = 0; i < task->piece_count; i++) {
        wanted += task->pieces[i].demand;
    }
    return wanted;
}

// One search; a stop in its midst is no answer.
static bool search(const LayoutTask *task, LayoutOptions options, const Progress *progress,
                   Arena *keep, Arena *scratch, Layout *layout, Problems *problems)
{
    return layout_search(task, options, progress, keep, scratch, layout, problems) &&
           (!layout->stopped ||
            problems_say(problems, PROBLEM_CANCELLED, "buying", "stopped in the midst of a trial"));
}

static bool look(const LayoutTask *task, const RoomCare *care, const Progress *progress,
                 Arena *keep, Arena *scratch, Room *room, Problems *problems)
{
    Layout layout;
    const LayoutOptions quick = {.seed = care->seed, .work = care->quick_work};
    if (!search(task, quick, progress, keep, scratch, &layout, problems)) {
        return false;
    }
    *room = (Room){.missing = missing_of(task, &layout)};
    const bool near = room->missing <= 1 || room->missing <= care->near_share * wanted_of(task);
    if (room->missing == 0 || !near || care->careful_work <= 0) {
        return true;
    }
    const LayoutOptions careful = {.seed = care->seed,
                                   .work = care->careful_work,
                                   .start = layout.placements,
                                   .start_count = layout.count};
    if (!search(task, careful, progress, keep, scratch, &layout, problems)) {
        return false;
    }
    *room = (Room){.missing = missing_of(task, &layout), .careful = true};
    return true;
}

bool cutting_room(const Laying *laying, const RoomCare *care, const Progress *progress,
                  Arena *scratch, Room *room, Problems *problems)
{
    // Sheets and layouts live as long as the question.
    Arena *keep = arena_create("room", (size_t)1 << 30);
    if (!keep) {
        return problems_say(problems, PROBLEM_SYSTEM, "buying", "no memory left");
    }
    Sheet *sheets = ARENA_ARRAY(keep, Sheet, laying->hide_count + 1);
    bool good = true;
    for (int i = 0; good && i < laying->hide_count; i++) {
        good = sheet_without_costs(&laying->hides[i], laying->rules,
                                   arena_text(problems->keep, "hides[%d]", i), keep, scratch,
                                   &sheets[i], problems);
    }
    LayoutTask task;
    good = good && task_on_sheets(laying, sheets, keep, &task, problems);
    if (good) {
        // On all of the hides, whichever; what is left and how it looks is not asked.
        task.aim = LAYOUT_PLACE_ALL;
        task.unfinished = true;
        good = look(&task, care, progress, keep, scratch, room, problems);
    }
    arena_destroy(keep);
    return good;
}
