#include "buying/tally.h"

#include <math.h>

void tally_add(Tally *tally, Bracket bracket, bool careful)
{
    tally->trials++;
    tally->careful += careful ? 1 : 0;
    tally->count[bracket.failed + 1][bracket.fits]++;
}

double tally_mean_step(const Tally *tally)
{
    double sum = 0;
    for (int failed = -1; failed < AREA_STEPS; failed++) {
        for (int fits = 0; fits <= AREA_STEPS; fits++) {
            sum += 0.5 * (failed + fits) * tally->count[failed + 1][fits];
        }
    }
    return sum / fmax(1, tally->trials);
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

TallyCurve tally_curve(const Tally *tally)
{
    TallyCurve curve = {.trials = tally->trials};
    double *fitting = curve.fitting;
    double whole = 0; // of the brackets that have ended
    double ended[AREA_STEPS] = {0};
    for (int failed = -1; failed < AREA_STEPS; failed++) {
        // A bracket that no area ends counts as not enough.
        for (int fits = failed + 1; fits < AREA_STEPS; fits++) {
            const double count = tally->count[failed + 1][fits];
            for (int step = failed + 1; step < fits && count > 0; step++) {
                fitting[step] += count * (step - failed) / (fits - failed);
            }
            ended[fits] += count;
        }
    }
    for (int step = 0; step < AREA_STEPS; step++) {
        whole += ended[step];
        fitting[step] += whole;
    }
    return curve;
}

Chance curve_chance(const TallyCurve *curve, int step, double z)
{
    return chance_of(curve->fitting[step], curve->trials, z);
}

Chance tally_chance(const Tally *tally, int step, double z)
{
    const TallyCurve curve = tally_curve(tally);
    return curve_chance(&curve, step, z);
}

AreaFor tally_area_for(const Tally *tally, double comfort, double z)
{
    const TallyCurve curve = tally_curve(tally);
    AreaFor area = {AREA_STEPS, AREA_STEPS, AREA_STEPS};
    for (int step = AREA_STEPS - 1; step >= 0; step--) {
        const Chance chance = curve_chance(&curve, step, z);
        area.step = chance.share >= comfort ? step : area.step;
        area.low = chance.high >= comfort ? step : area.low;
        area.high = chance.low >= comfort ? step : area.high;
    }
    return area;
}

const char *area_step_text(int step, AreaUnit unit, Arena *keep)
{
    const double area = area_from_mm2(step * area_step_mm2, unit);
    return unit == AREA_FT2 ? arena_text(keep, "%g ft²", area)
                            : arena_text(keep, "%.2f m²", ceil(area * 20 - 1e-9) / 20);
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
