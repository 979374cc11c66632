#include "buying/tally.h"

#include <math.h>

void tally_add(Tally *tally, Bracket bracket, bool careful)
{
    tally->trials++;
    tally->careful += careful ? 1 : 0;
    tally->count[bracket.failed + 1][bracket.fits]++;
}

void tally_join(Tally *tally, const Tally *other)
{
    tally->trials += other->trials;
    tally->careful += other->careful;
    for (int failed = 0; failed <= AREA_STEPS; failed++) {
        for (int fits = 0; fits <= AREA_STEPS; fits++) {
            tally->count[failed][fits] += other->count[failed][fits];
        }
    }
}

Chance chance_of(double happened, double trials, double z)
{
    if (trials <= 0) {
        return (Chance){0, 0, 1};
    }
    const double share = happened / trials;
    const double z2 = z * z / trials;
    const double middle = (share + z2 / 2) / (1 + z2);
    const double reach = z / (1 + z2) * sqrt(share * (1 - share) / trials + z2 / (4 * trials));
    return (Chance){share, fmax(0, middle - reach), fmin(1, middle + reach)};
}

// Of all trials, how many find room on an area.
static double fitting(const Tally *tally, int step)
{
    double sum = 0;
    for (int row = 0; row <= AREA_STEPS; row++) {
        const int failed = row - 1;
        for (int fits = failed + 1; fits <= AREA_STEPS; fits++) {
            const uint32_t count = tally->count[row][fits];
            if (count > 0 && step > failed) {
                // A bracket that no area ends counts as not enough.
                const double share = step >= fits        ? 1
                                     : fits < AREA_STEPS ? (double)(step - failed) / (fits - failed)
                                                         : 0;
                sum += share * count;
            }
        }
    }
    return sum;
}

Chance tally_chance(const Tally *tally, int step, double z)
{
    return chance_of(fitting(tally, step), tally->trials, z);
}

AreaFor tally_area_for(const Tally *tally, double comfort, double z)
{
    AreaFor area = {AREA_STEPS, AREA_STEPS, AREA_STEPS};
    for (int step = AREA_STEPS - 1; step >= 0; step--) {
        const Chance chance = tally_chance(tally, step, z);
        area.step = chance.share >= comfort ? step : area.step;
        area.low = chance.high >= comfort ? step : area.low;
        area.high = chance.low >= comfort ? step : area.high;
    }
    return area;
}

const char *chance_words(double share)
{
    static const struct {
        double least;
        const char *words;
    } said[] = {
        {0.995, "practically always"}, {0.97, "49 times in 50"}, {0.925, "19 times in 20"},
        {0.85, "9 times in 10"},       {0.775, "4 times in 5"},  {0.7084, "3 times in 4"},
        {0.5834, "2 times in 3"},      {0.4167, "1 time in 2"},  {0.2917, "1 time in 3"},
        {0.225, "1 time in 4"},        {0.15, "1 time in 5"},    {0.075, "1 time in 10"},
        {0.035, "1 time in 20"},       {0.005, "1 time in 50"},
    };
    for (int i = 0; i < (int)(sizeof said / sizeof *said); i++) {
        if (share >= said[i].least) {
            return said[i].words;
        }
    }
    return "hardly ever";
}
