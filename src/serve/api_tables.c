// Layouts that are moved by hand.
#include "serve/handlers.h"
#include "serve/tables.h"

#include "base/number.h"
#include "job/fields.h"

static void answer_no_table(Desk *desk, const Request *request, Answer *answer)
{
    answer_refuse(
        desk, 404, "table",
        arena_text(desk->keep, "there is no table %lld any more", (long long)request->number[0]),
        "one of the last that were asked; lay it again", answer);
}

void answer_table_lay(Desk *desk, const Request *request, Answer *answer)
{
    Kept kept;
    int64_t id = 0;
    int placements = 0;
    if (!kept_read(desk, request, &kept)) {
        answer_problems(desk, answer);
        return;
    }
    const TableOrder order = {kept.document.data, kept.document.bytes, request->body,
                              request->body_bytes};
    if (!table_lay(desk->tables, &order, desk->scratch, &id, &placements, desk->problems)) {
        answer_problems(desk, answer);
        return;
    }
    Json json = {.text.keep = desk->keep};
    json_begin_object(&json, NULL);
    json_int(&json, "table", id);
    json_int(&json, "version", kept.number);
    json_int(&json, "placements", placements);
    json_end_object(&json);
    answer_json(answer, 201, &json.text);
    answer->location = arena_text(desk->keep, "/api/tables/%lld", (long long)id);
}

// A number of the query, in mm or degrees.
static bool read_measure(const Request *request, const char *key, Limits limits, double *value,
                         Problems *problems)
{
    const char *text = request_query(request, key);
    Number number;
    if (text && !number_read(text, &number) && number.unit == NUMBER_BARE &&
        number.value >= limits.min && number.value <= limits.max) {
        *value = number.value;
        return true;
    }
    const char *allowed =
        arena_text(problems->keep, "a number from %g to %g", limits.min, limits.max);
    return request_refuse(key, text, allowed, problems);
}

static bool read_place(Desk *desk, const Request *request, TablePlace *place)
{
    enum { TURN_MAX = 360, COUNT_MAX = 100000 };
    int64_t placement = 0;
    int64_t hide = 0;
    Problems *problems = desk->problems;
    const Whole counted = {0, COUNT_MAX, 0};
    const bool counts = request_whole(request, "placement", counted, &placement, problems) &&
                        request_whole(request, "hide", counted, &hide, problems);
    const Limits reach = {-HIDE_REACH_MAX_MM, HIDE_REACH_MAX_MM};
    const Limits turns = {-TURN_MAX, TURN_MAX};
    const bool x = read_measure(request, "x_mm", reach, &place->x_mm, problems);
    const bool y = read_measure(request, "y_mm", reach, &place->y_mm, problems);
    const bool turn = read_measure(request, "turn_deg", turns, &place->turn_deg, problems);
    place->placement = (int)placement;
    place->hide = (int)hide;
    return counts && x && y && turn;
}

// What a table is asked, and how far a snap may go.
typedef struct Question {
    TablePlace place;
    double reach_mm; ///< below 0: only tried
    bool whole;      ///< all that lies there
} Question;

static void ask_table(Desk *desk, const Request *request, const Question *question, Answer *answer)
{
    const PlanTable *table = table_come(desk->tables, request->number[0]);
    if (!table) {
        answer_no_table(desk, request, answer);
        return;
    }
    Text text = {.keep = desk->keep};
    Arena *scratch = desk->scratch;
    const bool good = question->whole ? plan_table_report(table, scratch, &text, desk->problems)
                      : question->reach_mm >= 0
                          ? plan_table_snap(table, &question->place, question->reach_mm, scratch,
                                            &text, desk->problems)
                          : plan_table_try(table, &question->place, scratch, &text, desk->problems);
    if (good) {
        answer_json(answer, 200, &text);
    } else {
        answer_problems(desk, answer);
    }
    table_leave(desk->tables, request->number[0]);
}

void answer_table(Desk *desk, const Request *request, Answer *answer)
{
    ask_table(desk, request, &(Question){.whole = true}, answer);
}

void answer_table_try(Desk *desk, const Request *request, Answer *answer)
{
    Question question = {.reach_mm = -1};
    if (read_place(desk, request, &question.place)) {
        ask_table(desk, request, &question, answer);
    } else {
        answer_problems(desk, answer);
    }
}

void answer_table_snap(Desk *desk, const Request *request, Answer *answer)
{
    Question question = {0};
    const bool place = read_place(desk, request, &question.place);
    const bool reach = read_measure(request, "reach_mm", (Limits){0, TABLE_REACH_MAX_MM},
                                    &question.reach_mm, desk->problems);
    if (place && reach) {
        ask_table(desk, request, &question, answer);
    } else {
        answer_problems(desk, answer);
    }
}

void answer_table_clear(Desk *desk, const Request *request, Answer *answer)
{
    if (table_clear(desk->tables, request->number[0])) {
        answer->status = 204;
    } else {
        answer_no_table(desk, request, answer);
    }
}
