#include "buying/thumb.h"

#include <math.h>

static const double yard_mm = 36 * MM_PER_IN;
static const double cloth_mm = 54 * MM_PER_IN; // the usual width of furnishing cloth

// Square feet of leather for a yard of cloth 54 in wide. The first is the most quoted by far; all
// are sellers' or makers' pages, none is a standard.
static const struct {
    double feet2;
    const char *name;
} yard_rules[] = {{18, "18 ft² to the yard"},
                  {17, "17 ft² to the yard"},
                  {20, "20 ft² to the yard"},
                  {15.6, "13 ft² to the yard and a fifth more"}};

// Shares of the leather as cut.
static const struct {
    double factor;
    const char *name;
} cut_rules[] = {{1.25, "what is cut and a quarter more"},
                 {4.0 / 3, "what is cut and a third more"},
                 {1 / 0.7, "three tenths of the hide is waste"},
                 {1 / 0.55, "nearly half of the hide is waste"}};

// Square feet for one dining seat.
static const struct {
    double feet2;
    const char *name;
} seat_rules[] = {{9, "half a yard for each seat, at 18 ft²"},
                  {5, "ten dining seats from a hide of 50 ft²"}};

static double cloth_of(const CoverDemand *demand, double width_mm)
{
    const Box box = ring_box(demand->cover->cut);
    const double across = box.max.x - box.min.x;
    const double along = box.max.y - box.min.y;
    // Front to back along the cloth, as its pattern runs; else turned, when it is too wide.
    const double wide = across <= width_mm ? across : along;
    const double length = across <= width_mm ? along : across;
    const double beside = floor(width_mm / wide + 1e-9);
    return beside < 1 ? HUGE_VAL : ceil(demand->count / beside) * length;
}

double thumb_cloth_mm(const CoverDemand *demands, int demand_count, double width_mm)
{
    double length_mm = 0;
    for (int i = 0; i < demand_count; i++) {
        length_mm += cloth_of(&demands[i], width_mm);
    }
    return isfinite(length_mm) ? ceil(length_mm / yard_mm * 4 - 1e-9) / 4 * yard_mm : 0;
}

static const char *yards_text(double yards, Arena *keep)
{
    static const char *const quarters[] = {"", " 1/4", " 1/2", " 3/4"};
    const int quarter = (int)lround(4 * yards);
    return quarter < 4 ? arena_text(keep, "%s yd", quarters[quarter] + 1)
                       : arena_text(keep, "%d%s yd", quarter / 4, quarters[quarter % 4]);
}

int thumb_rules(const CoverDemand *demands, int demand_count, Arena *keep, Thumb *thumbs)
{
    const double cut_mm2 = demands_cut_mm2(demands, demand_count);
    int seats = 0;
    for (int i = 0; i < demand_count; i++) {
        seats += demands[i].count;
    }
    const double yards = thumb_cloth_mm(demands, demand_count, cloth_mm) / yard_mm;
    int count = 0;
    for (int i = 0; i < 4 && yards > 0; i++) {
        thumbs[count++] = (Thumb){
            yard_rules[i].name, arena_text(keep, "%s of cloth 54 in wide", yards_text(yards, keep)),
            yards * yard_rules[i].feet2 * MM2_PER_FT2};
    }
    for (int i = 0; i < 4; i++) {
        thumbs[count++] =
            (Thumb){cut_rules[i].name, arena_text(keep, "%.1f ft² as cut", cut_mm2 / MM2_PER_FT2),
                    cut_mm2 * cut_rules[i].factor};
    }
    for (int i = 0; i < 2; i++) {
        thumbs[count++] = (Thumb){seat_rules[i].name, arena_text(keep, "%d covers", seats),
                                  seats * seat_rules[i].feet2 * MM2_PER_FT2};
    }
    return count;
}

Chance thumb_chance(const Thumb *thumb, const Tally *tally, int pieces)
{
    // A hide between two steps is counted as the smaller.
    const int step = (int)(thumb->area_mm2 / pieces / area_step_mm2 + 1e-9);
    return tally_chance(tally, step < AREA_STEPS ? step : AREA_STEPS - 1, CHANCE_Z);
}
