#include "plane/motion.h"

#include "support/check.h"

static const double HALF_PI = 1.5707963267948966;

static void quarter_turns_map_a_grid_onto_itself(void **state)
{
    (void)state;
    for (int quarters = -9; quarters <= 9; quarters++) {
        const MotionMatrix m = motion_matrix((Motion){0, 0, quarters * HALF_PI});
        const Point p = motion_apply(m, (Point){3, 7});
        assert_true(fabs(p.x) == 3 || fabs(p.x) == 7);
        assert_true(fabs(p.x) + fabs(p.y) == 10);
    }
    const MotionMatrix left = motion_matrix((Motion){0, 0, HALF_PI});
    const Point up = motion_apply(left, (Point){1, 0});
    assert_true(up.x == 0 && up.y == 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(quarter_turns_map_a_grid_onto_itself)};
    return cmocka_run_group_tests_name("plane/motion", tests, NULL, NULL);
}
