// What must hold between the fields of one object.
#include "job/reading.h"

#include "base/text.h"

#include <string.h>

static bool has(json_t *json, const char *key)
{
    return json_object_get(json, key) != NULL;
}

static bool check_board(Reading *reading, const Path *path, json_t *json, const void *object)
{
    (void)json;
    const BuildUp *board = object;
    const Path size = {.parent = path, .key = "bottom_size"};
    if (board->bottom_edge == BOTTOM_SQUARE && board->bottom_mm > 0) {
        return reading_refuse(reading, &size, "is not used with a square lower edge", NULL,
                              "take it out, or give \"bottom\" as rounded or bevelled");
    }
    if (board->bottom_edge != BOTTOM_SQUARE && !(board->bottom_mm > 0)) {
        return reading_refuse(reading, &size, "is missing", NULL,
                              arena_text(reading_words(reading), "a %s lower edge needs its size",
                                         bottom_edge_names[board->bottom_edge]));
    }
    return true;
}

static bool check_notch(Reading *reading, const Path *path, json_t *json, const void *object)
{
    (void)json;
    const Notch *notch = object;
    if ((notch->width_mm > 0) == (notch->depth_mm > 0)) {
        return true;
    }
    return reading_refuse(reading, path,
                          notch->width_mm > 0 ? "has a width but no depth"
                                              : "has a depth but no width",
                          "both, or 0 and 0 for no notch", NULL);
}

// The same name twice among `count` items, whose name lies first in each struct.
static bool check_names(Reading *reading, const Path *path, const char *const *names, int count)
{
    bool good = true;
    for (int i = 1; i < count; i++) {
        for (int j = 0; j < i; j++) {
            if (names[i] && names[j] && strcmp(names[i], names[j]) == 0) {
                const Path item = {.parent = path, .index = i};
                const Path inner = {.parent = &item, .key = "name"};
                good = reading_refuse(reading, &inner,
                                      arena_text(reading_words(reading),
                                                 "%s is the name of number %d already",
                                                 reading_quoted(reading, names[i]), j + 1),
                                      "a name of its own", NULL);
                break;
            }
        }
    }
    return good;
}

static bool check_seat(Reading *reading, const Path *path, json_t *json, const void *object)
{
    (void)json;
    const JobSeat *seat = object;
    const Path chairs = {.parent = path, .key = "chairs"};
    const char **names = ARENA_ARRAY(reading->keep, const char *, seat->chair_count + 1);
    for (int i = 0; i < seat->chair_count; i++) {
        names[i] = seat->chairs[i].name;
    }
    const bool good = check_names(reading, &chairs, names, seat->chair_count);
    if (seat->chair_count <= seat->count) {
        return good;
    }
    Arena *words = reading_words(reading);
    return reading_refuse(
        reading, &chairs,
        arena_text(words, "corrects %d chairs of %d", seat->chair_count, seat->count),
        arena_text(words, "at most %d", seat->count),
        "\"count\" counts all chairs of the kind, those with corrections too");
}

static bool check_station(Reading *reading, const Path *path, json_t *json, const void *object)
{
    (void)json;
    const Station *station = object;
    return station->has_left || station->has_right ||
           reading_refuse(reading, path, "has neither \"left\" nor \"right\"",
                          "one of them, or both", NULL);
}

static bool check_place(Reading *reading, const Path *path, json_t *json, const void *object)
{
    (void)json;
    const Station *place = object;
    return !(place->has_left && place->has_right) ||
           reading_refuse(reading, path, "has both \"left\" and \"right\"",
                          "one of them, or neither on the backbone", NULL);
}

static bool check_region(Reading *reading, const Path *path, json_t *json, const void *object)
{
    (void)object;
    return json_object_size(json) > 1 ||
           reading_refuse(reading, path, "says nothing new of the region",
                          "firmness, stretch_along, stretch_across or area", NULL);
}

// A side has only one half of the tape's stations.
static bool check_half(Reading *reading, const Path *path, const HideEntry *hide)
{
    const char *other = half_names[!hide->right_side];
    const char *own = half_names[hide->right_side];
    const Path stations = {.parent = path, .key = "stations"};
    bool good = true;
    for (int i = 0; i < hide->station_count && !reading_full(reading); i++) {
        const Station *station = &hide->stations[i];
        if (hide->right_side ? station->has_left : station->has_right) {
            const Path item = {.parent = &stations, .index = i};
            const Path inner = {.parent = &item, .key = other};
            good = reading_refuse(
                reading, &inner,
                arena_text(reading_words(reading), "lies beyond the backbone of a %s side", own),
                arena_text(reading_words(reading), "only \"%s\"", own), NULL);
        }
    }
    return good;
}

static bool check_hide(Reading *reading, const Path *path, json_t *json, const void *object)
{
    const HideEntry *hide = object;
    bool good = true;
    if (has(json, "stamp") && has(json, "stamped_area")) {
        good = reading_refuse(reading, path, "has both \"stamp\" and \"stamped_area\"",
                              "one of them, or neither", NULL);
    }
    if (hide->form == HIDE_PANEL) {
        return good;
    }
    if (has(json, "stations") == has(json, "points")) {
        good = reading_refuse(reading, path,
                              has(json, "points") ? "has both \"stations\" and \"points\""
                                                  : "has neither \"stations\" nor \"points\"",
                              "exactly one of them", NULL);
    }
    return (hide->form != HIDE_SIDE || check_half(reading, path, hide)) && good;
}

static bool check_hide_names(Reading *reading, const Job *job)
{
    const Path hides = {.key = "hides"};
    const char *names[JOB_HIDES_MAX] = {0};
    for (int i = 0; i < job->hide_count; i++) {
        names[i] = job->hides[i].name;
    }
    return check_names(reading, &hides, names, job->hide_count);
}

static const char *nearest_name(const Job *job, const char *name)
{
    const char *names[JOB_SEATS_MAX + JOB_CHAIRS_MAX];
    int count = 0;
    for (int s = 0; s < job->seat_count; s++) {
        const JobSeat *seat = &job->seats[s];
        if (seat->name) {
            names[count++] = seat->name;
        }
        for (int c = 0; c < seat->chair_count && count < JOB_CHAIRS_MAX; c++) {
            if (seat->chairs[c].name) {
                names[count++] = seat->chairs[c].name;
            }
        }
    }
    return text_nearest(name, names, count);
}

static bool check_beside(Reading *reading, const Path *path, const Job *job, JobPlace own,
                         const char *beside)
{
    if (!beside) {
        return true;
    }
    const Path inner = {.parent = path, .key = "beside"};
    Arena *words = reading_words(reading);
    const char *shown = reading_quoted(reading, beside);
    JobPlace place;
    const int found = job_find(job, beside, &place);
    if (found == 0) {
        const char *near = nearest_name(job, beside);
        return reading_refuse(reading, &inner,
                              arena_text(words, "no chair and no kind of seat is called %s", shown),
                              "the name of a kind of seat, or of one of the \"chairs\"",
                              near ? arena_text(words, "did you mean \"%s\"?", near) : NULL);
    }
    if (found > 1) {
        return reading_refuse(
            reading, &inner, arena_text(words, "%d chairs are called %s", found, shown),
            arena_text(words, "the kind as well: \"%s, %s\"", job->seats[place.seat].name, beside),
            NULL);
    }
    return place.seat != own.seat || place.chair != own.chair ||
           reading_refuse(reading, &inner, arena_text(words, "%s is itself", shown),
                          "another chair or kind of seat", NULL);
}

static bool check_all_beside(Reading *reading, const Job *job)
{
    const Path seats = {.key = "seats"};
    bool good = true;
    for (int s = 0; s < job->seat_count; s++) {
        const Path seat = {.parent = &seats, .index = s};
        const Path chairs = {.parent = &seat, .key = "chairs"};
        good = check_beside(reading, &seat, job, (JobPlace){s, -1}, job->seats[s].beside) && good;
        for (int c = 0; c < job->seats[s].chair_count; c++) {
            const Path chair = {.parent = &chairs, .index = c};
            good = check_beside(reading, &chair, job, (JobPlace){s, c},
                                job->seats[s].chairs[c].beside) &&
                   good;
        }
    }
    return good;
}

// Prices of some hides only would be compared with nothing.
static bool check_prices(Reading *reading, json_t *hides)
{
    const int count = (int)json_array_size(hides);
    int priced = -1;
    for (int i = 0; i < count; i++) {
        priced = has(json_array_get(hides, (size_t)i), "price") ? i : priced;
    }
    const Path path = {.key = "hides"};
    bool good = true;
    for (int i = 0; priced >= 0 && i < count; i++) {
        if (!has(json_array_get(hides, (size_t)i), "price")) {
            const Path item = {.parent = &path, .index = i};
            const Path inner = {.parent = &item, .key = "price"};
            good = reading_refuse(
                reading, &inner, "is missing",
                arena_text(reading_words(reading),
                           "a price for every hide, as hides[%d] has one, or for none", priced),
                NULL);
        }
    }
    return good;
}

static bool check_offered_piece(Reading *reading, const Path *path, json_t *json,
                                const void *object)
{
    (void)object;
    const bool both = has(json, "stamp") && has(json, "stamped_area");
    return has(json, "stamp") != has(json, "stamped_area") ||
           reading_refuse(reading, path,
                          both ? "has both \"stamp\" and \"stamped_area\""
                               : "has neither \"stamp\" nor \"stamped_area\"",
                          "exactly one of them", NULL);
}

static bool check_area_range(Reading *reading, const Path *path, json_t *json, const Offer *offer)
{
    static const char *const ends[2] = {"low", "high"};
    json_t *area = json_object_get(json, "area");
    const Path range = {.parent = path, .key = "area"};
    for (int i = 0; i < 2; i++) {
        const Path end = {.parent = &range, .key = ends[i]};
        if (!(offer->area_mm2[i] > 0)) {
            return reading_refuse(reading, &end, "is missing",
                                  "the least and the greatest area, or one number for both", NULL);
        }
    }
    return offer->area_mm2[0] <= offer->area_mm2[1] || !json_is_object(area) ||
           reading_refuse(reading, &range, "has a low end above its high end", NULL,
                          "exchange the two");
}

static bool check_offer(Reading *reading, const Path *path, json_t *json, const void *object)
{
    const Offer *offer = object;
    if (offer->form == HIDE_PANEL) {
        return true;
    }
    if (has(json, "area") == has(json, "pieces")) {
        return reading_refuse(reading, path,
                              has(json, "area") ? "has both \"area\" and \"pieces\""
                                                : "has neither \"area\" nor \"pieces\"",
                              "exactly one of them", NULL);
    }
    if (has(json, "area")) {
        return check_area_range(reading, path, json, offer);
    }
    const Path least = {.parent = path, .key = "minimum_pieces"};
    return offer->piece_count == 0 || offer->minimum_pieces <= offer->piece_count ||
           reading_refuse(reading, &least,
                          arena_text(reading_words(reading), "%d pieces of %d in the list",
                                     offer->minimum_pieces, offer->piece_count),
                          arena_text(reading_words(reading), "at most %d", offer->piece_count),
                          NULL);
}

// Offers are told apart by their names, and compared in one currency.
static bool check_offers(Reading *reading, const Job *job)
{
    const Path offers = {.key = "offers"};
    const char *names[JOB_OFFERS_MAX] = {0};
    for (int i = 0; i < job->offer_count; i++) {
        names[i] = job->offers[i].name;
    }
    const bool good = check_names(reading, &offers, names, job->offer_count);
    const Path currency = {.key = "currency"};
    return (job->offer_count == 0 || job->currency ||
            reading_refuse(reading, &currency, "is missing", "three capital letters",
                           "prices of offers need it")) &&
           good;
}

static bool check_grade_names(Reading *reading, const Job *job)
{
    const Path grades = {.key = "grades"};
    const char *names[JOB_GRADES_MAX] = {0};
    for (int i = 0; i < job->grade_count; i++) {
        names[i] = job->grades[i].grade.name;
    }
    return check_names(reading, &grades, names, job->grade_count);
}

static bool check_job(Reading *reading, const Path *path, json_t *json, const void *object)
{
    (void)path;
    const Job *job = object;
    const Path seats = {.key = "seats"};
    const char *names[JOB_SEATS_MAX] = {0};
    int corrected = 0;
    int covers = 0;
    for (int i = 0; i < job->seat_count; i++) {
        names[i] = job->seats[i].name;
        corrected += job->seats[i].chair_count;
        covers += job->seats[i].count;
    }
    Arena *words = reading_words(reading);
    bool good = check_names(reading, &seats, names, job->seat_count);
    if (corrected > JOB_CHAIRS_MAX) {
        good = reading_refuse(reading, &seats,
                              arena_text(words, "have %d chairs with corrections", corrected),
                              arena_text(words, "at most %d in all", (int)JOB_CHAIRS_MAX), NULL);
    }
    if (covers > JOB_COVERS_MAX) {
        good = reading_refuse(reading, &seats, arena_text(words, "count %d chairs", covers),
                              arena_text(words, "at most %d in all", (int)JOB_COVERS_MAX),
                              "divide the job");
    }
    good = check_all_beside(reading, job) && good;
    good = check_prices(reading, json_object_get(json, "hides")) && good;
    good = check_grade_names(reading, job) && good;
    good = check_offers(reading, job) && good;
    return check_hide_names(reading, job) && good;
}

typedef struct Check {
    const ObjectType *type;
    bool (*holds)(Reading *reading, const Path *path, json_t *json, const void *object);
} Check;

static const Check checks[] = {
    {&board_type, check_board}, {&notch_type, check_notch},
    {&seat_type, check_seat},   {&station_type, check_station},
    {&place_type, check_place}, {&region_type, check_region},
    {&hide_type, check_hide},   {&offered_piece_type, check_offered_piece},
    {&grade_type, check_grade}, {&offer_type, check_offer},
    {&job_type, check_job},
};

bool read_check(Reading *reading, const Path *path, const ObjectType *type, json_t *json,
                const void *object)
{
    for (size_t i = 0; i < sizeof checks / sizeof checks[0]; i++) {
        if (checks[i].type == type) {
            return checks[i].holds(reading, path, json, object);
        }
    }
    return true;
}
