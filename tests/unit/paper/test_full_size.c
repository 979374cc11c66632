#include "paper/fullsize.h"

#include "support/sample_cover.h"

static int items_on(const Drawing *drawing, DrawLayer layer)
{
    int count = 0;
    for (int i = 0; i < drawing->count; i++) {
        count += drawing->items[i].layer == layer && drawing->items[i].kind != DRAW_TEXT;
    }
    return count;
}

static const DrawItem *first_on(const Drawing *drawing, DrawLayer layer)
{
    for (int i = 0; i < drawing->count; i++) {
        if (drawing->items[i].layer == layer) {
            return &drawing->items[i];
        }
    }
    return NULL;
}

static void a_cover_has_its_own_size_and_lines(void **state)
{
    const Cover cover = sample_cover(1, *state);
    const CoverDemand demand = {&cover, "A", "Dining seat", NULL, 6, 0};
    const PackMatter matter = {.demands = &demand, .demand_count = 1};
    const Drawing *drawing = pack_cover_full_size(&matter, 0, *state);
    const Box box = ring_box(cover.cut);
    CHECK_NEAR(drawing->width_mm, box.max.x - box.min.x, 1e-9);
    CHECK_NEAR(drawing->height_mm, box.max.y - box.min.y, 1e-9);
    assert_int_equal(items_on(drawing, LAYER_CUT), 1);
    const DrawItem *cut = first_on(drawing, LAYER_CUT);
    CHECK_NEAR(ring_area_mm2((Ring){cut->points, cut->point_count}), cover.gross_area_mm2, 1e-3);
    assert_int_equal(items_on(drawing, LAYER_FRAME), 1);
    assert_string_equal(first_on(drawing, LAYER_TEXT)->text, "A");
}

// A square round (0, 50), 100 mm wide: the middles are known without any calculation.
static void middles_are_straight_out_from_the_middle(void **state)
{
    (void)state;
    const Point corners[] = {{-50, 0}, {50, 0}, {50, 100}, {-50, 100}};
    const Ring ring = {corners, 4};
    const Cover cover = {.cut = ring, .middle = {0, 50}};
    const Point wanted[SIDE_COUNT] = {[SIDE_FRONT] = {0, 0},
                                      [SIDE_RIGHT] = {50, 50},
                                      [SIDE_BACK] = {0, 100},
                                      [SIDE_LEFT] = {-50, 50}};
    for (int side = 0; side < SIDE_COUNT; side++) {
        Point place = {0, 0};
        assert_true(cover_middle_of_side(&cover, ring, (Side)side, &place));
        CHECK_NEAR(point_distance(place, wanted[side]), 0, 1e-12);
    }
    const Cover elsewhere = {.cut = ring, .middle = {200, 300}};
    Point untouched = {7, 7};
    assert_false(cover_middle_of_side(&elsewhere, ring, SIDE_FRONT, &untouched));
    CHECK_NEAR(untouched.x, 7, 0);
}

static void a_layout_has_the_hide_at_its_own_place_and_nothing_of_other_hides(void **state)
{
    const Cover cover = sample_cover(1, *state);
    const CoverDemand demand = {&cover, "A", "Dining seat", NULL, 2, 0};
    const Point edge[] = {{-40, -900}, {2100, -800}, {2000, 950}, {10, 900}};
    const Point hole[] = {{500, 10}, {520, 10}, {510, 30}};
    const Polygon area = {.outer = {hole, 3}};
    Flaw flaw = {.kind = FLAW_HOLE, .area = {&area, 1}};
    const Hide hides[] = {{.name = "chestnut",
                           .outline = {edge, 4},
                           .backbone_mm = 2000,
                           .flaws = &flaw,
                           .flaw_count = 1},
                          {.name = "other", .outline = {edge, 4}}};
    PlacedCover placed[] = {{.copy = 0, .hide = 0, .motion = {900, 300, 0}},
                            {.copy = 1, .hide = 1, .motion = {900, 300, 0}}};
    for (int i = 0; i < 2; i++) {
        placed[i].cut = ring_moved(cover.cut, placed[i].motion, *state);
        placed[i].tack_line = ring_moved(cover.tack_line, placed[i].motion, *state);
        for (int band = 0; band < BAND_COUNT; band++) {
            placed[i].within[band] = ring_moved(cover.within[band], placed[i].motion, *state);
        }
    }
    const CutPlan plan = {.covers = placed, .cover_count = 2};
    const PackMatter matter = {
        .demands = &demand, .demand_count = 1, .hides = hides, .hide_count = 2, .plan = &plan};
    const Drawing *drawing = pack_layout_full_size(&matter, 0, *state);
    CHECK_NEAR(drawing->width_mm, 2140, 1e-9);
    CHECK_NEAR(drawing->height_mm, 1850, 1e-9);
    assert_int_equal(items_on(drawing, LAYER_HIDE), 1);
    assert_int_equal(items_on(drawing, LAYER_FLAW), 1);
    assert_int_equal(items_on(drawing, LAYER_CUT), 1);
    const DrawItem *backbone = first_on(drawing, LAYER_BACKBONE);
    CHECK_NEAR(point_distance(backbone->points[0], (Point){40, 900}), 0, 1e-9);
    CHECK_NEAR(point_distance(backbone->points[1], (Point){2040, 900}), 0, 1e-9);
    const DrawItem *cut = first_on(drawing, LAYER_CUT);
    CHECK_NEAR(cut->points[0].x, cover.cut.points[0].x + 900 + 40, 1e-9);
    CHECK_NEAR(cut->points[0].y, cover.cut.points[0].y + 300 + 900, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(a_cover_has_its_own_size_and_lines),
        cmocka_unit_test(middles_are_straight_out_from_the_middle),
        TEST_IN_ARENA(a_layout_has_the_hide_at_its_own_place_and_nothing_of_other_hides),
    };
    return cmocka_run_group_tests_name("paper/full_size", tests, NULL, NULL);
}
