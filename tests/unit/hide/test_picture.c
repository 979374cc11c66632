#include "base/random.h"
#include "hide/hide.h"

#include "support/check.h"

static const HidePicture sound = {.uid = "0123456789abcdef0123456789abcdef",
                                  .butt = {100, 900},
                                  .neck = {100, 100},
                                  .from = {100, 900},
                                  .to = {100, 100},
                                  .apart_mm = 2000};

static PictureMap map_of(const HidePicture *picture, Arena *arena)
{
    PictureMap map;
    Problems *problems = problems_in(arena);
    assert_true(hide_picture_map(picture, "hide.picture", &map, problems));
    assert_int_equal(problems->count, 0);
    return map;
}

// The neck is at the top of the picture, so what lies left of the backbone in it lies left on the
// hide: +y.
static void the_backbone_lies_where_it_is_marked(void **state)
{
    const PictureMap map = map_of(&sound, *state);
    CHECK_NEAR(map.mm_per_px, 2.5, 1e-12);
    const Point butt = picture_map_place(map, (Pixel){100, 900});
    const Point neck = picture_map_place(map, (Pixel){100, 100});
    const Point left = picture_map_place(map, (Pixel){60, 500});
    CHECK_NEAR(butt.x, 0, 1e-9);
    CHECK_NEAR(butt.y, 0, 1e-9);
    CHECK_NEAR(neck.x, 2000, 1e-9);
    CHECK_NEAR(neck.y, 0, 1e-9);
    CHECK_NEAR(left.x, 1000, 1e-9);
    CHECK_NEAR(left.y, 100, 1e-9);
}

// However the camera was held: what was measured between two marks comes out, and all shapes stay.
static void lengths_and_angles_come_out_whatever_the_turn(void **state)
{
    Random random = random_begin(5, 0, 0);
    int mapped = 0;
    for (int i = 0; i < 500; i++) {
        HidePicture picture = sound;
        Pixel *marks[] = {&picture.butt, &picture.neck, &picture.from, &picture.to};
        for (int m = 0; m < 4; m++) {
            *marks[m] = (Pixel){random_between(&random, 0, 4000), random_between(&random, 0, 3000)};
        }
        picture.apart_mm = random_between(&random, 50, 6000);
        if (hypot(picture.butt.column - picture.neck.column, picture.butt.row - picture.neck.row) <
                10 ||
            hypot(picture.from.column - picture.to.column, picture.from.row - picture.to.row) <
                10) {
            continue;
        }
        const PictureMap map = map_of(&picture, *state);
        const Point from = picture_map_place(map, picture.from);
        const Point to = picture_map_place(map, picture.to);
        CHECK_NEAR(point_distance(from, to), picture.apart_mm, 1e-6);
        const Point neck = picture_map_place(map, picture.neck);
        CHECK_NEAR(neck.y, 0, 1e-6);
        assert_true(neck.x > 0);
        // A similarity that turns the picture over as a whole: rows run down.
        CHECK_NEAR(map.a * map.d - map.b * map.c, -map.mm_per_px * map.mm_per_px, 1e-9);
        CHECK_NEAR(map.a * map.c + map.b * map.d, 0, 1e-9);
        mapped++;
    }
    assert_true(mapped > 450);
}

static void marks_on_one_another_are_told(void **state)
{
    HidePicture picture = sound;
    picture.neck = (Pixel){106, 892}; // 10 px away: just enough
    PictureMap map = map_of(&picture, *state);
    picture.neck = (Pixel){106, 893};
    picture.to = (Pixel){100, 900};
    Problems *problems = problems_in(*state);
    assert_false(hide_picture_map(&picture, "hides[1].picture", &map, problems));
    assert_int_equal(problems->count, 2);
    assert_string_equal(problems->items[0].where, "hides[1].picture.neck");
    assert_string_equal(problems->items[1].where, "hides[1].picture.to");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(the_backbone_lies_where_it_is_marked),
        TEST_IN_ARENA(lengths_and_angles_come_out_whatever_the_turn),
        TEST_IN_ARENA(marks_on_one_another_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
