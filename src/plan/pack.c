#include "paper/pack.h"

#include "plan/files.h"
#include "plan/matter.h"

#include <strings.h>

// The pack being written.
typedef struct Packing {
    const PackMatter *matter;
    const BuyingMatter *buying;
    ProgressPart part; // behind the matter's progress
    const char *folder;
    Arena *keep;
    PackFiles *files;
    Problems *problems;
} Packing;

static bool was_stopped(const Packing *packing)
{
    return problems_say(packing->problems, PROBLEM_CANCELLED,
                        packing->folder ? packing->folder : "papers",
                        packing->folder ? "stopped; the files written so far are whole"
                                        : "stopped before they were all drawn");
}

static bool put_file(Packing *packing, PackFile file)
{
    // What was asked to stop half way must not be written.
    if (!pack_goes_on(packing->matter)) {
        return was_stopped(packing);
    }
    if (packing->folder) {
        file.path = arena_text(packing->keep, "%s/%s", packing->folder, file.name);
        if (!file_write(file.path, file.data, file.bytes, packing->problems)) {
            return false;
        }
    }
    PackFiles *files = packing->files;
    files->items =
        arena_room(packing->keep, files->items, files->count, &files->room, sizeof *files->items);
    files->items[files->count++] = file;
    return true;
}

static bool put_drawing(Packing *packing, const Drawing *drawing, PackFile file,
                        void (*render)(const Drawing *drawing, Text *text))
{
    Text text = {.keep = packing->keep};
    render(drawing, &text);
    file.data = text_string(&text);
    file.bytes = text.length;
    file.width_mm = drawing->width_mm;
    file.height_mm = drawing->height_mm;
    return put_file(packing, file);
}

static bool put_svg(Packing *packing, const Drawing *drawing, const char *name, const char *what)
{
    const PackFile file = {.name = name, .what = what, .type = "image/svg+xml"};
    return put_drawing(packing, drawing, file, paper_svg);
}

static bool put_dxf(Packing *packing, const Drawing *drawing, const char *name, const char *what)
{
    const PackFile file = {.name = name, .what = what, .type = "image/vnd.dxf"};
    return put_drawing(packing, drawing, file, paper_dxf);
}

// A letter as it may stand in a file's name, or '-' for any other.
static char file_letter(char c)
{
    if (c >= 'A' && c <= 'Z') {
        return (char)(c - 'A' + 'a');
    }
    const bool plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
    return (char)(plain ? c : '-');
}

// A name as part of a file's name: letters, digits and single hyphens, whatever was typed.
static const char *file_word(const char *name, int index, Arena *keep)
{
    char word[41];
    size_t length = 0;
    for (const char *c = name; *c && length < sizeof word - 1; c++) {
        const char letter = file_letter(*c);
        if (letter != '-' || (length > 0 && word[length - 1] != '-')) {
            word[length++] = letter;
        }
    }
    length -= length > 0 && word[length - 1] == '-';
    word[length] = 0;
    return arena_text(keep, "%d%s%s", index + 1, length > 0 ? "-" : "", word);
}

static bool put_hide(Packing *packing, int hide)
{
    Arena *keep = packing->keep;
    const char *word = file_word(packing->matter->hides[hide].name, hide, keep);
    const Drawing *grain = pack_chalk_picture(packing->matter, hide, false, keep);
    const Drawing *flesh = pack_chalk_picture(packing->matter, hide, true, keep);
    const Drawing *full = pack_layout_full_size(packing->matter, hide, keep);
    return put_svg(packing, grain, arena_text(keep, "hide-%s-grain.svg", word),
                   "chalk map, grain side") &&
           put_svg(packing, flesh, arena_text(keep, "hide-%s-flesh.svg", word),
                   "chalk map, flesh side") &&
           put_svg(packing, full, arena_text(keep, "hide-%s-full-size.svg", word),
                   "layout at full size") &&
           put_dxf(packing, full, arena_text(keep, "hide-%s-full-size.dxf", word),
                   "layout at full size");
}

static bool put_cover(Packing *packing, int demand)
{
    Arena *keep = packing->keep;
    const char *name = packing->matter->demands[demand].name;
    const Drawing *full = pack_cover_full_size(packing->matter, demand, keep);
    return put_svg(packing, full, arena_text(keep, "cover-%s.svg", name), "cover at full size") &&
           put_dxf(packing, full, arena_text(keep, "cover-%s.dxf", name), "cover at full size");
}

// Every page as a drawing of its own, for screens and for other programs.
static bool put_pages(Packing *packing, const Pages *pages)
{
    Arena *keep = packing->keep;
    if (packing->folder &&
        !folder_make(arena_text(keep, "%s/pages", packing->folder), packing->problems)) {
        return false;
    }
    for (int p = 0; p < pages->count; p++) {
        const char *name = arena_text(keep, "pages/page-%03d.svg", p + 1);
        if (!put_svg(packing, pages->items[p], name, pages->items[p]->title)) {
            return false;
        }
    }
    return true;
}

static bool put_pdf(Packing *packing)
{
    const PackMatter *matter = packing->matter;
    Pages pages = {.keep = packing->keep};
    pack_summary(matter, &pages);
    for (int h = 0; h < matter->hide_count; h++) {
        packing->part.to = 0.3 * (h + 1) / matter->hide_count;
        if (pack_shows_hide(matter, h) && pack_goes_on(matter)) {
            pack_chalk_map(matter, h, &pages);
        }
        packing->part.from = packing->part.to;
    }
    pack_cut_order(matter, &pages);
    pack_buying(matter, packing->buying, &pages);
    pack_templates(matter, &pages);
    if (!pack_goes_on(matter)) {
        return was_stopped(packing);
    }
    packing->part.to = 0.4;
    Bytes bytes;
    const PaperTitle title = {matter->job->name, matter->date};
    if (!paper_pdf(pages.items, pages.count, title, matter->progress, packing->keep, &bytes)) {
        return packing->part.stopped ? was_stopped(packing)
                                     : problems_say(packing->problems, PROBLEM_SYSTEM, "pack.pdf",
                                                    "could not draw the pages: out of memory");
    }
    packing->files->pages = pages.count;
    const PackFile pdf = {.name = "pack.pdf",
                          .what = "the pack to print",
                          .type = "application/pdf",
                          .data = bytes.data,
                          .bytes = bytes.length};
    return put_file(packing, pdf) && put_pages(packing, &pages);
}

static bool put_parts(Packing *packing)
{
    const PackMatter *matter = packing->matter;
    const int steps = matter->hide_count + matter->demand_count;
    if (!put_pdf(packing)) {
        return false;
    }
    for (int step = 0; step < steps; step++) {
        packing->part.from = packing->part.to;
        packing->part.to = 0.4 + 0.6 * (step + 1) / steps;
        const int demand = step - matter->hide_count;
        const bool shown = demand >= 0 || pack_shows_hide(matter, step);
        const bool done = !shown       ? true
                          : demand < 0 ? put_hide(packing, step)
                                       : put_cover(packing, demand);
        if (!done) {
            return false;
        }
    }
    return true;
}

static bool put_plan(Packing *packing, const Derived *derived)
{
    Text json = {.keep = packing->keep};
    plan_lay_json(derived, packing->matter->plan, NULL, &json);
    const PackFile file = {.name = "plan.json",
                           .what = "the plan for other programs",
                           .type = "application/json",
                           .data = text_string(&json),
                           .bytes = json.length};
    return put_file(packing, file);
}

bool plan_paper_named(const char *name, JobPaper *paper)
{
    for (int p = 0; p < JOB_PAPER_COUNT; p++) {
        if (strcasecmp(name, job_paper_names[p]) == 0) {
            *paper = (JobPaper)p;
            return true;
        }
    }
    return false;
}

PackMatter matter_of(const Derived *derived, const CutPlan *plan)
{
    return (PackMatter){.job = &derived->job,
                        .demands = derived->demands,
                        .demand_count = derived->demand_count,
                        .hides = derived->hides,
                        .hide_count = derived->hide_count,
                        .plan = plan};
}

bool plan_pack(const Derived *derived, const CutPlan *plan, const PackOrder *order,
               const Progress *progress, Arena *keep, PackFiles *files, Problems *problems)
{
    PackMatter matter = matter_of(derived, plan);
    matter.doubts = order->doubts;
    matter.date = order->date;
    *files = (PackFiles){0};
    Packing packing = {.matter = &matter,
                       .buying = buying_matter(derived, order->buying, keep),
                       .part = {.whole = progress},
                       .folder = order->folder,
                       .keep = keep,
                       .files = files,
                       .problems = problems};
    const Progress reports = {progress_report_part, &packing.part};
    matter.progress = &reports;
    if (!pack_goes_on(&matter)) {
        return was_stopped(&packing);
    }
    return (!order->folder || folder_make(order->folder, problems)) && put_parts(&packing) &&
           put_plan(&packing, derived);
}
