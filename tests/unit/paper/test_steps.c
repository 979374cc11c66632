#include "paper/steps.h"

#include "paper/marks.h"
#include "support/page_checks.h"
#include "support/sample_matter.h"

#include <stdlib.h>

static int count_of(const BenchSteps *steps, StepKind kind)
{
    int count = 0;
    for (int i = 0; i < steps->count; i++) {
        count += steps->items[i].kind == kind;
    }
    return count;
}

static void every_cover_is_marked_measured_and_cut_once(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){.cover_count = 8}, *state);
    const BenchSteps steps = bench_steps(matter, *state);
    int marks = 0;
    for (int i = 0; i < matter->plan->cover_count; i++) {
        const PlacedCover *cover = &matter->plan->covers[i];
        marks += marks_of(cover->cut, cover->motion.turn_rad, LENGTH_IN).count;
    }
    assert_int_equal(count_of(&steps, STEP_CHECK), STEPS_BEFORE_COUNT);
    assert_int_equal(count_of(&steps, STEP_MARK), marks);
    assert_int_equal(count_of(&steps, STEP_DIAGONALS), matter->plan->cover_count);
    assert_int_equal(count_of(&steps, STEP_CUT), matter->plan->cover_count);
    assert_int_equal(count_of(&steps, STEP_AFTER), matter->hide_count + 1);
    assert_int_equal(count_of(&steps, STEP_FASTEN), STEPS_FASTEN_COUNT * matter->demand_count);
}

// In the order of the printed pages: marks at their place among the checks, then cuts, then what is
// left, then fastening.
static void steps_are_in_the_order_of_the_work(void **state)
{
    const BenchSteps steps = bench_steps(sample_matter((SampleWish){0}, *state), *state);
    static const int stage[STEP_KIND_COUNT] = {[STEP_CUT] = 1, [STEP_AFTER] = 2, [STEP_FASTEN] = 3};
    for (int i = 1; i < steps.count; i++) {
        assert_true(stage[steps.items[i - 1].kind] <= stage[steps.items[i].kind]);
    }
    assert_int_equal(steps.items[BEFORE_CHALK + 1].kind, STEP_MARK);
    int cut = 0;
    for (int i = 0; i < steps.count; i++) {
        if (steps.items[i].kind == STEP_CUT) {
            assert_int_equal(steps.items[i].cover, cut);
            cut++;
        }
    }
}

// What is printed and what is shown step by step are the same words.
static void all_that_steps_say_is_on_paper(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){0}, *state);
    const BenchSteps steps = bench_steps(matter, *state);
    Pages pages = {.keep = *state};
    pack_chalk_map(matter, 0, &pages);
    Text all = {.keep = *state};
    pack_cut_order(matter, &pages);
    for (int p = 0; p < pages.count; p++) {
        for (int i = 0; i < pages.items[p]->count; i++) {
            const DrawItem *item = &pages.items[p]->items[i];
            if (item->kind == DRAW_TEXT) {
                text_add(&all, "%s ", item->text);
            }
        }
    }
    for (int i = 0; i < steps.count; i++) {
        const BenchStep *step = &steps.items[i];
        if (step->kind == STEP_CHECK || step->kind == STEP_AFTER || step->kind == STEP_FASTEN) {
            assert_non_null(strstr(text_string(&all), step->say));
        }
        for (int r = 0; r < step->reading_count && step->kind != STEP_CHECK; r++) {
            assert_non_null(strstr(text_string(&all), step->readings[r].value));
        }
    }
}

static bool begins_with(const char *text, const char *words)
{
    return strncmp(text, words, strlen(words)) == 0;
}

// What a tape shows in millimetres: behind the butt end and to the right are negative.
static double shown_mm(const char *value)
{
    char *rest = NULL;
    const double mm = strtod(value, &rest);
    return begins_with(rest, " behind") || begins_with(rest, " right") ? -mm : mm;
}

static void check_place(const char *up, const char *out, Point place)
{
    CHECK_NEAR(shown_mm(up), place.x, 0.5 + 1e-9);
    CHECK_NEAR(shown_mm(out), place.y, 0.5 + 1e-9);
}

// `2 to 4`, and how far these marks lie from each other.
static void check_distance(StepReading reading, const Point *marks, int count)
{
    char *rest = NULL;
    const long from = strtol(reading.name, &rest, 10);
    assert_true(strncmp(rest, " to ", 4) == 0);
    const long to = strtol(rest + 4, NULL, 10);
    assert_true(from >= 1 && from <= count && to >= 1 && to <= count && from != to);
    CHECK_NEAR(shown_mm(reading.value), point_distance(marks[from - 1], marks[to - 1]), 2);
}

// Where the tape is read as a step says there is what the step is about: a mark on the cut, the
// middle of a cover, a flaw. From mark to mark it is as far as the places are apart, to their
// rounding.
static void readings_lead_to_the_places(void **state)
{
    const PackMatter *matter = sample_matter((SampleWish){.metric = true}, *state);
    const BenchSteps steps = bench_steps(matter, *state);
    Point marks[MARKS_MAX];
    int count = 0;
    int flaws = 0;
    for (int i = 0; i < steps.count; i++) {
        const BenchStep *step = &steps.items[i];
        const StepReading *readings = step->readings;
        const PlacedCover *cover = step->cover >= 0 ? &matter->plan->covers[step->cover] : NULL;
        if (step->kind == STEP_MARK) {
            count = step->mark + 1;
            marks[step->mark] = (Point){shown_mm(readings[0].value), shown_mm(readings[1].value)};
            assert_true(ring_distance_mm(cover->cut, marks[step->mark]) < 0.75);
            assert_int_equal(step->reading_count, step->mark > 0 ? 3 : 2);
            if (step->mark > 0) {
                CHECK_NEAR(shown_mm(readings[2].value),
                           point_distance(marks[step->mark - 1], marks[step->mark]), 2);
            }
        } else if (step->kind == STEP_DIAGONALS) {
            assert_int_equal(step->reading_count, 3); // back to the first, and two across
            for (int r = 0; r < 3; r++) {
                check_distance(readings[r], marks, count);
            }
        } else if (step->kind == STEP_CUT) {
            check_place(readings[0].value, readings[1].value, ring_centroid(cover->cut));
        } else {
            for (int r = 0; r < step->reading_count; r++, flaws++) {
                const char *out = strstr(readings[r].value, ", ");
                assert_non_null(out);
                check_place(readings[r].value, out + 2, matter->hides[0].flaws[flaws].middle);
            }
        }
    }
    assert_int_equal(flaws, matter->hides[0].flaw_count);
}

static void sides_are_those_that_are_named(void **state)
{
    const BenchSteps steps = bench_steps(sample_matter((SampleWish){0}, *state), *state);
    const unsigned across = 1U << SIDE_LEFT | 1U << SIDE_RIGHT;
    const unsigned along = 1U << SIDE_FRONT | 1U << SIDE_BACK;
    for (int i = 0; i < steps.count; i++) {
        const BenchStep *step = &steps.items[i];
        const unsigned named = begins_with(step->say, "Middle of the front")  ? 1U << SIDE_FRONT
                               : begins_with(step->say, "Middle of the back") ? 1U << SIDE_BACK
                               : begins_with(step->say, "Middles of left and right") ? across
                               : begins_with(step->say, "From each middle") ? along | across
                                                                            : 0;
        assert_int_equal(step->sides, named);
        // Each danger is told where it begins.
        const char *caution = step->kind == STEP_CUT      ? steps_knife_caution
                              : named == 1U << SIDE_FRONT ? steps_stapler_caution
                                                          : NULL;
        assert_ptr_equal(step->caution, caution);
    }
}

static int find_id(const BenchSteps *steps, const char *id)
{
    int count = 0;
    for (int i = 0; i < steps->count; i++) {
        count += strcmp(steps->items[i].id, id) == 0;
    }
    return count;
}

// Ticks hold on to the names: each is there once, and the same again for the same work; where a
// cover lies elsewhere its marks are others.
static void names_are_of_what_is_said(void **state)
{
    PackMatter *matter = sample_matter((SampleWish){0}, *state);
    const BenchSteps steps = bench_steps(matter, *state);
    const BenchSteps again = bench_steps(matter, *state);
    for (int i = 0; i < steps.count; i++) {
        assert_int_equal(find_id(&steps, steps.items[i].id), 1);
        assert_string_equal(steps.items[i].id, again.items[i].id);
    }
    PlacedCover *moved = &matter->plan->covers[0];
    Point *points = ARENA_ARRAY(*state, Point, moved->cut.count);
    for (int i = 0; i < moved->cut.count; i++) {
        points[i] = point_plus(moved->cut.points[i], (Point){40, 40});
    }
    moved->cut.points = points;
    const BenchSteps elsewhere = bench_steps(matter, *state);
    assert_int_equal(elsewhere.count, steps.count);
    for (int i = 0; i < steps.count; i++) {
        const BenchStep *step = &steps.items[i];
        const bool moves = step->cover == 0 && (step->kind == STEP_MARK || step->kind == STEP_CUT);
        assert_int_equal(find_id(&elsewhere, step->id), moves ? 0 : 1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(every_cover_is_marked_measured_and_cut_once),
        TEST_IN_ARENA(steps_are_in_the_order_of_the_work),
        TEST_IN_ARENA(all_that_steps_say_is_on_paper),
        TEST_IN_ARENA(readings_lead_to_the_places),
        TEST_IN_ARENA(sides_are_those_that_are_named),
        TEST_IN_ARENA(names_are_of_what_is_said),
    };
    return cmocka_run_group_tests_name("paper/steps", tests, NULL, NULL);
}
