// Leather at hand, and what a cut leaves of it.
#include "plan/shop_hides.h"

#include "cutting/remnants.h"
#include "layout/remnant.h"
#include "plan/laid.h"

#include <string.h>

// The largest part and rectangle clear of flaws.
static Remnant measure_clear(const Hide *hide, Arena *keep, Arena *scratch)
{
    Sheet sheet = {.outline = hide->outline};
    for (int i = 0; i < hide->flaw_count; i++) {
        PolygonSet joined;
        if (polygon_overlay(POLYGON_UNION, sheet.forbidden[0], hide->flaws[i].area, keep,
                            &joined)) {
            sheet.forbidden[0] = joined;
        }
    }
    return remnant_measure((CutSheet){.sheet = &sheet}, USEFUL_MM, scratch);
}

bool workshop_leather(Store *store, Arena *keep, Arena *scratch, LeatherList *list,
                      Problems *problems)
{
    HideStates states;
    if (!hides_list(store, HIDES_AT_HAND, keep, &states, problems)) {
        return false;
    }
    *list = (LeatherList){.items = ARENA_ARRAY(keep, Leather, states.count + 1),
                          .useful_mm = USEFUL_MM};
    for (int i = 0; i < states.count; i++) {
        Leather *leather = &list->items[list->count];
        JobHide entry;
        Problems *slips = problems_in(keep);
        leather->state = states.items[i];
        const long long id = (long long)leather->state.record.id;
        if (!shop_read_hide(store, (int64_t)id, keep, &entry, slips) ||
            !hide_make(&entry.hide, "hide", entry.units, keep, scratch, &leather->hide, slips)) {
            problems_add(problems, (Problem){PROBLEM_DOUBT, arena_text(keep, "hide %lld", id),
                                             slips->items[0].found, NULL, NULL});
            continue;
        }
        leather->units = entry.units;
        leather->clear = measure_clear(&leather->hide, keep, scratch);
        list->count++;
    }
    return true;
}

// `brown 1, remnant 2`; what is left of that is `brown 1, remnant 2.1`.
static const char *remnant_name(const char *hide, int number, Arena *keep)
{
    static const char mark[] = ", remnant ";
    const char *tail = strstr(hide, mark) ? arena_text(keep, ".%d", number)
                                          : arena_text(keep, "%s%d", mark, number);
    size_t length = strlen(hide);
    while (length + strlen(tail) > JOB_NAME_MAX) {
        // Whole characters go: a byte that begins with the bits 10 is none.
        do {
            length--;
        } while (length > 0 && ((unsigned char)hide[length] & 0xc0) == 0x80);
    }
    return arena_text(keep, "%.*s%s", (int)length, hide, tail);
}

// A hide's entry for one of the parts that are left of it. Cuts that lie within the part are holes.
static JobHide remnant_of(const Job *job, const HideEntry *entry, const Polygon *part, int number,
                          Arena *keep)
{
    JobHide remnant = {job->units, *entry};
    FlawEntry *flaws = ARENA_ARRAY(keep, FlawEntry, entry->flaw_count + part->hole_count + 1);
    int count = 0;
    for (int f = 0; f < entry->flaw_count; f++) {
        flaws[count++] = entry->flaws[f];
    }
    for (int i = 0; i < part->hole_count; i++) {
        flaws[count++] = (FlawEntry){.kind = FLAW_HOLE,
                                     .form = FLAW_AREA,
                                     .name = "cut out",
                                     .points = part->holes[i].points,
                                     .point_count = part->holes[i].count};
    }
    remnant.hide.name = remnant_name(entry->name, number, keep);
    remnant.hide.flaws = flaws;
    remnant.hide.flaw_count = count;
    remnant.hide.remaining = part->outer.points;
    remnant.hide.remaining_count = part->outer.count;
    return remnant;
}

// The outlines that a plan cuts from one hide.
static int cuts_on(const CutPlan *plan, int hide, Ring *cuts)
{
    int count = 0;
    for (int i = 0; i < plan->cover_count; i++) {
        if (plan->covers[i].hide == hide) {
            cuts[count++] = plan->covers[i].cut;
        }
    }
    return count;
}

// The documents of what is left of one hide.
static bool find_left(const CutReport *report, int h, Arena *keep, HideCut *cut, Problems *problems)
{
    const Job *job = &report->derived.job;
    const HideEntry *entry = &job->hides[h];
    const Hide *hide = &report->derived.hides[h];
    Ring *cuts = ARENA_ARRAY(keep, Ring, report->plan.cover_count + 1);
    const int count = cuts_on(&report->plan, h, cuts);
    PolygonSet parts;
    if (!remnants_find((HideCuts){hide, cuts, count}, USEFUL_MM, arena_text(keep, "hides[%d]", h),
                       keep, &parts, problems)) {
        return false;
    }
    Document *documents = ARENA_ARRAY(keep, Document, parts.count + 1);
    for (int i = 0; i < parts.count; i++) {
        const int flaws = entry->flaw_count + parts.items[i].hole_count;
        if (flaws > FLAWS_MAX) { // a cover's hole that is left out would be leather that is gone
            return problems_say(problems, PROBLEM_BAD_INPUT, arena_text(keep, "hides[%d]", h),
                                "what is left would have %d flaws and holes, more than %d", flaws,
                                (int)FLAWS_MAX);
        }
        JobHide remnant = remnant_of(job, entry, &parts.items[i], i + 1, keep);
        if (entry->price > 0) { // its share; the cheapest that a job may say
            const double share = polygon_area_mm2(parts.items[i]) / hide->area_mm2;
            remnant.hide.price = fmax(0.01, entry->price * share);
        }
        Text text = {.keep = keep};
        job_hide_write(&remnant, &text);
        documents[i] = (Document){text_string(&text), text.length};
    }
    cut->remnants = documents;
    cut->remnant_count = parts.count;
    return true;
}

static bool is_complete(const CutReport *report, const Store *store, Problems *problems)
{
    const PlanTotals totals = plan_totals(&report->derived, &report->plan);
    if (report->plan.stopped) {
        return problems_say(problems, PROBLEM_CANCELLED, store_path(store),
                            "stopped; nothing was recorded");
    }
    return totals.placed == totals.wanted ||
           problems_add(problems,
                        (Problem){.kind = PROBLEM_BAD_INPUT,
                                  .where = arena_copy_text(problems->keep, store_path(store)),
                                  .found = arena_text(problems->keep,
                                                      "%d of %d covers have a place; nothing was "
                                                      "recorded",
                                                      totals.placed, totals.wanted),
                                  .remedy = "`seatwright lay` says what would make them fit"});
}

// Records the cuts together with the layout that they follow.
static bool record_cuts(Store *store, JobCut *cut, CutReport *report, Arena *keep,
                        Problems *problems)
{
    Text layout = {.keep = keep};
    plan_lay_json(&report->derived, &report->plan, NULL, &layout);
    cut->layout = (Document){text_string(&layout), layout.length};
    int count = 0;
    for (int i = 0; i < cut->count; i++) {
        count += cut->cuts[i].remnant_count;
    }
    int64_t *ids = ARENA_ARRAY(keep, int64_t, count + 1);
    if (!hides_cut(store, cut, ids, problems)) {
        return false;
    }
    report->remnants = ARENA_ARRAY(keep, HideState, count + 1);
    for (int i = 0; i < count; i++) {
        if (!hide_state(store, ids[i], keep, &report->remnants[i], problems)) {
            return false;
        }
    }
    report->remnant_count = count;
    return true;
}

// A hide that was cut before is told before the search begins.
static bool are_whole(Store *store, const OnTables *places, Arena *keep, Problems *problems)
{
    for (int i = 0; i < places->count; i++) {
        HideState state;
        if (!hide_state(store, places->items[i].hide, keep, &state, problems)) {
            return false;
        }
        if (state.cut_by) {
            return problems_say(problems, PROBLEM_CONFLICT, store_path(store),
                                "hide %lld (%s) has been cut, for version %lld of job %lld",
                                (long long)state.record.id, state.record.title,
                                (long long)state.cut_as, (long long)state.cut_by);
        }
    }
    return true;
}

// The job as it is to be cut, of hides that nobody has cut yet.
static bool begin_cut(Store *store, const Record *job, Arena *keep, Arena *scratch,
                      CutReport *report, Problems *problems)
{
    Document document;
    OnTables places;
    *report = (CutReport){0};
    return record_read(store, job->id, job->present, keep, &document, problems) &&
           plan_derive_text(document.data, document.bytes, job->title, keep, scratch,
                            &report->derived, problems) &&
           hides_on_tables(store, job->id, 0, keep, &places, problems) &&
           are_whole(store, &places, keep, problems);
}

// Records what a plan cuts, and what that leaves.
static bool end_cut(Store *store, const Record *job, CutReport *report, Arena *keep,
                    Problems *problems)
{
    OnTables places;
    int begun = 0;
    if (!is_complete(report, store, problems) ||
        !shop_register(store, job, &report->derived.job, keep, &begun, problems) ||
        !hides_on_tables(store, job->id, 0, keep, &places, problems)) {
        return false;
    }
    HideCut *cuts = ARENA_ARRAY(keep, HideCut, report->derived.hide_count + 1);
    JobCut cut = {.job = job->id, .version = job->present, .cuts = cuts};
    for (int h = 0; h < report->derived.hide_count; h++) {
        if (hide_is_left_whole(&report->plan, h)) {
            continue;
        }
        HideCut *one = &cuts[cut.count++];
        one->hide = shop_hide_called(&places, report->derived.hides[h].name);
        if (!find_left(report, h, keep, one, problems)) {
            return false;
        }
    }
    return record_cuts(store, &cut, report, keep, problems);
}

bool workshop_cut(Store *store, const Record *job, const Progress *progress, Arena *keep,
                  Arena *scratch, CutReport *report, Problems *problems)
{
    return begin_cut(store, job, keep, scratch, report, problems) &&
           plan_lay(&report->derived, progress, keep, scratch, &report->plan, problems) &&
           end_cut(store, job, report, keep, problems);
}

bool workshop_cut_as_laid(Store *store, const Record *job, Document layout, Arena *keep,
                          Arena *scratch, CutReport *report, Problems *problems)
{
    return begin_cut(store, job, keep, scratch, report, problems) &&
           plan_laid(&report->derived, layout, keep, scratch, &report->plan, problems) &&
           end_cut(store, job, report, keep, problems);
}
