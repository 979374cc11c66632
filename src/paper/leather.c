// Which leather: kind and thickness with their reasons, and what to ask the seller for.
#include "paper/buying.h"
#include "paper/table.h"

#include <string.h>

static const char title[] = "Which leather";

static void add_wish(Flow *flow, const AdvisedLeather *leather)
{
    const Advice *advised = leather->advice;
    const LeatherWish *wish = &leather->question->wish;
    Arena *keep = flow->pages->keep;
    if (wish->kind >= 0 && wish->kind != (int)advised->kind) {
        flow_paragraph(
            flow, arena_text(keep, "You want %s: it has %d points to %d, for the reasons below.",
                             leather_kind_names[wish->kind], advised->score[wish->kind],
                             advised->score[advised->kind]));
    }
    if (wish->grain >= 0 && wish->grain != (int)advised->grain) {
        flow_paragraph(flow, arena_text(keep, "You want %s grain; %s is advised.",
                                        leather_grain_names[wish->grain],
                                        leather_grain_names[advised->grain]));
    }
    if (advised->heavy || advised->light) {
        const LeatherUnit unit = flow->matter->job->units.leather;
        flow_paragraph(flow, arena_text(keep, "The leather of the job, %s, is %s than that.",
                                        leather_text(leather->question->leather_mm, unit, keep),
                                        advised->heavy ? "thicker" : "thinner"));
    }
}

static const char *points_text(int points, Arena *keep)
{
    return points == 0 ? NULL : arena_text(keep, "%+d", points);
}

static void add_reasons(Flow *flow, const Advice *advised)
{
    enum { COLUMNS = 2 + LEATHER_KIND_COUNT };
    Arena *keep = flow->pages->keep;
    Table table = {
        .columns = {{.head = "because", .wraps = true}}, .column_count = COLUMNS, .keep = keep};
    for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
        table.columns[1 + k] =
            (Column){.head = leather_kind_names[advised->order[k]], .align = ALIGN_RIGHT};
    }
    table.columns[COLUMNS - 1] = (Column){.head = "reason", .wraps = true};
    const char *cells[COLUMNS];
    for (int r = 0; r < ADVICE_RULE_COUNT; r++) {
        const AdviceRule *rule = &advice_rules[r];
        if (!advised->holds[r]) {
            continue;
        }
        cells[0] = rule->when;
        for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
            cells[1 + k] = points_text(rule->kind[advised->order[k]], keep);
        }
        cells[COLUMNS - 1] = arena_text(keep, "%s (%s)", rule->reason, rule->source);
        table_row(&table, cells);
    }
    cells[0] = "all together";
    for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
        cells[1 + k] = arena_text(keep, "%d", advised->score[advised->order[k]]);
    }
    cells[COLUMNS - 1] = NULL;
    table_row(&table, cells);
    flow_heading(flow, "Why", 24);
    table_draw(&table, flow);
    Text kinds = {.keep = keep};
    for (int k = 0; k < LEATHER_KIND_COUNT; k++) {
        const LeatherKind kind = advised->order[k];
        const char *name = leather_kind_names[kind];
        text_add(&kinds, "%s%c%s is %s.", k > 0 ? " " : "", name[0] - 'a' + 'A', name + 1,
                 leather_kind_meanings[kind]);
    }
    flow_paragraph(flow, text_string(&kinds));
}

enum { THICKNESS_CELLS = 6, NAMES_TOGETHER = 4 };

/// The row of one seat but for its name.
static void thickness_cells(const AdvisedLeather *leather, int seat, Units units,
                            const char *cells[THICKNESS_CELLS], Arena *keep)
{
    const AdviceSeat *asked = &leather->question->seats[seat];
    const ThicknessCheck *check = &leather->checks[seat];
    cells[1] = arena_text(keep, "%s%s", layers_text(check->clearance_mm, units.length, keep),
                          check->measured ? "" : " *");
    cells[2] = layers_text(asked->layers_mm, units.length, keep);
    cells[3] = leather_at_most_text(check->straight_max_mm, units.leather, keep);
    cells[4] = leather_at_most_text(check->corner_max_mm, units.leather, keep);
    cells[5] = thickness_room_text(check);
}

static bool reads_the_same(const char *const *a, const char *const *b)
{
    for (int i = 1; i < THICKNESS_CELLS; i++) {
        if (strcmp(a[i], b[i]) != 0) {
            return false;
        }
    }
    return true;
}

/// Seats that follow each other and have the same room share a row.
static void add_seats(Table *table, const AdvisedLeather *leather, Units units)
{
    Arena *keep = table->keep;
    const int count = leather->question->seat_count;
    int together = 1;
    for (int i = 0; i < count; i += together) {
        const char *cells[THICKNESS_CELLS];
        thickness_cells(leather, i, units, cells, keep);
        Text names = {.keep = keep};
        text_add(&names, "%s", leather->question->seats[i].name);
        for (together = 1; i + together < count && together < NAMES_TOGETHER; together++) {
            const char *next[THICKNESS_CELLS];
            thickness_cells(leather, i + together, units, next, keep);
            if (!reads_the_same(cells, next)) {
                break;
            }
            text_add(&names, "; %s", leather->question->seats[i + together].name);
        }
        cells[0] = text_string(&names);
        table_row(table, cells);
    }
}

static void add_thickness(Flow *flow, const AdvisedLeather *leather)
{
    const AdviceQuestion *question = leather->question;
    const Units units = flow->matter->job->units;
    Arena *keep = flow->pages->keep;
    Table table = {.columns = {{.head = "seat", .wraps = true},
                               {.head = "clearance each side", .align = ALIGN_RIGHT},
                               {.head = "layers over the sides", .align = ALIGN_RIGHT},
                               {.head = "straight up to", .align = ALIGN_RIGHT},
                               {.head = "corners up to", .align = ALIGN_RIGHT},
                               {.head = "this leather", .wraps = true}},
                   .column_count = THICKNESS_CELLS,
                   .keep = keep};
    add_seats(&table, leather, units);
    bool guessed = false;
    bool tight = false;
    for (int i = 0; i < question->seat_count; i++) {
        guessed = guessed || !leather->checks[i].measured;
        tight = tight || !leather->checks[i].fits;
    }
    flow_heading(flow, "How thick", 30);
    flow_paragraph(
        flow, arena_text(keep,
                         "The leather of the job is %s. Between board and rail lie, on each "
                         "side, one leather on the straight and at most %d at a folded corner, "
                         "the layers over the sides, and %.1f mm to drop in.",
                         leather_text(question->leather_mm, units.leather, keep),
                         (int)CORNER_LEATHERS_MAX, DROP_IN_MM));
    table_draw(&table, flow);
    if (guessed) {
        flow_paragraph(flow, arena_text(keep, "* %s", clearance_remedy));
    }
    if (tight) {
        flow_paragraph(flow, thickness_remedy);
    }
}

static void add_questions(Flow *flow, LeatherKind kind)
{
    Arena *keep = flow->pages->keep;
    Table table = {.columns = {{.head = "told", .align = ALIGN_MIDDLE, .tick = true},
                               {.head = "ask for", .wraps = true},
                               {.head = "at least", .wraps = true},
                               {.head = "which means", .wraps = true},
                               {.head = "the seller says", .least_mm = 25}},
                   .column_count = 5,
                   .keep = keep};
    for (int t = 0; t < LEATHER_TEST_COUNT; t++) {
        const LeatherTest *test = &leather_tests[t];
        if (test->least[kind]) {
            table_row(&table, (const char *[]){
                                  NULL, arena_text(keep, "%s\n(%s)", test->property, test->method),
                                  test->least[kind], test->meaning, NULL});
        }
    }
    flow_heading(flow,
                 arena_text(keep, "What to ask the seller of %s leather", leather_kind_names[kind]),
                 30);
    flow_paragraph(flow,
                   "A tannery has these values on its data sheet. Grey scale 5 is no change, 1 "
                   "a strong one; half steps are written 3/4. Blue scale 8 fades least, 1 "
                   "most.");
    table_draw(&table, flow);
    flow_paragraph(flow, arena_text(keep, "Source: %s.", leather_tests_source));
}

// All cautions together, so that none stands alone on a page.
static const double cautions_mm = 85;

static void add_cautions(Flow *flow)
{
    flow_heading(flow, arena_text(flow->pages->keep, "Look out, as of %s", flow->matter->date),
                 cautions_mm);
    for (int i = 0; i < LEATHER_CAUTION_COUNT; i++) {
        flow_item(flow, "–", leather_cautions[i]);
    }
    for (int i = 0; i < FIRE_CAUTION_COUNT; i++) {
        flow_item(flow, "–", fire_cautions[i]);
    }
}

void pack_leather(const PackMatter *matter, const AdvisedLeather *leather, Pages *pages)
{
    Flow flow = flow_begin(matter, pages, title, false);
    flow_heading(&flow, arena_text(pages->keep, "Advised: %s", leather->words), 12);
    flow_paragraph(&flow, arena_text(pages->keep, "For this household: %s.", leather->household));
    add_wish(&flow, leather);
    if (leather->advice->no_room) {
        flow_paragraph(&flow, "At the corners there is not even room for that: see below.");
    }
    add_reasons(&flow, leather->advice);
    add_thickness(&flow, leather);
    add_questions(&flow, leather->advice->kind);
    add_cautions(&flow);
}
