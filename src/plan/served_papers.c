#include "plan/served_papers.h"

#include "plan/laid.h"

#include <string.h>
#include <time.h>

static bool find_plan(const Derived *derived, const PapersAsked *asked, const Progress *progress,
                      Arena *keep, Arena *scratch, CutPlan *plan, Problems *problems)
{
    if (asked->layout.bytes > 0) {
        return plan_laid(derived, asked->layout, keep, scratch, plan, problems);
    }
    return plan_lay(derived, progress, keep, scratch, plan, problems) &&
           (!plan->stopped || problems_say(problems, PROBLEM_CANCELLED, "papers",
                                           "stopped before a layout was found"));
}

bool plan_papers(Derived *derived, const PapersAsked *asked, const Progress *progress, Arena *keep,
                 Arena *scratch, PapersMade *made, Problems *problems)
{
    // Rough shares of the time: the search, the trials, the drawing.
    const double searched = asked->layout.bytes > 0 ? 0.05 : 0.5;
    const double tried = asked->buying ? searched + 0.3 : searched;
    ProgressPart search = {.whole = progress, .from = 0, .to = searched};
    ProgressPart trials = {.whole = progress, .from = searched, .to = tried};
    ProgressPart drawing = {.whole = progress, .from = tried, .to = 1};
    if (asked->paper > 0) {
        derived->job.paper = (JobPaper)(asked->paper - 1);
    }
    BuyingKnown known = {0};
    BuyAnswer *begun = ARENA_NEW(keep, BuyAnswer);
    const PackOrder order = {NULL, asked->date, problems, &known};
    CutPlan plan;
    // What is wrong with the order of trials is told before the layout, which takes its time.
    if ((asked->buying && !plan_buy_begin(derived, &asked->buying_order, keep, begun, problems)) ||
        !find_plan(derived, asked, &(Progress){progress_report_part, &search}, keep, scratch, &plan,
                   problems) ||
        (asked->buying && !plan_buying_known(derived, &asked->buying_order,
                                             &(Progress){progress_report_part, &trials}, keep,
                                             scratch, &known, problems)) ||
        !plan_pack(derived, &plan, &order, &(Progress){progress_report_part, &drawing}, keep,
                   &made->files, problems)) {
        return false;
    }
    made->unplaced = 0;
    for (int i = 0; i < plan.unplaced_count; i++) {
        made->unplaced += plan.unplaced[i].count;
    }
    return true;
}

static bool is_page(const PackFile *file)
{
    return strchr(file->name, '/') != NULL;
}

const char *plan_paper_name(const PackFile *file)
{
    const char *slash = strrchr(file->name, '/');
    return slash ? slash + 1 : file->name;
}

static void put_page(Json *json, const PackFile *file, int number)
{
    json_begin_flat_object(json, NULL);
    json_int(json, "page", number);
    json_text(json, "title", file->what);
    json_text(json, "name", plan_paper_name(file));
    json_rounded(json, "width_mm", file->width_mm, 3);
    json_rounded(json, "height_mm", file->height_mm, 3);
    json_end_object(json);
}

static void put_file(Json *json, const PackFile *file)
{
    json_begin_flat_object(json, NULL);
    json_text(json, "name", plan_paper_name(file));
    json_text(json, "what", file->what);
    json_text(json, "type", file->type);
    json_int(json, "bytes", (long long)file->bytes);
    json_end_object(json);
}

void plan_papers_json(const Derived *derived, const PapersAsked *asked, const PapersMade *made,
                      Text *text)
{
    Json json = {.text = *text};
    json_begin_object(&json, NULL);
    json_text(&json, "job", derived->job.name);
    json_text(&json, "paper", job_paper_names[derived->job.paper]);
    json_text(&json, "date", asked->date);
    json_bool(&json, "buying", asked->buying);
    json_bool(&json, "kept_layout", asked->layout.bytes > 0);
    json_int(&json, "unplaced", made->unplaced);
    json_begin_array(&json, "pages");
    int number = 0;
    for (int i = 0; i < made->files.count; i++) {
        if (is_page(&made->files.items[i])) {
            put_page(&json, &made->files.items[i], ++number);
        }
    }
    json_end_array(&json);
    json_begin_array(&json, "files");
    for (int i = 0; i < made->files.count; i++) {
        if (!is_page(&made->files.items[i])) {
            put_file(&json, &made->files.items[i]);
        }
    }
    json_end_array(&json);
    json_end_object(&json);
    *text = json.text;
}

const char *plan_today(Arena *keep)
{
    const time_t now = time(NULL);
    struct tm parts = {0};
    (void)localtime_r(&now, &parts);
    return arena_text(keep, "%04d-%02d-%02d", parts.tm_year + 1900, parts.tm_mon + 1,
                      parts.tm_mday);
}

bool plan_is_date(const char *text)
{
    static const char form[] = "dddd-dd-dd";
    if (strlen(text) != sizeof form - 1) {
        return false;
    }
    for (size_t i = 0; i < sizeof form - 1; i++) {
        const bool digit = text[i] >= '0' && text[i] <= '9';
        if (form[i] == 'd' ? !digit : text[i] != '-') {
            return false;
        }
    }
    const int month = 10 * (text[5] - '0') + text[6] - '0';
    const int day = 10 * (text[8] - '0') + text[9] - '0';
    return month >= 1 && month <= 12 && day >= 1 && day <= 31;
}
