// What works leave behind: results that are asked for again, and files.
#include "serve/work_parts.h"

#include "plan/served_papers.h"

#include <string.h>

bool work_done(Works *works, const WorkOrder *like, Arena *keep, const char **result)
{
    bool found = false;
    (void)pthread_mutex_lock(&works->lock);
    for (const Work *work = works->first; work && !found; work = work->next) {
        found = work->order.plain && work->state == WORK_DONE && work->result &&
                work->order.kind == like->kind && work->order.job == like->job &&
                work->order.version == like->version;
        *result = found ? arena_copy_text(keep, work->result) : *result;
    }
    (void)pthread_mutex_unlock(&works->lock);
    return found;
}

static Arena *make_shelf(const PackFiles *files)
{
    enum { ROOM_FOR_EACH = 1024 }; // names, rows, and what the arena rounds up
    size_t bytes = 1 << 20;
    for (int i = 0; i < files->count; i++) {
        bytes += files->items[i].bytes + ROOM_FOR_EACH;
    }
    return arena_create("files", bytes);
}

static PackFile copy_file(const PackFile *file, Arena *keep)
{
    char *data = arena_alloc(keep, file->bytes + 1, 1);
    memcpy(data, file->data, file->bytes);
    PackFile copy = *file;
    copy.name = arena_copy_text(keep, file->name);
    copy.what = arena_copy_text(keep, file->what);
    copy.data = data;
    copy.path = NULL;
    return copy;
}

// With the lock: only the works that made theirs last keep files, however long ago they began.
static void clear_oldest_shelf(Works *works)
{
    Work *oldest = NULL;
    int count = 0;
    for (Work *work = works->first; work; work = work->next) {
        if (work->shelf) {
            count++;
            oldest = !oldest || work->shelved < oldest->shelved ? work : oldest;
        }
    }
    if (count > WORKS_WITH_FILES) {
        arena_destroy(oldest->shelf);
        oldest->shelf = NULL;
        oldest->files = (PackFiles){0};
    }
}

bool work_shelve(const WorkRun *run, const PackFiles *files)
{
    Arena *shelf = make_shelf(files);
    if (!shelf) {
        return problems_say(run->problems, PROBLEM_SYSTEM, "work", "there is no memory");
    }
    PackFiles copies = {.items = ARENA_ARRAY(shelf, PackFile, files->count + 1),
                        .count = files->count,
                        .pages = files->pages};
    for (int i = 0; i < files->count; i++) {
        copies.items[i] = copy_file(&files->items[i], shelf);
    }
    Works *works = run->work->works;
    (void)pthread_mutex_lock(&works->lock);
    run->work->shelf = shelf;
    run->work->shelved = ++works->shelved;
    run->work->files = copies;
    clear_oldest_shelf(works);
    (void)pthread_mutex_unlock(&works->lock);
    return true;
}

bool work_file(Works *works, int64_t id, const char *name, Arena *keep, PackFile *file)
{
    bool found = false;
    (void)pthread_mutex_lock(&works->lock);
    const Work *work = work_find(works, id);
    for (int i = 0; work && i < work->files.count && !found; i++) {
        found = strcmp(plan_paper_name(&work->files.items[i]), name) == 0;
        if (found) {
            *file = copy_file(&work->files.items[i], keep);
        }
    }
    (void)pthread_mutex_unlock(&works->lock);
    return found;
}
