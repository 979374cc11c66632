// A pack's matter made by hand, for tests of the pages: whole hides of about 2.2 by
// 2.5 m, a side or a panel, with ten flaws and covers of two kinds. All of it is
// invented; the covers lie where a person could have put them, none over another.
#pragma once

#include "paper/pack.h"
#include "support/sample_cover.h"

/// All zero: one whole hide, eight covers, inches, A4, short names.
typedef struct SampleWish {
    bool metric;
    JobPaper paper;
    HideForm form;
    int hide_count;  ///< 0: 1
    int cover_count; ///< 0: 8; others are small covers in a grid, up to 40
    bool long_names; ///< as long as the job module lets them be
    bool unplaced;   ///< two covers more than have a place
} SampleWish;

static const Station sample_stations[] = {
    {0, 350, 350, true, true},      {40, 780, 760, true, true},     {180, 1230, 1250, true, true},
    {330, 1240, 1230, true, true},  {460, 1090, 1100, true, true},  {700, 1030, 1040, true, true},
    {1000, 1050, 1050, true, true}, {1250, 1080, 1060, true, true}, {1400, 1180, 1160, true, true},
    {1560, 1190, 1200, true, true}, {1680, 1000, 1010, true, true}, {1800, 780, 800, true, true},
    {1950, 700, 690, true, true},   {2100, 560, 580, true, true},   {2200, 300, 280, true, true}};

static const Point sample_vein[] = {{900, 340}, {1000, 420}, {1090, 400}};
static const Point sample_scar[] = {{1420, -640}, {1500, -760}, {1580, -800}};
static const Point sample_loose[] = {{500, 1000}, {700, 985}, {720, 1030}, {500, 1060}};
static const Point sample_spots[] = {{420, 286}, {1290, -350}, {1700, 900}, {1240, 1010},
                                     {60, -500}, {2080, 220},  {250, -1120}};

static const FlawEntry sample_flaws[] = {
    {FLAW_BRAND, FLAW_SPOT, "old mark", &sample_spots[0], 1, 16},
    {FLAW_HOLE, FLAW_SPOT, NULL, &sample_spots[1], 1, 9},
    {FLAW_TICKS, FLAW_SPOT, NULL, &sample_spots[2], 1, 45},
    {FLAW_STAIN, FLAW_SPOT, NULL, &sample_spots[3], 1, 30},
    {FLAW_FLAY_CUT, FLAW_SPOT, NULL, &sample_spots[4], 1, 12},
    {FLAW_WRINKLE, FLAW_SPOT, NULL, &sample_spots[5], 1, 50},
    {FLAW_GRUB_HOLES, FLAW_SPOT, NULL, &sample_spots[6], 1, 40},
    {FLAW_VEINS, FLAW_LINE, NULL, sample_vein, 3, 12},
    {FLAW_SCAR, FLAW_LINE, "wire", sample_scar, 3, 8},
    {FLAW_LOOSE_GRAIN, FLAW_AREA, NULL, sample_loose, 4, 0}};
enum { SAMPLE_FLAWS = sizeof sample_flaws / sizeof sample_flaws[0] };

/// 80 bytes, one word of 30 letters among them.
static const char sample_long_name[] =
    "the long dining table by the garden door, Donaudampfschifffahrtsgesellsch side 1";

static inline Hide sample_hide(const SampleWish *wish, int number, Arena *keep)
{
    Problems *problems = problems_in(keep);
    Arena *scratch = arena_create("sample", TEST_ARENA_BYTES);
    HideEntry entry = {.name = wish->long_names ? sample_long_name
                               : number == 0    ? NULL
                                                : "back room",
                       .form = wish->form,
                       .stamped_mm2 = 48.00 * MM2_PER_FT2,
                       .flaws = sample_flaws,
                       .flaw_count = SAMPLE_FLAWS};
    if (wish->form == HIDE_PANEL) {
        entry.panel_length_mm = 1400;
        entry.panel_width_mm = 1400;
        entry.stamped_mm2 = 0;
        entry.flaw_count = 1;
    } else {
        entry.stations = sample_stations;
        entry.station_count = (int)(sizeof sample_stations / sizeof sample_stations[0]);
    }
    if (wish->form == HIDE_SIDE) {
        Station *left = ARENA_ARRAY(keep, Station, entry.station_count);
        for (int i = 0; i < entry.station_count; i++) {
            left[i] = sample_stations[i];
            left[i].right_mm = 0;
            left[i].has_right = false;
        }
        entry.stations = left;
        entry.stamped_mm2 = 25 * MM2_PER_FT2;
        entry.flaw_count = 1;
    }
    Hide hide = {0};
    const Units units = {LENGTH_IN, AREA_FT2, LEATHER_OZ};
    if (!hide_make(&entry, "hides[0]", units, keep, scratch, &hide, problems)) {
        print_error("%s: %s\n", problems->items[0].where, problems->items[0].found);
        fail();
    }
    arena_destroy(scratch);
    return hide;
}

static inline void sample_place(PackMatter *matter, PlacedCover *placed, Motion motion, Arena *keep)
{
    const Cover *cover = matter->demands[placed->demand].cover;
    placed->motion = motion;
    placed->cut = ring_moved(cover->cut, motion, keep);
    for (int band = 0; band < BAND_COUNT; band++) {
        placed->within[band] = ring_moved(cover->within[band], motion, keep);
    }
    placed->tack_line = ring_moved(cover->tack_line, motion, keep);
    placed->off_firm_rad = fabs(motion.turn_rad + 90 * RAD_PER_DEG);
}

/// Front towards the butt: a cover's +y lies along the hide's +x.
#define SAMPLE_TURN_RAD (-90 * RAD_PER_DEG)

/// Six covers of the first kind in two rows over the butt, two of the second at the
/// shoulder, one of them a little turned.
static inline void sample_lay_eight(PackMatter *matter, PlacedCover *covers, Arena *keep)
{
    for (int i = 0; i < 6; i++) {
        covers[i] = (PlacedCover){.demand = 0, .copy = i};
        const Motion motion = {150 + 616.0 * (i / 3), 668.0 * (i % 3 - 1), SAMPLE_TURN_RAD};
        sample_place(matter, &covers[i], motion, keep);
    }
    covers[6] = (PlacedCover){.demand = 1, .copy = 0};
    covers[7] = (PlacedCover){.demand = 1, .copy = 1};
    sample_place(matter, &covers[6], (Motion){1390, -320, SAMPLE_TURN_RAD}, keep);
    sample_place(matter, &covers[7], (Motion){1400, 310, SAMPLE_TURN_RAD + 6 * RAD_PER_DEG}, keep);
    covers[1].touches = ARENA_ARRAY(keep, Touch, 1);
    covers[1].touches[0] = (Touch){.flaw = 0, .region = -1, .band = BAND_TURN, .area_mm2 = 700};
    covers[1].touch_count = 1;
}

static inline void sample_lay_grid(PackMatter *matter, PlacedCover *covers, int count, Arena *keep)
{
    for (int i = 0; i < count; i++) {
        covers[i] = (PlacedCover){.demand = 0, .copy = i};
        const double left_mm =
            matter->hides[0].form == HIDE_SIDE ? 150 + 265 * (i % 3) : 265.0 * (i % 5 - 2);
        const int row = matter->hides[0].form == HIDE_SIDE ? i / 3 : i / 5;
        sample_place(matter, &covers[i], (Motion){150 + 250.0 * row, left_mm, SAMPLE_TURN_RAD},
                     keep);
    }
}

static inline Cover *sample_kind(double scale, Arena *keep)
{
    Cover *cover = ARENA_NEW(keep, Cover);
    *cover = sample_cover(scale, keep);
    for (int side = 0; side < SIDE_COUNT; side++) {
        cover->path[side].beyond_frame_mm = 100 - 12.0 * side;
    }
    cover->stretch_along_mm = 9;
    cover->stretch_across_mm = 13;
    return cover;
}

/// What is left at the neck, or along a panel's far edge.
static inline const Remnant *sample_left(const SampleWish *wish, int count, Arena *keep)
{
    Remnant *left = ARENA_ARRAY(keep, Remnant, count);
    for (int i = 0; i < count; i++) {
        left[i] = (Remnant){.area_mm2 = 0.31e6, .parts = 3};
        left[i].rectangle = wish->form == HIDE_WHOLE  ? (Box){{1950, -420}, {2110, 395}}
                            : wish->form == HIDE_SIDE ? (Box){{1950, 90}, {2110, 395}}
                                                      : (Box){{1205, -600}, {1390, 610}};
    }
    return left;
}

static inline CutPlan *sample_plan(PackMatter *matter, const SampleWish *wish, Arena *keep)
{
    const int each = wish->cover_count > 0 ? wish->cover_count : 8;
    CutPlan *plan = ARENA_NEW(keep, CutPlan);
    plan->covers = ARENA_ARRAY(keep, PlacedCover, each * matter->hide_count);
    plan->cover_count = each * matter->hide_count;
    plan->used_mm2 = ARENA_ARRAY(keep, double, matter->hide_count);
    plan->left = sample_left(wish, matter->hide_count, keep);
    plan->useful_mm = 100;
    for (int h = 0; h < matter->hide_count; h++) {
        PlacedCover *covers = plan->covers + h * each;
        if (each == 8 && wish->form == HIDE_WHOLE) {
            sample_lay_eight(matter, covers, keep);
        } else {
            sample_lay_grid(matter, covers, each, keep);
        }
        for (int i = 0; i < each; i++) {
            covers[i].hide = h;
            covers[i].copy += h * (covers[i].demand == 0 ? (each == 8 ? 6 : each) : 2);
            plan->used_mm2[h] += ring_area_mm2(covers[i].cut);
        }
    }
    if (wish->unplaced) {
        plan->unplaced = ARENA_NEW(keep, Unplaced);
        *plan->unplaced = (Unplaced){1, 2,
                                     "the shoulder has room for two of them, and the belly is too "
                                     "soft for the face"};
        plan->unplaced_count = 1;
    }
    return plan;
}

static inline PackMatter *sample_matter(SampleWish wish, Arena *keep)
{
    PackMatter *matter = ARENA_NEW(keep, PackMatter);
    Job *job = ARENA_NEW(keep, Job);
    *job = (Job){.name = wish.long_names ? sample_long_name : "Eight chairs for the long table",
                 .units = wish.metric ? (Units){LENGTH_MM, AREA_M2, LEATHER_MM}
                                      : (Units){LENGTH_IN, AREA_FT2, LEATHER_OZ},
                 .paper = wish.paper,
                 .currency = "EUR",
                 .leather_name = "chestnut, lightly finished",
                 .leather = {.thickness_mm = 1.1}};
    matter->job = job;
    matter->date = "2026-01-31";
    matter->hide_count = wish.hide_count > 0 ? wish.hide_count : 1;
    Hide *hides = ARENA_ARRAY(keep, Hide, matter->hide_count);
    for (int i = 0; i < matter->hide_count; i++) {
        hides[i] = sample_hide(&wish, i, keep);
    }
    matter->hides = hides;
    const bool eight = (wish.cover_count == 0 || wish.cover_count == 8) && wish.form == HIDE_WHOLE;
    const int each = wish.cover_count > 0 ? wish.cover_count : 8;
    CoverDemand *demands = ARENA_ARRAY(keep, CoverDemand, 2);
    demands[0] = (CoverDemand){.cover = sample_kind(eight ? 1 : 0.1, keep),
                               .name = wish.long_names ? sample_long_name : "A",
                               .seat = wish.long_names ? sample_long_name : "side chair",
                               .count = (eight ? 6 : each) * matter->hide_count};
    demands[1] = (CoverDemand){.cover = sample_kind(0.8, keep),
                               .name = "B",
                               .seat = "stool",
                               .chair = wish.long_names ? sample_long_name : "by the window",
                               .count = 2 * matter->hide_count + (wish.unplaced ? 2 : 0)};
    matter->demands = demands;
    matter->demand_count = eight || wish.unplaced ? 2 : 1;
    matter->plan = sample_plan(matter, &wish, keep);
    return matter;
}
