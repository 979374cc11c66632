// What a good job is read as, and the limits of whole documents.
#include "files.h"

static const char seat[] = "{\"name\": \"a\", \"frame\": {\"shape\": \"round\", \"diameter\": 13},"
                           " \"board\": {\"thickness\": 0.75}, \"padding\": {\"edge\": 1}}";

static const char *job_with(const char *units, const char *rest, Arena *keep)
{
    return arena_text(keep,
                      "{\"seatwright\": 1, \"name\": \"n\", \"units\": %s, \"seats\": [%s]%s}",
                      units, seat, rest);
}

static void the_smallest_job_is_as_usual_otherwise(void **state)
{
    const Job job = job_of_file(GOLDEN "/jobs/smallest.json", *state);
    assert_string_equal(job.name, "One stool");
    assert_null(job.notes);
    assert_int_equal(job.units.length, LENGTH_IN);
    assert_int_equal(job.units.area, AREA_FT2);
    assert_int_equal(job.units.leather, LEATHER_OZ);
    assert_int_equal(job.paper, PAPER_LETTER);
    CHECK_NEAR(job.leather.thickness_mm, 1.1, 1e-12);
    CHECK_NEAR(job.leather.stretch_along, 0.03, 0);
    CHECK_NEAR(job.leather.stretch_across, 0.05, 0);
    assert_false(job.leather.use_stretch);
    assert_int_equal(job.seat_count, 1);
    assert_int_equal(job.seats[0].count, 1);
    assert_int_equal(job.seats[0].frame.shape, FRAME_ROUND);
    CHECK_NEAR(job.seats[0].frame.front_mm, 342.9, 1e-12);
    CHECK_NEAR(job.seats[0].build_up.padding_edge_mm.at[SIDE_LEFT], 25.4, 1e-12);
    CHECK_NEAR(job.seats[0].fixing.tack_inset_mm.at[SIDE_BACK], 19.05, 1e-12);
    CHECK_NEAR(job.laying.turn_window_rad, 10 * 3.14159265358979323846 / 180, 1e-15);
    assert_true(job.laying.either_way);
    CHECK_NEAR(job.laying.gap_mm, 3.175, 1e-12); // 1/8 in
    const ToleranceTable usual = tolerance_defaults();
    assert_memory_equal(job.laying.table.flaw, usual.flaw, sizeof usual.flaw);
    assert_int_equal(job.hide_count, 0);
    assert_int_equal(job.search.seed, 1);
    CHECK_NEAR(job.search.work, 1, 0);
}

static void metric_documents_have_metric_habits(void **state)
{
    const char *text =
        "{\"seatwright\": 1, \"name\": \"n\", \"units\": \"mm\", \"seats\": [{\"name\": \"a\","
        "\"frame\": {\"shape\": \"round\", \"diameter\": 330}, \"board\": {\"thickness\": 18},"
        "\"padding\": {\"edge\": 25}}]}";
    const Job job = job_of(text, strlen(text), *state);
    assert_int_equal(job.units.area, AREA_M2);
    assert_int_equal(job.paper, PAPER_A4);
    CHECK_NEAR(job.laying.gap_mm, 3, 0);
    CHECK_NEAR(job.seats[0].frame.front_mm, 330, 0);
}

static void every_field_is_read(void **state)
{
    const Job job = job_of_file(GOLDEN "/jobs/everything-inches.typed.json", *state);
    assert_string_equal(job.leather_name, "aniline, moss");
    CHECK_NEAR(job.leather.thickness_mm, 3 * 0.396875, 1e-12); // 1 oz is 1/64 in
    const JobSeat *first = &job.seats[0];
    CHECK_NEAR(first->frame.front_mm, 469.9, 1e-9);
    CHECK_NEAR(first->frame.bow_mm.at[SIDE_BACK], -6.35, 1e-9);
    CHECK_NEAR(first->frame.radius_mm[CORNER_FRONT_RIGHT], 25.4, 1e-9);
    CHECK_NEAR(first->frame.radius_mm[CORNER_BACK_LEFT], 12.7, 1e-9);
    CHECK_NEAR(first->build_up.frame_thickness_mm, 19, 1e-9); // "19 mm" among inches
    assert_int_equal(first->build_up.bottom_edge, BOTTOM_BEVELLED);
    assert_int_equal(first->build_up.profile, DOME_FLAT);
    CHECK_NEAR(first->build_up.padding_edge_mm.at[SIDE_BACK], 25.4, 1e-9);
    assert_int_equal(first->build_up.layer_count, 2);
    assert_string_equal(first->build_up.layers[1].material, "muslin");
    CHECK_NEAR(first->build_up.layers[1].thickness_mm, 0.3, 1e-9);
    assert_true(first->build_up.layers[0].on_sides);
    assert_false(first->build_up.layers[0].goes_under);
    assert_true(first->build_up.layers[1].goes_under);
    assert_int_equal(first->cut, CUT_STRAIGHT);
    CHECK_NEAR(job.seats[1].frame.notch[CORNER_BACK_LEFT].depth_mm, 50.8, 1e-9);
    CHECK_NEAR(job.seats[2].frame.curve_mm, 152.4, 1e-9);
    CHECK_NEAR(job.seats[5].frame.diagonal_right_mm, 23.125 * 25.4, 1e-9);
    assert_int_equal(job.seats[6].frame.traced.count, 5);
    CHECK_NEAR(job.seats[6].frame.traced.points[1].y, -12.7, 1e-9);
    CHECK_NEAR(job.laying.turn_window_rad, 12.5 * RAD_PER_DEG, 1e-15);
    assert_int_equal(job.laying.table.flaw[FLAW_BRAND], BAND_GRIP);
    assert_int_equal(job.laying.table.rim, NO_BAND);
    CHECK_NEAR(job.laying.table.margin_mm[FLAW_STAIN], 19.05, 1e-9);
    assert_int_equal(job.laying.table.firmness[SOFT], BAND_TURN);
    assert_true(job.search.seed == 9007199254740991U);
}

static void hides_are_read_in_their_own_frame(void **state)
{
    const Job job = job_of_file(GOLDEN "/jobs/everything-inches.typed.json", *state);
    assert_int_equal(job.hide_count, 4);
    const HideEntry *whole = &job.hides[0];
    // Quarter-foot stamp: 52.3 is 52 3/4 (trade guidance); 1 ft2 is 92903.04 mm2 exactly.
    CHECK_NEAR(whole->stamped_mm2, 52.75 * 92903.04, 1e-6);
    assert_int_equal(whole->station_count, 6);
    assert_false(whole->stations[3].has_left);
    CHECK_NEAR(whole->stations[1].right_mm, 21.5 * 25.4, 1e-9);
    assert_int_equal(whole->flaws[0].form, FLAW_SPOT);
    assert_string_equal(whole->flaws[0].name, "the mark of a herd");
    CHECK_NEAR(whole->flaws[0].points[0].x, 508, 1e-9);
    CHECK_NEAR(whole->flaws[0].points[0].y, -18 * 25.4, 1e-9); // right is below the backbone
    CHECK_NEAR(whole->flaws[0].size_mm, 76.2, 1e-9);
    assert_int_equal(whole->flaws[1].form, FLAW_LINE);
    CHECK_NEAR(whole->flaws[1].points[1].y, 0, 0);
    CHECK_NEAR(whole->flaws[1].size_mm, 12.7, 1e-9);
    assert_int_equal(whole->flaws[2].kind, FLAW_LOOSE_GRAIN);
    assert_int_equal(whole->flaws[2].point_count, 3);
    assert_int_equal(whole->regions[0].firmness, SOFT);
    assert_null(whole->regions[0].points);
    assert_int_equal(whole->regions[1].firmness, -1);
    CHECK_NEAR(whole->regions[1].stretch_along, -1, 0);
    assert_int_equal(whole->regions[1].point_count, 4);
    assert_true(job.hides[1].right_side);
    assert_int_equal(job.hides[1].point_count, 5);
    assert_false(job.hides[2].right_side);
    CHECK_NEAR(job.hides[3].panel_width_mm, 660.4, 1e-9);
}

static void a_chair_is_its_kind_with_corrections(void **state)
{
    const Job job = job_of_file(GOLDEN "/jobs/everything-inches.typed.json", *state);
    const JobSeat *kind = &job.seats[0];
    assert_int_equal(kind->chair_count, 4);
    const JobChair *plain = &kind->chairs[0];
    assert_memory_equal(&plain->frame, &kind->frame, sizeof kind->frame);
    const JobChair *odd = &kind->chairs[1];
    assert_int_equal(odd->frame.shape, FRAME_MEASURED);
    CHECK_NEAR(odd->frame.front_mm, kind->frame.front_mm, 0); // both shapes have a front,
    CHECK_NEAR(odd->frame.depth_mm, 0, 0);                    // but no depth,
    CHECK_NEAR(odd->frame.bow_mm.at[SIDE_FRONT], 12.7, 1e-9); // and both may be bowed
    CHECK_NEAR(odd->frame.radius_mm[CORNER_BACK_LEFT], 12.7, 1e-9);
    assert_int_equal(odd->build_up.layer_count, 0);
    assert_int_equal(odd->build_up.bottom_edge, BOTTOM_SQUARE);
    CHECK_NEAR(odd->build_up.crown_mm, 25.4, 1e-9);
    CHECK_NEAR(odd->fixing.grip_mm.at[SIDE_LEFT], 1.25 * 25.4, 1e-9);
    CHECK_NEAR(odd->fixing.grip_mm.at[SIDE_RIGHT], 25.4, 1e-9);
    assert_int_equal(kind->chairs[2].frame.traced.count, 4);
    CHECK_NEAR(kind->chairs[2].frame.front_mm, 0, 0);
    CHECK_NEAR(kind->chairs[3].frame.bow_mm.at[SIDE_BACK], -6.35, 1e-9); // only the front differs
    const JobChair *notched = &job.seats[1].chairs[0];
    CHECK_NEAR(notched->frame.notch[CORNER_BACK_LEFT].depth_mm, 50.8, 1e-9);
    CHECK_NEAR(notched->frame.notch[CORNER_BACK_RIGHT].depth_mm, 0, 0);
}

static void a_mark_of_byte_order_is_read_over(void **state)
{
    const char *text = arena_text(*state, "\xEF\xBB\xBF%s", job_with("\"in\"", "", *state));
    assert_int_equal(job_of(text, strlen(text), *state).seat_count, 1);
}

static void units_may_be_mixed(void **state)
{
    const char *text = job_with("{\"length\": \"in\", \"leather\": \"mm\"}",
                                ", \"leather\": {\"thickness\": \"1,2\"}", *state);
    const Job job = job_of(text, strlen(text), *state);
    assert_int_equal(job.units.area, AREA_FT2);
    assert_int_equal(job.units.leather, LEATHER_MM);
    CHECK_NEAR(job.leather.thickness_mm, 1.2, 1e-12);
}

static void bytes_are_limited(void **state)
{
    const char *text = job_with("\"in\"", "", *state);
    char *padded = arena_alloc(*state, JOB_BYTES_MAX + 1, 1);
    memset(padded, ' ', JOB_BYTES_MAX + 1);
    memcpy(padded, text, strlen(text));
    assert_int_equal(job_of(padded, JOB_BYTES_MAX, *state).seat_count, 1);
    assert_string_equal(complaints_of(padded, JOB_BYTES_MAX + 1, *state),
                        "job.json: 8388609 bytes\n  allowed: at most 8388608 bytes\n");
}

// A list so many deep, under a key that is not known, one level down.
static const char *nested(int depth, Arena *keep)
{
    Text text = {.keep = keep};
    for (int i = 0; i < depth; i++) {
        text_add(&text, "[");
    }
    for (int i = 0; i < depth; i++) {
        text_add(&text, "]");
    }
    return job_with("\"in\"", arena_text(keep, ", \"x\": %s", text_string(&text)), keep);
}

static void depth_is_limited(void **state)
{
    const char *deep = nested(JOB_DEPTH_MAX - 1, *state);
    assert_non_null(strstr(complaints_of(deep, strlen(deep), *state), "x: is not a known key"));
    const char *deeper = nested(JOB_DEPTH_MAX, *state);
    assert_non_null(strstr(complaints_of(deeper, strlen(deeper), *state),
                           "too many objects and lists in one another"));
}

// Two kinds with so many chairs each, and so many of them with corrections.
static const char *two_kinds(int count, int chairs, int more, Arena *keep)
{
    Text text = {.keep = keep};
    text_add(&text, "{\"seatwright\": 1, \"name\": \"n\", \"units\": \"in\", \"seats\": [");
    for (int kind = 0; kind < 2; kind++) {
        text_add(&text,
                 "%s{\"name\": \"%d\", \"count\": %d, \"frame\": {\"shape\": \"round\", "
                 "\"diameter\": 13}, \"board\": {\"thickness\": 1}, \"padding\": {\"edge\": 1}, "
                 "\"chairs\": [",
                 kind == 0 ? "" : ", ", kind, count);
        for (int i = 0; i < chairs + (kind == 1 ? more : 0); i++) {
            text_add(&text, "%s{\"name\": \"%d\"}", i == 0 ? "" : ", ", i);
        }
        text_add(&text, "]}");
    }
    text_add(&text, "]}");
    return text_string(&text);
}

static void chairs_are_limited_in_all(void **state)
{
    const char *full = two_kinds(500, 100, 0, *state);
    assert_int_equal(job_of(full, strlen(full), *state).seat_count, 2);
    const char *over = two_kinds(500, 100, 1, *state);
    assert_string_equal(complaints_of(over, strlen(over), *state),
                        "seats: have 201 chairs with corrections\n  allowed: at most 200 in all\n");
}

static void reading_stops_when_the_list_of_problems_is_full(void **state)
{
    Text text = {.keep = *state};
    text_add(&text, "{\"x0\": 0");
    for (int i = 1; i < 5 * PROBLEMS_MAX; i++) {
        text_add(&text, ", \"x%d\": 0", i);
    }
    text_add(&text, "}");
    Job job;
    Problems *problems = problems_in(*state);
    assert_false(job_read(text.bytes, text.length, "job.json", *state, &job, problems));
    assert_int_equal(problems->count, PROBLEMS_MAX);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(the_smallest_job_is_as_usual_otherwise),
        TEST_IN_ARENA(metric_documents_have_metric_habits),
        TEST_IN_ARENA(every_field_is_read),
        TEST_IN_ARENA(hides_are_read_in_their_own_frame),
        TEST_IN_ARENA(a_chair_is_its_kind_with_corrections),
        TEST_IN_ARENA(a_mark_of_byte_order_is_read_over),
        TEST_IN_ARENA(units_may_be_mixed),
        TEST_IN_ARENA(bytes_are_limited),
        TEST_IN_ARENA(depth_is_limited),
        TEST_IN_ARENA(chairs_are_limited_in_all),
        TEST_IN_ARENA(reading_stops_when_the_list_of_problems_is_full),
    };
    return cmocka_run_group_tests_name("job/read", tests, NULL, NULL);
}
