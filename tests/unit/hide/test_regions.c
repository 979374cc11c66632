#include "base/random.h"
#include "base/units.h"
#include "hide/hide.h"
#include "taped_hides.h"

#include "support/check.h"

enum { MEAN_POINTS = 61 };
static const double MEAN_LENGTH_MM = 2185;
static const Units millimetres = {LENGTH_MM, AREA_M2, LEATHER_MM};

static Hide make(const HideEntry *entry, Arena *arena)
{
    Arena *scratch = arena_create("scratch", TEST_ARENA_BYTES);
    assert_non_null(scratch);
    Problems *problems = problems_in(arena);
    Hide hide;
    assert_true(hide_make(entry, "hides[0]", millimetres, arena, scratch, &hide, problems));
    assert_int_equal(arena_used_bytes(scratch), 0);
    arena_destroy(scratch);
    return hide;
}

static Hide mean_hide(HideForm form, Arena *arena)
{
    Point *points = ARENA_ARRAY(arena, Point, 2 * MEAN_POINTS);
    for (int i = 0; i < MEAN_POINTS; i++) {
        points[i] = point_times(mean_half_outline[i], MEAN_LENGTH_MM);
        if (i > 0 && i < MEAN_POINTS - 1) {
            points[2 * MEAN_POINTS - 2 - i] = (Point){points[i].x, -points[i].y};
        }
    }
    const HideEntry entry = {.form = form,
                             .points = points,
                             .point_count = form == HIDE_WHOLE ? 2 * MEAN_POINTS - 2 : MEAN_POINTS};
    return make(&entry, arena);
}

static const Region *find(const Hide *hide, RegionKind kind)
{
    for (int i = 0; i < hide->region_count; i++) {
        if (hide->regions[i].kind == kind) {
            return &hide->regions[i];
        }
    }
    return NULL;
}

static double share_of(const Hide *hide, RegionKind kind)
{
    const Region *region = find(hide, kind);
    return region ? polygon_set_area_mm2(region->area) / hide->area_mm2 : 0;
}

// The regions fill the outline, and no two share any of it.
static void check_partition(const Hide *hide, Arena *arena)
{
    double sum_mm2 = 0;
    for (int i = 0; i < hide->region_count; i++) {
        sum_mm2 += polygon_set_area_mm2(hide->regions[i].area);
        assert_true(i == 0 || hide->regions[i - 1].kind < hide->regions[i].kind);
        for (int k = 0; k < i; k++) {
            PolygonSet common;
            assert_true(polygon_overlay(POLYGON_INTERSECTION, hide->regions[i].area,
                                        hide->regions[k].area, arena, &common));
            CHECK_NEAR(polygon_set_area_mm2(common), 0, 1e-6 * hide->area_mm2);
        }
    }
    CHECK_NEAR(sum_mm2, hide->area_mm2, 1e-6 * hide->area_mm2);
}

// Roberts and Etherington 1982, entry "belly": the two bellies, shanks included, cut by
// lines parallel to the backbone, are about 23 % of the area. Where that line lies on the
// outlines of Baldacci et al. 2014: 0.381 L, standard deviation 0.03.
static void bellies_are_what_is_published(void **state)
{
    for (int form = HIDE_WHOLE; form <= HIDE_SIDE; form++) {
        const Hide hide = mean_hide((HideForm)form, *state);
        const double bellies = share_of(&hide, REGION_BELLY) + share_of(&hide, REGION_FLANK) +
                               share_of(&hide, REGION_SHANK);
        CHECK_NEAR(bellies, 0.23, 1e-6);
        double line_mm = 0; // the outermost that back and butt reach
        for (int kind = REGION_BUTT; kind <= REGION_BACK; kind++) {
            const Region *region = find(&hide, (RegionKind)kind);
            line_mm = fmax(line_mm, ring_box(region->area.items[0].outer).max.y);
        }
        CHECK_NEAR(line_mm / MEAN_LENGTH_MM, 0.381, 0.03);
        print_message("# belly line %.4f L\n", line_mm / MEAN_LENGTH_MM);
    }
}

static void default_shares_and_leather(void **state)
{
    const Hide hide = mean_hide(HIDE_WHOLE, *state);
    assert_int_equal(hide.region_count, REGION_KIND_COUNT);
    check_partition(&hide, *state);
    for (int i = 0; i < hide.region_count; i++) {
        print_message("# %s %.3f\n", region_kind_names[i], share_of(&hide, (RegionKind)i));
    }
    CHECK_NEAR(share_of(&hide, REGION_SHOULDER) + share_of(&hide, REGION_NECK), 0.28, 1e-6);
    CHECK_NEAR(share_of(&hide, REGION_BUTT) + share_of(&hide, REGION_BACK), 0.49, 1e-6);
    assert_int_equal(find(&hide, REGION_BUTT)->firmness, FIRM);
    assert_int_equal(find(&hide, REGION_SHOULDER)->firmness, MIDDLING);
    assert_int_equal(find(&hide, REGION_BELLY)->firmness, SOFT);
    assert_int_equal(find(&hide, REGION_FLANK)->firmness, LOOSE);
    CHECK_NEAR(find(&hide, REGION_BUTT)->stretch_along, 1.0, 0);
    CHECK_NEAR(find(&hide, REGION_NECK)->stretch_across, 1.6, 0);
}

// The shanks' tips of the mean outline are shank, the leg pocket is flank.
static void landmarks_lie_in_their_regions(void **state)
{
    const Hide hide = mean_hide(HIDE_WHOLE, *state);
    const struct {
        double up;
        double out;
        RegionKind kind;
    } places[] = {
        {0.10, 0.1, REGION_BUTT},    {0.45, -0.2, REGION_BACK},   {0.75, 0.2, REGION_SHOULDER},
        {0.95, 0.1, REGION_NECK},    {-0.02, 0.59, REGION_SHANK}, {0.69, -0.57, REGION_SHANK},
        {0.14, 0.45, REGION_FLANK},  {0.14, -0.45, REGION_FLANK}, {0.45, 0.45, REGION_BELLY},
        {0.45, -0.45, REGION_BELLY}, {0.05, 0.52, REGION_SHANK},  {0.05, 0.505, REGION_BELLY},
    };
    for (int i = 0; i < 12; i++) {
        const Point at = {places[i].up * MEAN_LENGTH_MM, places[i].out * MEAN_LENGTH_MM};
        const Region *region = hide_region_at(&hide, at);
        assert_non_null(region);
        assert_int_equal(region->kind, places[i].kind);
    }
    assert_null(hide_region_at(&hide, (Point){-900, 0}));
    assert_null(hide_region_at(&hide, (Point){1000, 1500}));
}

static void check_edge_is_in_regions(const Hide *hide, Ring edge)
{
    for (int i = 0; i < edge.count; i++) {
        const Point middle = point_between(edge.points[i], ring_point(edge, i + 1), 0.5);
        if (ring_contains(hide->outline, middle)) {
            assert_non_null(hide_region_at(hide, middle));
        }
    }
}

// Every place on the hide is in a region, on the lines between regions too.
static void no_place_falls_between_regions(void **state)
{
    const Hide hide = mean_hide(HIDE_WHOLE, *state);
    for (int i = 0; i < hide.region_count; i++) {
        for (int k = 0; k < hide.regions[i].area.count; k++) {
            check_edge_is_in_regions(&hide, hide.regions[i].area.items[k].outer);
        }
    }
}

static void panel_is_all_back(void **state)
{
    const HideEntry entry = {.form = HIDE_PANEL, .panel_length_mm = 900, .panel_width_mm = 500};
    const Hide hide = make(&entry, *state);
    assert_int_equal(hide.region_count, 1);
    assert_int_equal(hide.regions[0].kind, REGION_BACK);
    assert_int_equal(hide.regions[0].firmness, FIRM);
    CHECK_NEAR(polygon_set_area_mm2(hide.regions[0].area), 450000, 1e-6);
}

static void users_region_lies_over_the_others(void **state)
{
    const Point square[] = {{900, -200}, {1300, -200}, {1300, 200}, {900, 200}};
    const Point off[] = {{5000, 0}, {5100, 0}, {5100, 100}};
    const RegionEntry regions[] = {
        {REGION_FLANK, -1, -1, -1, square, 4},
        {REGION_FLANK, SOFT, 2.5, -1, NULL, 0},
        {REGION_NECK, -1, -1, -1, off, 3}, // off the hide: changes nothing
    };
    const Hide before = mean_hide(HIDE_WHOLE, *state);
    HideEntry entry = {.form = HIDE_WHOLE,
                       .points = before.outline.points,
                       .point_count = before.outline.count,
                       .regions = regions,
                       .region_count = 3};
    const Hide hide = make(&entry, *state);
    check_partition(&hide, *state);
    const double laid = 160000 / hide.area_mm2;
    CHECK_NEAR(share_of(&hide, REGION_FLANK) - share_of(&before, REGION_FLANK), laid, 1e-3);
    assert_int_equal(hide_region_at(&hide, (Point){1000, 0})->kind, REGION_FLANK);
    assert_int_equal(find(&hide, REGION_FLANK)->firmness, SOFT);
    CHECK_NEAR(find(&hide, REGION_FLANK)->stretch_along, 2.5, 0);
    CHECK_NEAR(find(&hide, REGION_FLANK)->stretch_across, 2.0, 0);
    CHECK_NEAR(share_of(&hide, REGION_NECK), share_of(&before, REGION_NECK), 1e-3);
}

static void region_without_area_is_left_out(void **state)
{
    // All of the hide becomes back.
    const Point all[] = {{-900, -2000}, {3000, -2000}, {3000, 2000}, {-900, 2000}};
    const RegionEntry region = {REGION_BACK, -1, -1, -1, all, 4};
    const Hide before = mean_hide(HIDE_WHOLE, *state);
    const HideEntry entry = {.form = HIDE_WHOLE,
                             .points = before.outline.points,
                             .point_count = before.outline.count,
                             .regions = &region,
                             .region_count = 1};
    const Hide hide = make(&entry, *state);
    assert_int_equal(hide.region_count, 1);
    CHECK_NEAR(share_of(&hide, REGION_BACK), 1, 1e-6);
}

// Property: any simple outline, wherever it lies, gets regions that fill it.
static void odd_outlines_are_filled(void **state)
{
    Random random = random_begin(5, 0, 0);
    for (int round = 0; round < 2000; round++) {
        const ArenaMark mark = arena_mark(*state);
        Point points[24];
        const int count = 3 + random_below(&random, 22);
        const Point middle = {random_between(&random, -1500, 1500),
                              random_between(&random, -1500, 1500)};
        const double size = random_between(&random, 20, 1500);
        for (int i = 0; i < count; i++) {
            const double angle = 2 * PI * i / count;
            const double out = size * random_between(&random, 0.15, 1);
            points[i] = (Point){middle.x + out * cos(angle), middle.y + out * sin(angle)};
        }
        const HideEntry entry = {.form = HIDE_WHOLE, .points = points, .point_count = count};
        const Hide hide = make(&entry, *state);
        check_partition(&hide, *state);
        assert_true(hide.backbone_mm > 0);
        arena_rewind(*state, mark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(bellies_are_what_is_published),
        TEST_IN_ARENA(default_shares_and_leather),
        TEST_IN_ARENA(landmarks_lie_in_their_regions),
        TEST_IN_ARENA(no_place_falls_between_regions),
        TEST_IN_ARENA(panel_is_all_back),
        TEST_IN_ARENA(users_region_lies_over_the_others),
        TEST_IN_ARENA(region_without_area_is_left_out),
        TEST_IN_ARENA(odd_outlines_are_filled),
    };
    return cmocka_run_group_tests_name("hide/regions", tests, NULL, NULL);
}
