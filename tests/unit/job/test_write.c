// Jobs written in their canonical form.
#include "files.h"

#include "support/comma_locale.h"

static const char *written(const Job *job, Arena *keep)
{
    Text text = {.keep = keep};
    job_write(job, &text);
    return text_string(&text);
}

// What a person typed comes out in the canonical form of the golden file.
static void golden_files_are_canonical(void **state)
{
    const Job typed = job_of_file(GOLDEN "/jobs/everything-inches.typed.json", *state);
    assert_string_equal(written(&typed, *state),
                        file_read(GOLDEN "/jobs/everything-inches.json", NULL, *state));
    Job metric = typed;
    metric.units = (Units){LENGTH_MM, AREA_M2, LEATHER_MM};
    assert_string_equal(written(&metric, *state),
                        file_read(GOLDEN "/jobs/everything-metric.json", NULL, *state));
}

static void writing_again_changes_nothing(void **state)
{
    static const char *const paths[] = {GOLDEN "/jobs/smallest.json",
                                        GOLDEN "/jobs/everything-inches.json",
                                        GOLDEN "/jobs/everything-metric.json"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        const Job job = job_of_file(paths[i], *state);
        assert_string_equal(written(&job, *state), file_read(paths[i], NULL, *state));
    }
}

// From inches to millimetres and back, nothing but rounding to a millionth happens.
static void units_may_change_there_and_back(void **state)
{
    const Job metric = job_of_file(GOLDEN "/jobs/everything-metric.json", *state);
    Job job = metric;
    job.units = (Units){LENGTH_IN, AREA_FT2, LEATHER_OZ};
    const char *inches = written(&job, *state);
    Job again = job_of(inches, strlen(inches), *state);
    again.units = metric.units;
    const Job back = again;
    CHECK_NEAR(back.seats[0].frame.front_mm, metric.seats[0].frame.front_mm, 2e-5);
    CHECK_NEAR(back.hides[0].stamped_mm2, metric.hides[0].stamped_mm2, 0.1);
}

static void a_chair_within_rounding_of_its_kind_is_no_correction(void **state)
{
    Job job = job_of_file(GOLDEN "/jobs/everything-inches.json", *state);
    JobChair *plain = &job.seats[0].chairs[0];
    plain->frame.front_mm += 1e-8;
    assert_string_equal(written(&job, *state),
                        file_read(GOLDEN "/jobs/everything-inches.json", NULL, *state));
    plain->frame.front_mm += 0.0254; // 0.001 in
    assert_non_null(strstr(written(&job, *state), "\"front\": 18.501"));
}

static void mixed_units_are_written_one_by_one(void **state)
{
    Job job = job_of_file(GOLDEN "/jobs/smallest.json", *state);
    job.units.leather = LEATHER_MM;
    const char *text = written(&job, *state);
    assert_non_null(
        strstr(text, "\"units\": {\"length\": \"in\", \"area\": \"ft2\", \"leather\": \"mm\"}"));
    assert_int_equal(job_of(text, strlen(text), *state).units.leather, LEATHER_MM);
}

// The C library writes and reads numbers as the process's locale says; files must
// not care. (Only a test calls setlocale.)
static void a_locale_with_commas_changes_nothing(void **state)
{
    begin_comma_locale();
    const Job job = job_of_file(GOLDEN "/jobs/everything-inches.typed.json", *state);
    const char *text = written(&job, *state);
    const char *wanted = file_read(GOLDEN "/jobs/everything-inches.json", NULL, *state);
    end_comma_locale();
    assert_string_equal(text, wanted);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(golden_files_are_canonical),
        TEST_IN_ARENA(writing_again_changes_nothing),
        TEST_IN_ARENA(units_may_change_there_and_back),
        TEST_IN_ARENA(a_chair_within_rounding_of_its_kind_is_no_correction),
        TEST_IN_ARENA(mixed_units_are_written_one_by_one),
        TEST_IN_ARENA(a_locale_with_commas_changes_nothing),
    };
    return cmocka_run_group_tests_name("job/write", tests, NULL, NULL);
}
