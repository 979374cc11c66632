// Grades of a job: any numbers within their limits draw hides; what is told of them.
#include "files.h"
#include "job/fields.h"

#include "base/random.h"
#include "hide/flaws.h"

enum { RANDOM_GRADES = 60 };

// Numbers over the whole of their limits, every other one a limit itself.
static HideGrade random_grade(Random *random)
{
    JobGrade grade = {0};
    for (int i = 0; i < grade_type.field_count; i++) {
        const Field *field = &grade_type.fields[i];
        for (int k = 0; k < (field->each ? field->each_count : 1); k++) {
            if (field_is_measure(field)) {
                const Limits limits = field->limits[METRIC];
                const int choice = random_below(random, 4);
                const double value = choice == 0   ? limits.min
                                     : choice == 1 ? limits.max
                                                   : random_between(random, limits.min, limits.max);
                memcpy((char *)&grade + field->offset + (size_t)k * sizeof value, &value,
                       sizeof value);
            }
        }
    }
    return grade.grade;
}

static void numbers_within_their_limits_draw_hides(void **state)
{
    Random random = random_begin(11, 0, 0);
    int flaws = 0;
    for (uint64_t trial = 0; trial < RANDOM_GRADES; trial++) {
        const ArenaMark mark = arena_mark(*state);
        Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
        const HideGrade grade = random_grade(&random);
        const HideAsk ask = {.form = trial % 3 == 0 ? HIDE_SIDE : HIDE_WHOLE,
                             .area_mm2 = trial % 2 == 0 ? 5e6 : 1e6,
                             .of_a_lot = trial % 5 == 0};
        const DrawnHide drawn = hide_draw(&grade, ask, (HideTrial){3, trial}, *state, scratch);
        Point crossing;
        assert_true(ring_is_simple(drawn.hide.outline, &crossing));
        assert_true(drawn.hide.flaw_count <= FLAWS_MAX);
        assert_true(fabs(drawn.hide.area_mm2 / drawn.hide.stamped_mm2 - 1) < 0.3);
        for (int i = 0; i < drawn.hide.flaw_count; i++) {
            const Ring ring = drawn.hide.flaws[i].area.items[0].outer;
            assert_true(ring.count >= 3 && ring_area_mm2(ring) > 0 &&
                        ring_area_mm2(ring) < 20 * ask.area_mm2);
        }
        flaws += drawn.hide.flaw_count;
        arena_destroy(scratch);
        arena_rewind(*state, mark);
    }
    assert_true(flaws > RANDOM_GRADES);
}

static const char job_text[] =
    "{\"seatwright\": 1, \"name\": \"Club\", \"units\": \"mm\", \"seats\": [{\"name\": \"stool\","
    " \"frame\": {\"shape\": \"round\", \"diameter\": 350}, \"board\": {\"thickness\": 19},"
    " \"padding\": {\"edge\": 25}}],"
    " \"grades\": [{\"name\": \"seconds\", \"spots\": 1.5, \"brand_places\": {\"butt\": 0},"
    " \"like\": \"rough\"}, {\"name\": \"odd\", \"like\": \"clean\", \"spots\": 0.4}]}";

static void a_grade_is_its_like_but_for_what_is_replaced(void **state)
{
    const Job job = job_of(job_text, sizeof job_text - 1, *state);
    const HideGrade *rough = hide_grade_named("rough");
    HideGrade wanted = *rough;
    wanted.spots = 1.5;
    wanted.brand_places[BRAND_BUTT] = 0;
    const HideGrade *seconds = job_grade(&job, "seconds");
    assert_non_null(seconds);
    assert_true(hide_grade_alike(seconds, &wanted));
    assert_false(hide_grade_alike(seconds, rough));
    assert_true(hide_grade_alike(job_grade(&job, "odd"), hide_grade_named("clean")));
    assert_ptr_equal(job_grade(&job, "lively"), hide_grade_named("lively"));
    assert_null(job_grade(&job, "second"));
    assert_string_equal(job_grade_list(&job, *state),
                        "clean, sound, lively, rough, \"seconds\" or \"odd\"");
    assert_string_equal(job_grade_words(&job, rough, *state), rough->lets_through);
    const char *words = job_grade_words(&job, seconds, *state);
    assert_non_null(strstr(words, "like \"rough\" (all that can still"));
    assert_non_null(strstr(words, "), but with spots 1.5, brand_places.butt 0"));
    const char *same = job_grade_words(&job, job_grade(&job, "odd"), *state);
    assert_null(strstr(same, "but with"));
}

// The words that the reader takes for `like` are the names of the grades, in their order.
static void likes_are_the_grades(void **state)
{
    (void)state;
    const Field *like = field_find(&grade_type, "like");
    assert_int_equal(like->name_count, HIDE_GRADES);
    for (int i = 0; i < HIDE_GRADES; i++) {
        assert_string_equal(like->names[i], hide_grades[i].name);
    }
    int numbers = 0;
    for (int i = 0; i < grade_type.field_count; i++) {
        const Field *field = &grade_type.fields[i];
        numbers += field_is_measure(field) ? (field->each ? field->each_count : 1) : 0;
    }
    assert_int_equal(numbers, GRADE_NUMBERS); // none is left out
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(numbers_within_their_limits_draw_hides),
        TEST_IN_ARENA(a_grade_is_its_like_but_for_what_is_replaced),
        TEST_IN_ARENA(likes_are_the_grades),
    };
    return cmocka_run_group_tests_name("job/grades", tests, NULL, NULL);
}
