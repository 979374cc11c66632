#include "seat/cover.h"

#include "support/check.h"

// Length of half a parabola of height h over half a base b; e.g. CRC Standard
// Mathematical Tables, mensuration formulas (from memory).
static double half_parabola_mm(double b, double h)
{
    const double root = sqrt(b * b + 4 * h * h);
    return root / 2 + b * b / (4 * h) * log((2 * h + root) / b);
}

static void a_parabola_has_its_handbook_length(void **state)
{
    (void)state;
    const double crowns_mm[] = {0.01, 1, 25, 60, 150, 400, 5000};
    for (int i = 0; i < 7; i++) {
        const double length_mm = half_parabola_mm(210, crowns_mm[i]);
        CHECK_NEAR(dome_arc_mm(DOME_PARABOLA, 210, crowns_mm[i]), length_mm, 1e-9 * length_mm);
    }
}

// Radius from chord and rise, and length = radius x angle: any handbook.
static void a_circle_has_its_handbook_length(void **state)
{
    (void)state;
    for (int i = 1; i <= 10; i++) {
        const double crown_mm = 21.0 * i;
        const double radius_mm = (210 * 210 + crown_mm * crown_mm) / (2 * crown_mm);
        const double angle_rad = acos((radius_mm - crown_mm) / radius_mm);
        CHECK_NEAR(dome_arc_mm(DOME_CIRCLE, 210, crown_mm), radius_mm * angle_rad, 1e-7);
    }
    CHECK_NEAR(dome_arc_mm(DOME_CIRCLE, 210, 210), 210 * 1.5707963267948966, 1e-9);
}

// A chain of short chords along the stated curve, its end slope read off the last.
static void profiles_have_the_length_of_their_curve(void **state)
{
    (void)state;
    const int powers[] = {[DOME_PARABOLA] = 2, [DOME_CIRCLE] = 0, [DOME_FLAT] = 4};
    const double run_mm = 180;
    const double crown_mm = 45;
    for (DomeProfile profile = 0; profile < DOME_PROFILE_COUNT; profile++) {
        if (profile == DOME_CIRCLE) {
            continue;
        }
        const int chords = 200000;
        double length_mm = 0;
        double fall_mm = 0;
        for (int i = 0; i < chords; i++) {
            const double from = pow((double)i / chords, powers[profile]);
            const double to = pow((double)(i + 1) / chords, powers[profile]);
            fall_mm = crown_mm * (to - from);
            length_mm += hypot(run_mm / chords, fall_mm);
        }
        CHECK_NEAR(dome_arc_mm(profile, run_mm, crown_mm), length_mm, 1e-6);
        CHECK_NEAR(dome_end_slope_rad(profile, run_mm, crown_mm), atan2(fall_mm, run_mm / chords),
                   1e-4);
    }
}

static void the_circle_ends_at_the_angle_it_turns(void **state)
{
    (void)state;
    CHECK_NEAR(dome_end_slope_rad(DOME_CIRCLE, 200, 200), 1.5707963267948966, 1e-12);
    CHECK_NEAR(dome_end_slope_rad(DOME_CIRCLE, 3, 1), asin(3.0 / 5), 1e-12); // radius 5
}

static void without_crown_the_dome_is_its_run(void **state)
{
    (void)state;
    for (DomeProfile profile = 0; profile < DOME_PROFILE_COUNT; profile++) {
        CHECK_NEAR(dome_arc_mm(profile, 210, 0), 210, 0);
        CHECK_NEAR(dome_end_slope_rad(profile, 210, 0), 0, 0);
        CHECK_NEAR(dome_arc_mm(profile, 0, 0), 0, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_parabola_has_its_handbook_length),
        cmocka_unit_test(a_circle_has_its_handbook_length),
        cmocka_unit_test(profiles_have_the_length_of_their_curve),
        cmocka_unit_test(the_circle_ends_at_the_angle_it_turns),
        cmocka_unit_test(without_crown_the_dome_is_its_run),
    };
    return cmocka_run_group_tests_name("seat/dome", tests, NULL, NULL);
}
