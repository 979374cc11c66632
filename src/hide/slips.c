// Slips of tape and pencil: stations that stick out of the edge, while one likely
// slip (a digit lost, doubled or swapped, inches for feet) would put them back.
#include "hide/guess.h"
#include "hide/places.h"

#include <stdlib.h>
#include <string.h>

// Thresholds as shares of the hide's length, and as multiples of what is usual on
// this hide. Tuned on outlines drawn from the statistics; docs/hides.md has the rates.
static const double DETOUR_SHARE = 0.12;
static const double DETOUR_ONE_HALF_SHARE = 0.15; ///< without the other half to compare with
static const double DETOUR_USUAL = 2;
static const double DISAGREEMENT_SHARE = 0.08;
static const double DISAGREEMENT_USUAL = 1.5;
// Of detour and disagreement no more than this may be left with the meant value.
static const double HEALED = 0.25;
// A rarer slip must explain this much more than a commoner one.
static const double COMMONER = 0.05;
// So gross that it is told even if no likely slip explains it.
static const double GROSS_SHARE = 0.5;
// Length of an upholstery hide over the median of its stations' out (statistics of
// Baldacci et al. 2014): a length that no single slip can spoil.
static const double LENGTH_OVER_MEDIAN_OUT = 2.1;

enum { CHAIN_STATIONS_MIN = 4 }; // fewer say nothing of what is usual

// One half as a left half: butt end, stations, neck end.
typedef struct Chain {
    Point *at;
    double *along_mm; ///< length of the chain up to each point
    int *station;     ///< of each point; -1 for the butt end and an added neck end
    int count;
    int stations;
} Chain;

typedef enum Measure { MEASURE_UP, MEASURE_LEFT, MEASURE_RIGHT, MEASURE_COUNT } Measure;
static const char *const measure_names[MEASURE_COUNT] = {"up", "left", "right"};

typedef struct Slip {
    Measure measure;
    double meant_mm;
    bool explained;    ///< by a likely slip; else by what the neighbours say
    double left_over;  ///< share of detour and disagreement that remains with the meant value
    double trouble_mm; ///< left on the whole hide with the meant value
} Slip;

typedef struct Survey {
    const HideEntry *entry;
    LengthUnit unit;
    Chain half[2]; ///< left, right
    bool both;
    double length_mm;
    double usual_detour_mm;
    double usual_disagreement_mm;
} Survey;

static Chain read_chain(const HideEntry *entry, bool right, Arena *scratch)
{
    const int room = entry->station_count + 2;
    Chain chain = {ARENA_ARRAY(scratch, Point, room), ARENA_ARRAY(scratch, double, room),
                   ARENA_ARRAY(scratch, int, room), 0, 0};
    for (int i = 0; i < entry->station_count; i++) {
        const Station *s = &entry->stations[i];
        if (!(right ? s->has_right : s->has_left)) {
            continue;
        }
        const Point at = {s->up_mm, right ? s->right_mm : s->left_mm};
        if (chain.count == 0 && (at.x != 0 || at.y != 0)) {
            chain.station[chain.count++] = -1; // the butt end, at (0, 0)
        }
        chain.at[chain.count] = at;
        chain.station[chain.count++] = i;
        chain.stations++;
    }
    if (chain.count > 0 && chain.at[chain.count - 1].y > 0) {
        chain.at[chain.count] = (Point){chain.at[chain.count - 1].x, 0};
        chain.station[chain.count++] = -1;
    }
    for (int i = 1; i < chain.count; i++) {
        chain.along_mm[i] = chain.along_mm[i - 1] + point_distance(chain.at[i - 1], chain.at[i]);
    }
    return chain;
}

static int ascending(const void *left, const void *right)
{
    const double a = *(const double *)left;
    const double b = *(const double *)right;
    return (a > b) - (a < b);
}

static double median(double *values, int count)
{
    qsort(values, (size_t)count, sizeof *values, ascending);
    return count > 0 ? values[count / 2] : 0;
}

static int index_of_station(const Chain *chain, int station)
{
    for (int i = 0; i < chain->count; i++) {
        if (chain->station[i] == station) {
            return i;
        }
    }
    return -1;
}

// What comes after a place: past the neck end of the backbone, the other half.
static Point place_after(const Survey *survey, int half, int index)
{
    const Chain *chain = &survey->half[half];
    if (index + 1 < chain->count) {
        return chain->at[index + 1];
    }
    const Chain *other = survey->both ? &survey->half[1 - half] : chain;
    const Point p = other->at[other->count > 1 ? other->count - 2 : 0];
    return (Point){p.x, -p.y};
}

// How much longer the way is over a place than past it.
static double detour_mm(const Survey *survey, int half, int index, Point place)
{
    if (index == 0) {
        return 0; // the butt end is where the tape begins
    }
    const Point before = survey->half[half].at[index - 1];
    const Point after = place_after(survey, half, index);
    return point_distance(before, place) + point_distance(place, after) -
           point_distance(before, after);
}

// Length along a chain at which it comes nearest to a place.
static double along_at(const Chain *chain, Point place)
{
    double nearest_mm = HUGE_VAL;
    double along_mm = 0;
    for (int i = 0; i + 1 < chain->count; i++) {
        const Point foot = point_on_segment(place, chain->at[i], chain->at[i + 1]);
        const double away_mm = point_distance(place, foot);
        if (away_mm < nearest_mm) {
            nearest_mm = away_mm;
            along_mm = chain->along_mm[i] + point_distance(chain->at[i], foot);
        }
    }
    return along_mm;
}

// Distance from a place to a stretch of a chain.
static double stretch_distance_mm(const Chain *chain, double from_mm, double to_mm, Point place)
{
    double nearest_mm = HUGE_VAL;
    for (int i = 0; i + 1 < chain->count; i++) {
        const double begin = chain->along_mm[i];
        const double length = chain->along_mm[i + 1] - begin;
        if (begin + length < from_mm || begin > to_mm || length <= 0) {
            continue;
        }
        const Point a =
            point_between(chain->at[i], chain->at[i + 1], fmax(0, (from_mm - begin) / length));
        const Point b =
            point_between(chain->at[i], chain->at[i + 1], fmin(1, (to_mm - begin) / length));
        nearest_mm = fmin(nearest_mm, point_distance(place, point_on_segment(place, a, b)));
    }
    return isfinite(nearest_mm) ? nearest_mm : 0;
}

// Distance from a place to where the other half lies between its neighbours. Looking
// only there, a place that slipped onto another stretch of the edge is not excused.
static double disagreement_mm(const Survey *survey, int half, int index, Point place)
{
    const Chain *chain = &survey->half[half];
    const Chain *other = &survey->half[1 - half];
    const double margin = 0.05 * survey->length_mm;
    const double before = index > 0 ? along_at(other, chain->at[index - 1]) : 0;
    const double after = index + 1 < chain->count ? along_at(other, chain->at[index + 1])
                                                  : other->along_mm[other->count - 1];
    return stretch_distance_mm(other, fmin(before, after) - margin, fmax(before, after) + margin,
                               place);
}

static void learn_what_is_usual(Survey *survey, Arena *scratch)
{
    const int room = 2 * survey->entry->station_count;
    double *out = ARENA_ARRAY(scratch, double, room);
    double *detour = ARENA_ARRAY(scratch, double, room);
    double *disagreement = ARENA_ARRAY(scratch, double, room);
    int count = 0;
    for (int half = 0; half < 2; half++) {
        for (int i = 0; i < survey->half[half].count; i++) {
            if (survey->half[half].station[i] >= 0) {
                out[count++] = survey->half[half].at[i].y;
            }
        }
    }
    survey->length_mm = LENGTH_OVER_MEDIAN_OUT * median(out, count);
    count = 0;
    for (int half = 0; half < 2; half++) {
        const Chain *chain = &survey->half[half];
        for (int i = 0; i < chain->count; i++) {
            if (chain->station[i] < 0) {
                continue;
            }
            detour[count] = detour_mm(survey, half, i, chain->at[i]);
            disagreement[count++] =
                survey->both ? disagreement_mm(survey, half, i, chain->at[i]) : 0;
        }
    }
    survey->usual_detour_mm = median(detour, count);
    survey->usual_disagreement_mm = median(disagreement, count);
}

static double measured_mm(const Station *s, Measure measure)
{
    const double values[] = {s->up_mm, s->left_mm, s->right_mm};
    return values[measure];
}

// Whether a station's half has a place that the measure moves, and which.
static int moved_index(const Survey *survey, int half, int station, Measure measure)
{
    const Measure other_out = half == 0 ? MEASURE_RIGHT : MEASURE_LEFT;
    return measure == other_out ? -1 : index_of_station(&survey->half[half], station);
}

// Share of detour and disagreement that is left when a measure is `mm` instead; the
// worse of both halves for `up`.
static double left_over(const Survey *survey, int station, Measure measure, double mm)
{
    const bool moves_both = moved_index(survey, 0, station, measure) >= 0 &&
                            moved_index(survey, 1, station, measure) >= 0;
    double worst = 0;
    for (int half = 0; half < 2; half++) {
        const int index = moved_index(survey, half, station, measure);
        if (index < 0) {
            continue;
        }
        const Point is = survey->half[half].at[index];
        const Point meant = measure == MEASURE_UP ? (Point){mm, is.y} : (Point){is.x, mm};
        const double detour = detour_mm(survey, half, index, is);
        worst = fmax(worst, detour_mm(survey, half, index, meant) / fmax(detour, 1e-9));
        const double now =
            survey->both && !moves_both ? disagreement_mm(survey, half, index, is) : 0;
        if (now > DISAGREEMENT_SHARE * survey->length_mm) {
            worst = fmax(worst, disagreement_mm(survey, half, index, meant) / now);
        }
    }
    return worst;
}

static double detour_of_station(const Survey *survey, int half, int station)
{
    const int index = index_of_station(&survey->half[half], station);
    return index < 0 ? 0 : detour_mm(survey, half, index, survey->half[half].at[index]);
}

// What the neighbours suggest instead: the middle between them.
static double between_neighbours_mm(const Survey *survey, int station, Measure measure)
{
    const int half = moved_index(survey, 0, station, measure) >= 0 ? 0 : 1;
    const int index = moved_index(survey, half, station, measure);
    const Point before = survey->half[half].at[index > 0 ? index - 1 : 0];
    const Point middle = point_between(before, place_after(survey, half, index), 0.5);
    return measure == MEASURE_UP ? middle.x : fmax(0, middle.y);
}

// Tries what may have been meant by one measure; keeps the better of it and *best.
static void try_measure(const Survey *survey, int station, Measure measure, Slip *best)
{
    const double is_mm = measured_mm(&survey->entry->stations[station], measure);
    double guesses[GUESSES_MAX];
    const int count = guess_meant(length_from_mm(is_mm, survey->unit), survey->unit, guesses);
    for (int i = 0; i < count; i++) {
        const double mm = length_to_mm(guesses[i], survey->unit);
        if ((measure != MEASURE_UP && mm < 0) || fabs(mm) > HIDE_REACH_MAX_MM) {
            continue;
        }
        const double rest = left_over(survey, station, measure, mm);
        if (rest < best->left_over - (best->explained ? COMMONER : 0)) {
            *best = (Slip){measure, mm, true, rest, 0};
        }
    }
}

static bool sticks_out(const Survey *survey, int half, int station)
{
    const int index = index_of_station(&survey->half[half], station);
    if (index < 0) {
        return false;
    }
    const double detour = detour_of_station(survey, half, station);
    const double share = survey->both ? DETOUR_SHARE : DETOUR_ONE_HALF_SHARE;
    if (detour <= fmax(share * survey->length_mm, DETOUR_USUAL * survey->usual_detour_mm)) {
        return false;
    }
    const double least = fmax(DISAGREEMENT_SHARE * survey->length_mm,
                              DISAGREEMENT_USUAL * survey->usual_disagreement_mm);
    return !survey->both ||
           disagreement_mm(survey, half, index, survey->half[half].at[index]) > least;
}

// `up` is suspect when it moves both places of a station off the edge, or the only one.
static bool up_is_suspect(const Survey *survey, int station)
{
    const Station *s = &survey->entry->stations[station];
    const double usual = DETOUR_USUAL * survey->usual_detour_mm;
    if (survey->both && s->has_left && s->has_right) {
        const double least = fmax(DETOUR_SHARE * survey->length_mm, usual);
        return detour_of_station(survey, 0, station) > least &&
               detour_of_station(survey, 1, station) > least;
    }
    const int half = s->has_left ? 0 : 1;
    return sticks_out(survey, half, station) ||
           detour_of_station(survey, half, station) >
               fmax(DETOUR_ONE_HALF_SHARE * survey->length_mm, usual);
}

// Looks for the slip that explains a station best. False when nothing is odd.
static bool examine(const Survey *survey, int station, Slip *slip)
{
    const bool suspect[MEASURE_COUNT] = {
        [MEASURE_UP] = up_is_suspect(survey, station),
        [MEASURE_LEFT] = sticks_out(survey, 0, station),
        [MEASURE_RIGHT] = sticks_out(survey, 1, station),
    };
    *slip = (Slip){.left_over = HEALED};
    const double detour =
        fmax(detour_of_station(survey, 0, station), detour_of_station(survey, 1, station));
    for (int m = 0; m < MEASURE_COUNT; m++) {
        if (suspect[m]) {
            try_measure(survey, station, (Measure)m, slip);
        }
    }
    for (int m = 0; m < MEASURE_COUNT && !slip->explained; m++) {
        if (suspect[m] && detour > GROSS_SHARE * survey->length_mm) {
            const double mm = between_neighbours_mm(survey, station, (Measure)m);
            const double rest = left_over(survey, station, (Measure)m, mm);
            if (rest < slip->left_over) {
                *slip = (Slip){(Measure)m, mm, false, rest, 0};
            }
        }
    }
    return slip->left_over < HEALED;
}

static void say_slip(const HideReading *reading, const Survey *survey, int station, Slip slip)
{
    Arena *keep = reading->problems->keep;
    const double is_mm = measured_mm(&survey->entry->stations[station], slip.measure);
    const char *is = length_text(is_mm, reading->unit, keep);
    const char *meant = length_text(slip.meant_mm, reading->unit, keep);
    const bool disagrees = survey->both && slip.measure != MEASURE_UP;
    problems_add(
        reading->problems,
        (Problem){.kind = PROBLEM_DOUBT,
                  .where = arena_text(keep, "%s.stations[%d].%s", reading->where, station,
                                      measure_names[slip.measure]),
                  .found = arena_text(keep, "%s lies far off the line between its neighbours%s", is,
                                      disagrees ? ", and left and right disagree" : ""),
                  .remedy = slip.explained
                                ? arena_text(keep, "did you mean %s?", meant)
                                : arena_text(keep, "measure again; its neighbours suggest about %s",
                                             meant)});
}

// Detours and disagreements of all places together.
static double trouble_mm(const Survey *survey)
{
    double sum_mm = 0;
    for (int half = 0; half < 2; half++) {
        const Chain *chain = &survey->half[half];
        for (int i = 0; i < chain->count; i++) {
            sum_mm += detour_mm(survey, half, i, chain->at[i]);
            sum_mm += survey->both ? disagreement_mm(survey, half, i, chain->at[i]) : 0;
        }
    }
    return sum_mm;
}

// The trouble that would be left on the whole hide if the slip were mended.
static double trouble_when_mended_mm(const Survey *survey, int station, Slip slip, Arena *scratch)
{
    const ArenaMark mark = arena_mark(scratch);
    const int count = survey->entry->station_count;
    Station *stations = ARENA_ARRAY(scratch, Station, count);
    memcpy(stations, survey->entry->stations, (size_t)count * sizeof *stations);
    double *const measures[] = {&stations[station].up_mm, &stations[station].left_mm,
                                &stations[station].right_mm};
    *measures[slip.measure] = slip.meant_mm;
    Survey mended = *survey;
    HideEntry entry = *survey->entry;
    entry.stations = stations;
    mended.half[0] = read_chain(&entry, false, scratch);
    mended.half[1] = read_chain(&entry, true, scratch);
    const double left_mm = trouble_mm(&mended);
    arena_rewind(scratch, mark);
    return left_mm;
}

// A slip makes its neighbours look odd too; only the one whose mending helps most is told.
static bool outdone_by_neighbour(const Survey *survey, const Slip *slips, const bool *odd,
                                 int station)
{
    for (int half = 0; half < 2; half++) {
        const Chain *chain = &survey->half[half];
        const int index = index_of_station(chain, station);
        for (int step = -1; step <= 1 && index >= 0; step += 2) {
            const int beside = index + step;
            const int other = beside >= 0 && beside < chain->count ? chain->station[beside] : -1;
            if (other >= 0 && odd[other] && slips[other].trouble_mm < slips[station].trouble_mm) {
                return true;
            }
        }
    }
    return false;
}

void slips_doubt(const HideReading *reading, Arena *scratch)
{
    const HideEntry *entry = reading->entry;
    const ArenaMark mark = arena_mark(scratch);
    Survey survey = {.entry = entry, .unit = reading->unit};
    survey.half[0] = read_chain(entry, false, scratch);
    survey.half[1] = read_chain(entry, true, scratch);
    const bool left = survey.half[0].stations >= CHAIN_STATIONS_MIN;
    const bool right = survey.half[1].stations >= CHAIN_STATIONS_MIN;
    survey.both = left && right;
    if (left || right) {
        learn_what_is_usual(&survey, scratch);
        Slip *slips = ARENA_ARRAY(scratch, Slip, entry->station_count);
        bool *odd = ARENA_ARRAY(scratch, bool, entry->station_count);
        for (int i = 0; i < entry->station_count; i++) {
            odd[i] = examine(&survey, i, &slips[i]);
            if (odd[i]) {
                slips[i].trouble_mm = trouble_when_mended_mm(&survey, i, slips[i], scratch);
            }
        }
        for (int i = 0; i < entry->station_count; i++) {
            if (odd[i] && !outdone_by_neighbour(&survey, slips, odd, i)) {
                say_slip(reading, &survey, i, slips[i]);
            }
        }
    }
    arena_rewind(scratch, mark);
}
